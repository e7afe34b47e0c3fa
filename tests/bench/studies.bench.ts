import { describe, expect, it } from 'vitest';
import { demoBuild, toMatchInput } from '../../src/build/index.ts';
import {
  compareControllers,
  holdGoal,
  type MatchInput,
  type Place,
  type PlaceRule,
  type SpreadOptions,
  solveCeilings,
  solveSpread,
  standardPlace,
  USUAL_TOLERANCES,
} from '../../src/match/index.ts';
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

  it('spread', () => {
    console.log(machine());
    for (const candidate of [0, 1]) {
      const input = demo(candidate);
      const run = (options: SpreadOptions) => solveSpread(input, USUAL_TOLERANCES, options);
      const done = run({});
      expect(done.status).toBe('done');
      const name = `spread, 1,024 samples x 15 engine speeds, candidate ${candidate + 1}`;
      measure(`${name}, ceilings of 512`, () => run({}), { runs: 10, targetMs: 400 });
      measure(`${name}, no ceilings`, () => run({ ceilingSamples: 0 }), { runs: 10, targetMs: 400 });
    }
  });

  it('holding a goal', () => {
    const input = demo(0);
    const altitude = { rule, fromM: 0, toM: 3000 };
    measure('gauge goal, 13 altitudes x 40 engine speeds with crossings', () => holdGoal(input, { places, altitude }), {
      runs: 20,
      targetMs: 150,
    });
    measure('both controllers with crossings', () => compareControllers(input, { places, altitude }), {
      runs: 20,
      targetMs: 300,
    });
  });
});
