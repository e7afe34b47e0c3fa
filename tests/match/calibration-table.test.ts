import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { bladePassFrequency } from '../../src/compressor/index.ts';
import {
  calibrationTable,
  type HeldFrom,
  holdGoal,
  lowestHeldPressure,
  type Place,
  solveCeilings,
  standardPlace,
} from '../../src/match/index.ts';
import { roundedDown } from '../../src/match/studies/held-goal.ts';
import { holdsAll, pointAt } from './brute-ceiling.ts';
import { exampleInput } from './example-input.ts';

const places: Place[] = [0, 1500, 3000].map((altitudeM) => {
  const made = standardPlace(altitudeM, { temperature: { kind: 'standard' }, relativeHumidity: 0.3 }, `${altitudeM} m`);
  if (!made.ok) throw new Error(made.message);
  return made.place;
});
const SPEEDS = [1500, 3000, 4000, 5000, 6000];
const input = exampleInput({ goal: { kind: 'gauge-boost', curve: [{ engineSpeedRpm: 3000, value: 95_000 }] } });
const limits = { shaftSpeedRpm: 128_000, surgeMargin: 0.1, chokeMargin: 0.03, compressorOutletTemperatureK: 440 };
const ceilings = solveCeilings(input, places, SPEEDS, limits);
const heldFrom: HeldFrom = (place, ceiling, notBelowPa) =>
  lowestHeldPressure(input, limits, place, ceiling, notBelowPa);
const goal = holdGoal(input, { places, engineSpeedsRpm: SPEEDS, limits });

describe('roundedDown', () => {
  it('is never above the pressure, never a step or more below it, and a whole number of steps', () => {
    // 1 psi, 0.1 psi, 1 inHg, 0.01 bar, 1 kPa, 1 hPa.
    const steps = fc.constantFrom(6894.757293168361, 689.4757293168361, 3386.389, 1000, 5000, 100);
    fc.assert(
      fc.property(fc.double({ min: -50_000, max: 600_000, noNaN: true }), steps, (pressurePa, stepPa) => {
        const rounded = roundedDown(pressurePa, stepPa);
        expect(Number.isInteger(rounded.steps)).toBe(true);
        expect(rounded.pressurePa).toBe(rounded.steps * stepPa);
        expect(rounded.pressurePa).toBeLessThanOrEqual(pressurePa);
        expect(pressurePa - rounded.pressurePa).toBeLessThan(stepPa * (1 + 1e-9));
      }),
      { numRuns: 5000 },
    );
  });

  it('a whole number of steps stays as it is or, by the last digit, one step below, never above', () => {
    fc.assert(
      fc.property(fc.integer({ min: -100, max: 1000 }), fc.constantFrom(1000, 100, 689.4757293168361), (n, stepPa) => {
        const { steps } = roundedDown(n * stepPa, stepPa);
        expect(steps === n || steps === n - 1).toBe(true);
        expect(roundedDown(n * 1000, 1000).steps).toBe(n);
      }),
    );
  });
});

describe('calibrationTable', () => {
  const table = calibrationTable(ceilings, goal, { kind: 'gauge', stepPa: 1000, bladesPastSensor: 6 }, heldFrom);

  it('leaves a goal that stands on a step where it is, at whatever ambient pressure', () => {
    // 95 kPa in steps of 1 kPa: hand count 95 steps, wherever the ceiling is above.
    const many = Array.from({ length: 61 }, (_, i) => {
      const made = standardPlace(i * 50, { temperature: { kind: 'standard' }, relativeHumidity: 0.3 }, `${i * 50} m`);
      if (!made.ok) throw new Error(made.message);
      return made.place;
    });
    const held = holdGoal(input, { places: many, engineSpeedsRpm: [4000], limits });
    const tops = solveCeilings(input, many, [4000], limits);
    const { cells } = calibrationTable(tops, held, { kind: 'gauge', stepPa: 1000, bladesPastSensor: 6 }, heldFrom);
    const free = cells.flat().filter(({ goalOverCeiling, target }) => !goalOverCeiling && target !== null);
    expect(free.length).toBeGreaterThan(10);
    for (const { target } of free) expect(target?.steps).toBe(95);
  });

  it('every allowed boost holds every limit when it is solved again, in either kind', () => {
    let cells = 0;
    for (const kind of ['gauge', 'absolute'] as const) {
      const { cells: rows } = calibrationTable(ceilings, goal, { kind, stepPa: 2000, bladesPastSensor: 6 }, heldFrom);
      for (const [p, row] of rows.entries()) {
        const { ambient } = places[p]!;
        for (const [k, cell] of row.entries()) {
          const ceiling = ceilings.cells[p]![k]!;
          if (cell.allowed === null || ceiling.status !== 'ok') continue;
          cells++;
          const zero = kind === 'gauge' ? ambient.pressurePa : 0;
          const absolutePa = cell.allowed.pressurePa + zero;
          expect(absolutePa).toBeLessThanOrEqual(ceiling.manifoldPressurePa);
          const cooler = { ...input.chargePath.cooler, coolantTemperatureK: ambient.temperatureK + 5 };
          const here = { ...input, ambient, limits, chargePath: { ...input.chargePath, cooler } };
          const point = pointAt(here, cell.engineSpeedRpm, absolutePa);
          expect(holdsAll(point, limits, input.compressor.highestLineRpm, 1e-6)).toBe(true);
          expect(cell.target!.pressurePa).toBeLessThanOrEqual(cell.allowed.pressurePa);
        }
      }
    }
    expect(cells).toBeGreaterThan(12);
  });

  it('allows nothing where the next step down would cross a limit from the other side', () => {
    const ceiling = ceilings.cells[0]![3]!;
    if (ceiling.status !== 'ok') throw new Error(ceiling.message);
    const narrowPa = ceiling.manifoldPressurePa - 300;
    const one = { ...ceilings, places: [places[0]!], engineSpeedsRpm: [5000], cells: [[ceiling]] };
    const cellFor = (stepPa: number) =>
      calibrationTable(one, null, { kind: 'absolute', stepPa, bladesPastSensor: 6 }, () => narrowPa).cells[0]![0]!;
    expect(cellFor(50_000)).toMatchObject({ allowed: null, noStepHolds: true, target: null });
    expect(cellFor(100).allowed!.pressurePa).toBeGreaterThan(narrowPa);
    expect(cellFor(100).noStepHolds).toBe(false);
  });

  it('carries shaft speed, power and pickup frequency of the goal and of the ceiling', () => {
    for (const [p, row] of table.cells.entries()) {
      for (const [k, cell] of row.entries()) {
        const ceiling = ceilings.cells[p]![k]!;
        const { point } = goal.cells[p]![k]!;
        expect(cell.binding).toBe(ceiling.binding);
        expect(cell.goalCrosses).toBe(goal.cells[p]![k]!.crossed);
        if (cell.goalOverCeiling) expect(cell.goalCrosses).not.toBeNull();
        if (ceiling.status === 'ok') {
          expect(cell.atCeiling).toEqual({
            shaftSpeedRpm: ceiling.point.shaftSpeedRpm,
            pickupFrequencyHz: bladePassFrequency(ceiling.point.shaftSpeedRpm, 6),
            wheelPowerW: ceiling.point.wheelPowerW,
          });
        }
        if (point.status === 'ok') {
          expect(cell.atGoal!.shaftSpeedRpm).toBe(point.shaftSpeedRpm);
          if (ceiling.status === 'ok') {
            expect(cell.goalOverCeiling).toBe(point.manifoldPressurePa > ceiling.manifoldPressurePa);
            expect(cell.target).toEqual(
              roundedDown(
                // A goal that stands on a step keeps it: a millionth of a step is given.
                Math.min(point.manifoldPressurePa + 1e-3, ceiling.manifoldPressurePa) - places[p]!.ambient.pressurePa,
                1000,
              ),
            );
          }
        }
      }
    }
    expect(table.cells.flat().some((cell) => cell.goalOverCeiling)).toBe(true);
    expect(table.cells.flat().some((cell) => cell.target !== null && !cell.goalOverCeiling)).toBe(true);
  });

  it('matches goal and ceilings by value: copies that went through a worker give the same table', () => {
    const copies = structuredClone({ ceilings, goal });
    expect(calibrationTable(copies.ceilings, copies.goal, table.options, heldFrom)).toEqual(table);
    const without = calibrationTable(ceilings, null, table.options, heldFrom);
    expect(without.cells.flat().every((cell) => cell.atGoal === null && cell.target === null)).toBe(true);
  });

  it('a goal beyond the map is over the ceiling; its target is the ceiling', () => {
    const wild = exampleInput({ goal: { kind: 'gauge-boost', curve: [{ engineSpeedRpm: 3000, value: 600_000 }] } });
    const held = holdGoal(wild, { places, engineSpeedsRpm: SPEEDS, limits });
    for (const cell of calibrationTable(ceilings, held, table.options, heldFrom).cells.flat()) {
      expect(cell.atGoal).toBeNull();
      if (cell.allowed === null) continue;
      expect(cell.goalOverCeiling).toBe(true);
      expect(cell.target).toEqual(cell.allowed);
    }
  });
});

describe('bladePassFrequency', () => {
  // Hand calculation: 120,000 rev/min past 6 blades is 2,000 turns a second, 12,000 Hz.
  it('is N/60 times the blades', () => {
    expect(bladePassFrequency(120_000, 6)).toBe(12_000);
  });
});
