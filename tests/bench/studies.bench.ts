import { describe, expect, it } from 'vitest';
import { demoBuild, toMatchInput } from '../../src/build/index.ts';
import { type MatchInput, type Place, type PlaceRule, solveCeilings, standardPlace } from '../../src/match/index.ts';
import { machine, measure } from './measure.ts';

const rule: PlaceRule = { temperature: { kind: 'deviation-held', deviationK: 10 }, relativeHumidity: 0.4 };
const places: Place[] = Array.from({ length: 13 }, (_, i) => {
  const result = standardPlace(250 * i, rule);
  if (!result.ok) throw new Error(result.message);
  return result.place;
});
const speeds = Array.from({ length: 40 }, (_, i) => 2200 + i * 120);
const demo = (candidate: number): MatchInput => ({ ...toMatchInput(demoBuild(), candidate), engineSpeedsRpm: speeds });

describe('studies', () => {
  it('ceilings', () => {
    console.log(machine());
    for (const candidate of [0, 1]) {
      const input = demo(candidate);
      const table = solveCeilings(input, places);
      const found = table.cells.flat();
      const tally = new Map<string, number>();
      for (const cell of found)
        tally.set(`${cell.status} ${cell.binding}`, (tally.get(`${cell.status} ${cell.binding}`) ?? 0) + 1);
      console.log([...tally].map(([k, n]) => `${k}: ${n}`).join(', '));
      expect(found.length).toBe(13 * 40);
      measure(
        `ceilings, 13 altitudes x 40 engine speeds, one thread, candidate ${candidate + 1}`,
        () => solveCeilings(input, places),
        { runs: 20, targetMs: 150 },
      );
    }
  });
});
