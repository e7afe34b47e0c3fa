import { describe, expect, it } from 'vitest';
import { demoBuild } from '../../src/build/demo.ts';
import { toMatchInput } from '../../src/build/index.ts';
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
const demo = (candidate: number, hasTurbine = true): MatchInput => {
  const { turbine, ...input } = toMatchInput(demoBuild(), candidate);
  return { ...input, engineSpeedsRpm: speeds, ...(hasTurbine ? { turbine } : {}) };
};

/** With a turbine a study may take two and a half times as long. */
const CASES = [0, 1].flatMap((candidate) => [
  { candidate, hasTurbine: false, name: `candidate ${candidate + 1}`, allowed: 1 },
  { candidate, hasTurbine: true, name: `candidate ${candidate + 1} with its turbine`, allowed: 2.5 },
]);

describe('studies', () => {
  it('ceilings', () => {
    console.log(machine());
    for (const { candidate, hasTurbine, name, allowed } of CASES) {
      const input = demo(candidate, hasTurbine);
      const table = solveCeilings(input, places);
      const found = table.cells.flat();
      const tally = new Map<string, number>();
      for (const cell of found)
        tally.set(`${cell.status} ${cell.binding}`, (tally.get(`${cell.status} ${cell.binding}`) ?? 0) + 1);
      console.log([...tally].map(([k, n]) => `${k}: ${n}`).join(', '));
      expect(found.length).toBe(13 * 40);
      measure(`ceilings, 13 altitudes x 40 engine speeds, one thread, ${name}`, () => solveCeilings(input, places), {
        runs: 20,
        targetMs: 40 * allowed,
      });
    }
  });

  it('spread', () => {
    console.log(machine());
    for (const { candidate, hasTurbine, name, allowed } of CASES) {
      const input = demo(candidate, hasTurbine);
      const run = (options: SpreadOptions) => solveSpread(input, USUAL_TOLERANCES, options);
      const done = run({});
      expect(done.status).toBe('done');
      const title = `spread, 1,024 samples x 15 engine speeds, ${name}`;
      measure(`${title}, ceilings of 512`, () => run({}), { runs: 10, targetMs: 150 * allowed });
      measure(`${title}, no ceilings`, () => run({ ceilingSamples: 0 }), { runs: 10, targetMs: 150 * allowed });
    }
  });

  it('holding a goal', () => {
    const input = demo(0, false);
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
