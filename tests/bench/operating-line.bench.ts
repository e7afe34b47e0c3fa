import { describe, expect, it } from 'vitest';
import { demoBuild } from '../../src/build/demo.ts';
import { toMatchInput } from '../../src/build/index.ts';
import { findings, type MatchInput, solveOperatingLine } from '../../src/match/index.ts';
import { analyticSurface } from '../match/analytic-surface.ts';
import { exampleInput } from '../match/example-input.ts';
import { machine, measure } from './measure.ts';

const speeds = Array.from({ length: 60 }, (_, i) => 2200 + i * 80);

/** The demo build on its fitted map, without its turbine: turbine.bench.ts measures with one. */
function demo(candidate: number): MatchInput {
  const { turbine: _, ...input } = toMatchInput(demoBuild(), candidate);
  return { ...input, engineSpeedsRpm: speeds };
}

describe('operating line of 60 points', () => {
  it('on this machine', () => {
    console.log(machine());
    const fitted = demo(0);
    const solved = solveOperatingLine(fitted).filter((point) => point.status === 'ok').length;
    console.log(`demo build: ${solved} of ${speeds.length} engine speeds have a point`);
    expect(solved).toBeGreaterThan(30);
    measure('on a fitted map, first candidate', () => solveOperatingLine(fitted), { runs: 300, targetMs: 0.5 });
    const second = demo(1);
    measure('on a fitted map, second candidate', () => solveOperatingLine(second), { runs: 300, targetMs: 0.5 });
    const beyond: MatchInput = {
      ...fitted,
      goal: { kind: 'gauge-boost', curve: [{ engineSpeedRpm: 1000, value: 5e5 }] },
    };
    measure('every point beyond the map', () => solveOperatingLine(beyond), { runs: 300, targetMs: 3 });
    const power: MatchInput = {
      ...fitted,
      goal: {
        kind: 'brake-power',
        curve: [
          { engineSpeedRpm: 2000, value: 60e3 },
          { engineSpeedRpm: 7000, value: 200e3 },
        ],
      },
    };
    measure('for a power goal', () => solveOperatingLine(power), { runs: 300, targetMs: 0.5 });
    const closed: MatchInput = { ...exampleInput({ compressor: analyticSurface() }), engineSpeedsRpm: speeds };
    measure('on a closed-form map: the loop alone', () => solveOperatingLine(closed), { runs: 300, targetMs: 0.5 });
    const points = solveOperatingLine(fitted);
    measure('findings of the line', () => findings(points, fitted), { runs: 300, targetMs: 0.5 });
    const W = 0.15;
    measure('one map query', () => fitted.compressor.at(W, 1.9), { runs: 200, callsPerRun: 1000, targetMs: 0.003 });
  });
});
