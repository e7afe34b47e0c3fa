import { describe, expect, it } from 'vitest';
import { findings, judging, type MatchInput, solveOperatingLine } from '../../src/match/index.ts';
import { extremeOf } from '../../src/match/results.ts';
import { generator } from './random-builds.ts';
import { soundBuild } from './sound-build.ts';

const EDGES = ['left-of-surge', 'surge-margin', 'choked', 'choke-margin'];
const BUILDS = 1500;

/** Low boosts: the shaft turns slowly, often slower than the lowest line of the map. */
function gentle(random: () => number): MatchInput {
  const built = soundBuild(random);
  const curve = [{ engineSpeedRpm: 3000, value: 4000 + 60_000 * random() }];
  const engineSpeedsRpm = Array.from({ length: 12 }, (_, i) => 1200 + 500 * i);
  return { ...built, goal: { kind: 'gauge-boost', curve }, engineSpeedsRpm };
}

describe('below the lowest speed line surge and choke are a guess', () => {
  it('that gets at most a caution, decides no verdict, and is no margin of the line', () => {
    const random = generator(8106);
    let guessed = 0;
    let judgedOnes = 0;
    for (let build = 0; build < BUILDS; build++) {
      const input = gentle(random);
      const points = solveOperatingLine(input).filter((point) => point.status === 'ok');
      const found = findings(points, input);
      const below = new Set(points.filter((p) => p.belowLowestLine).map((p) => p.engineSpeedRpm));
      for (const point of points) {
        expect(point.belowLowestLine).toBe(point.correctedSpeedRpm < input.compressor.lowestLineRpm * 0.997);
        const over = found.filter(
          ({ rangeRpm }) => rangeRpm && point.engineSpeedRpm >= rangeRpm[0] && point.engineSpeedRpm <= rangeRpm[1],
        );
        const crossed = (point.surgeMargin ?? 0) < 0 || (point.chokeMargin ?? 0) < 0;
        const codes = over.map(({ code }) => code);
        if (point.belowLowestLine) expect(codes.filter((code) => EDGES.includes(code))).toEqual([]);
        if (!point.belowLowestLine) expect(codes).not.toContain('edge-guessed');
        if (!crossed) continue;
        if (point.belowLowestLine) {
          guessed++;
          expect(codes).toContain('edge-guessed');
        } else {
          judgedOnes++;
          expect(codes.includes('left-of-surge') || codes.includes('choked')).toBe(true);
        }
      }
      for (const { code, severity } of found) if (code === 'edge-guessed') expect(severity).toBe('caution');
      // Where nothing else speaks against the match, the good news stands.
      const isAlone = judging(found).every(({ severity }) => severity === 'note' || severity === 'good');
      if (isAlone && found.some(({ code }) => code === 'edge-guessed') && input.compressor.limits.shaftSpeedRpm)
        expect(found.map(({ code }) => code)).toContain('within-limits');
      const least = extremeOf(points, 'surgeMargin', 'lowest');
      if (least !== null) expect(below.has(least.point.engineSpeedRpm)).toBe(false);
    }
    expect(guessed).toBeGreaterThan(50);
    expect(judgedOnes).toBeGreaterThan(50);
  });
});
