import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { vapourMoleFraction } from '../../src/air/index.ts';
import { demoBuild } from '../../src/build/demo.ts';
import { toMatchInput } from '../../src/build/index.ts';
import {
  absoluteToTable,
  type ControlTable,
  type ControlTableOptions,
  controlTable,
  inputAt,
  type MatchInput,
  type Place,
  solveCeilings,
} from '../../src/match/index.ts';
import { tableToAbsolute } from '../../src/match/studies/control-table.ts';
import { holdsAll, pointAt } from './brute-ceiling.ts';
import { exampleInput } from './example-input.ts';

const HUMIDITY = 0.3;
const LIMITS = { shaftSpeedRpm: 128_000, surgeMargin: 0.1, chokeMargin: 0.03, compressorOutletTemperatureK: 440 };
const STEPS = {
  absolute: [1000, 100, 6894.757293168361, 689.4757293168361],
  gauge: [1000, 689.4757293168361, 3386.389],
};

/** As the table makes its air, written again. */
function placeAt(pressurePa: number, temperatureK: number): Place {
  const vapourMole = vapourMoleFraction(HUMIDITY, temperatureK, pressurePa);
  if (vapourMole === null) throw new Error('no air');
  return { name: '', altitudeM: null, ambient: { pressurePa, temperatureK, vapourMoleFraction: vapourMole } };
}

function made(input: MatchInput, options: ControlTableOptions): ControlTable {
  const result = controlTable(input, options);
  if (!result.ok) throw new Error(result.message);
  return result.table;
}

/** The lowest ceiling over the temperatures by the study of ceilings; null: at one of them none holds. */
function lowestCeiling(input: MatchInput, rpm: number, pressurePa: number, options: ControlTableOptions) {
  const places = options.temperaturesK.map((temperatureK) => placeAt(pressurePa, temperatureK));
  const cells = solveCeilings(input, places, [rpm], options.limits).cells.map((row) => row[0]!);
  return cells.some(({ status }) => status !== 'ok')
    ? null
    : Math.min(...cells.map((cell) => (cell.status === 'ok' ? cell.manifoldPressurePa : Number.NaN)));
}

const rising = (low: number, high: number, most: number, grid: number) =>
  fc
    .uniqueArray(fc.integer({ min: Math.ceil(low / grid), max: Math.floor(high / grid) }), {
      minLength: 1,
      maxLength: most,
    })
    .map((values) => values.map((value) => value * grid).toSorted((a, b) => a - b));

const options = fc.record({
  engineSpeedsRpm: rising(1500, 7000, 5, 125),
  barometersPa: rising(62_000, 104_000, 4, 500).chain((values) => fc.constantFrom(values, values.toReversed())),
  temperaturesK: fc.constantFrom([293.15], [263.15, 288.15, 313.15]),
  relativeHumidity: fc.constant(HUMIDITY),
  format: fc.oneof(
    fc.record({ kind: fc.constant('absolute' as const), step: fc.constantFrom(...STEPS.absolute) }),
    fc.record({ kind: fc.constant('gauge' as const), step: fc.constantFrom(...STEPS.gauge) }),
    fc.record({ kind: fc.constant('ratio' as const), step: fc.constantFrom(0.01, 0.05, 0.001) }),
  ),
  goal: fc.constantFrom<MatchInput['goal']>(
    { kind: 'gauge-boost', curve: [{ engineSpeedRpm: 3000, value: 90_000 }] },
    { kind: 'manifold-pressure', curve: [{ engineSpeedRpm: 3000, value: 400_000 }] },
    { kind: 'brake-power', curve: [{ engineSpeedRpm: 3000, value: 190_000 }] },
  ),
});

describe('controlTable, over random breakpoints, kinds, steps and goals', () => {
  it('every cell is the lower of ceiling and goal, rounded down; no middle between cells is over its ceiling', () => {
    const seen = { lowered: 0, middles: 0, byGoal: 0, empty: 0 };
    fc.assert(
      fc.property(options, ({ format, goal, ...rest }) => {
        const input = exampleInput({ goal });
        const asked: ControlTableOptions = { ...rest, ...format, limits: LIMITS };
        const table = made(input, asked);
        const inTable = (pa: number, barometerPa: number) => absoluteToTable(pa, format.kind, barometerPa);
        rest.engineSpeedsRpm.forEach((rpm, r) => {
          rest.barometersPa.forEach((barometerPa, c) => {
            const cell = table.cells[r]![c]!;
            const ceilingPa = lowestCeiling(input, rpm, barometerPa, asked);
            expect(cell.ceilingPa === null).toBe(ceilingPa === null);
            if (cell.steps === null || ceilingPa === null) {
              seen.empty += 1;
              return;
            }
            expect(Math.abs((cell.ceilingPa ?? 0) - ceilingPa)).toBeLessThan(5);
            const value = (cell.steps + cell.loweredBy) * format.step;
            const goalPa = cell.goalPa ?? Number.POSITIVE_INFINITY;
            if (goal.kind === 'gauge-boost') expect(goalPa).toBeCloseTo(barometerPa + 90_000, 6);
            if (goal.kind === 'manifold-pressure') expect(goalPa).toBe(400_000);
            if (goalPa < ceilingPa) seen.byGoal += 1;
            const ceiling = inTable(cell.ceilingPa!, barometerPa);
            const lowest = Math.min(ceiling, inTable(goalPa, barometerPa));
            expect(value).toBeLessThanOrEqual(ceiling);
            expect(value).toBeLessThanOrEqual(lowest + 2e-6 * format.step);
            expect(lowest - value).toBeLessThan(format.step * (1 + 1e-6));
            // The whole solve, at every temperature, by the test's own reading of the limits.
            const heldPa = tableToAbsolute(cell.steps * format.step, format.kind, barometerPa);
            for (const temperatureK of rest.temperaturesK) {
              const { ambient } = placeAt(barometerPa, temperatureK);
              const point = pointAt(inputAt(input, ambient), rpm, heldPa);
              if (point.status !== 'no-compression')
                expect(holdsAll(point, LIMITS, input.compressor.highestLineRpm)).toBe(true);
            }
          });
        });
        for (let r = 0; r < rest.engineSpeedsRpm.length; r++) {
          for (let c = 0; c < rest.barometersPa.length; c++) {
            for (const [down, right] of [
              [0, 1],
              [1, 0],
              [1, 1],
            ] as const) {
              const [rpm, barometer] = [rest.engineSpeedsRpm[r + down], rest.barometersPa[c + right]];
              if (rpm === undefined || barometer === undefined) continue;
              const at = (i: number, j: number) => table.cells[r + i * down]![c + j * right]!.steps;
              const corners = [at(0, 0), at(0, 1), at(1, 0), at(1, 1)];
              if (corners.some((steps) => steps === null)) continue;
              const middleRpm = (rest.engineSpeedsRpm[r]! + rpm) / 2;
              const middlePa = (rest.barometersPa[c]! + barometer) / 2;
              const ceilingPa = lowestCeiling(input, middleRpm, middlePa, asked);
              if (ceilingPa === null) continue;
              const between = (corners.reduce((sum: number, steps) => sum + (steps ?? 0), 0) / 4) * format.step;
              expect(between).toBeLessThanOrEqual(inTable(ceilingPa, middlePa) + 1e-4 * format.step);
              seen.middles += 1;
            }
          }
        }
        seen.lowered += table.cells.flat().filter(({ loweredBy }) => loweredBy > 0).length;
      }),
      { numRuns: 40, seed: 15 },
    );
    expect(seen.middles).toBeGreaterThan(150);
    expect(seen.lowered).toBeGreaterThan(10);
    expect(seen.byGoal).toBeGreaterThan(20);
    expect(seen.empty).toBeGreaterThan(0);
  });

  it('lowers no cell where no middle beside it was over', () => {
    const input = exampleInput({
      goal: { kind: 'manifold-pressure', curve: [{ engineSpeedRpm: 3000, value: 150_000 }] },
    });
    const table = made(input, {
      engineSpeedsRpm: [4000, 4500, 5000, 5500],
      barometersPa: [100_000, 90_000, 80_000],
      temperaturesK: [293.15],
      relativeHumidity: HUMIDITY,
      kind: 'absolute',
      step: 1000,
      limits: LIMITS,
    });
    expect(table.cells.flat().map(({ steps, loweredBy }) => [steps, loweredBy])).toEqual(
      Array.from({ length: 12 }, () => [150, 0]),
    );
    expect(table.middles).toEqual({ checked: 9 + 8 + 6, unchecked: 0, unanswered: 0, under: 0 });
  });
});

const SIXTEEN: ControlTableOptions = {
  engineSpeedsRpm: [700, 1500, 2500, 3500, 4500, 5500, 6500],
  barometersPa: [70_000, 85_000, 101_325],
  temperaturesK: [268.15, 308.15],
  relativeHumidity: HUMIDITY,
  kind: 'gauge',
  step: 1000,
  limits: LIMITS,
};

describe('cells without an answer', () => {
  it('have no number and a named reason; every number holds at every temperature by the whole solve', () => {
    const input = toMatchInput(demoBuild(), 0);
    const limits = { ...input.limits, shaftSpeedRpm: 172_000, stayBelowTopLine: true, manifoldPressurePa: 92_000 };
    const speeds = [2000, 2600, 2750, 3000, 5000, 6500];
    const table = made(input, { ...SIXTEEN, limits, engineSpeedsRpm: speeds });
    const cells = table.cells.flat();
    const empty = cells.filter(({ steps }) => steps === null);
    // At sea level the engine draws more than this limit without the compressor, higher up it does not.
    expect(empty).toHaveLength(speeds.length);
    for (const cell of empty) expect(cell.binding).toBe('manifold-pressure');
    for (const cell of empty) expect(cell.ceilingPa === null || cell.crossed !== null).toBe(true);
    for (const { steps, ceilingPa } of cells) {
      if (steps !== null) expect(Number.isInteger(steps)).toBe(true);
      expect(ceilingPa === null || ceilingPa > 0).toBe(true);
    }
    const { highestLineRpm } = input.compressor;
    speeds.forEach((rpm, r) => {
      SIXTEEN.barometersPa.forEach((barometerPa, c) => {
        const { steps } = table.cells[r]![c]!;
        if (steps === null) return;
        for (const temperatureK of SIXTEEN.temperaturesK) {
          const { ambient } = placeAt(barometerPa, temperatureK);
          const point = pointAt(inputAt(input, ambient), rpm, barometerPa + steps * 1000);
          expect(point.status === 'no-compression' || holdsAll(point, limits, highestLineRpm)).toBe(true);
        }
      });
    });
  });

  it('air or engine that cannot be is said in a sentence, not in numbers', () => {
    const wet = controlTable(exampleInput(), { ...SIXTEEN, temperaturesK: [372], relativeHumidity: 1 });
    expect(wet).toMatchObject({ ok: false, message: expect.stringMatching(/\.$/) });
    expect(controlTable(exampleInput(), { ...SIXTEEN, barometersPa: [] })).toMatchObject({ ok: false });
    const fast = controlTable(exampleInput(), { ...SIXTEEN, engineSpeedsRpm: [Number.NaN] });
    expect(fast).toMatchObject({ ok: false });
  });
});

describe('the table that is there already', () => {
  const input = exampleInput();
  const base: ControlTableOptions = { ...SIXTEEN, engineSpeedsRpm: [3500, 4500, 5500], temperaturesK: [293.15] };
  const free = made(input, base);
  const at = (by: number) =>
    free.cells.map((row, r) =>
      row.map(({ ceilingPa }, c) => (ceilingPa === null ? null : ceilingPa - base.barometersPa[c]! + by * (1 + r))),
    );

  it('a little over the ceiling: every cell is over, by that much, and the limit is the one that binds', () => {
    const table = made(input, { ...base, entered: at(700) });
    table.cells.forEach((row, r) => {
      for (const { entered, ceilingPa, binding } of row) {
        if (ceilingPa === null) continue;
        expect(entered).toMatchObject({ verdict: 'over', limit: binding });
        expect(entered?.overPa).toBeCloseTo(700 * (1 + r), 3);
      }
    });
    // The ceilings are the same whether a table is held against them or not.
    expect(table.cells.map((row) => row.map(({ steps }) => steps))).toEqual(
      free.cells.map((row) => row.map(({ steps }) => steps)),
    );
  });

  it('a little under it: no cell is over; an empty cell is judged by nobody; far too little is told as crossed from below', () => {
    const table = made(input, { ...base, entered: [[null, null, null], ...at(-700).slice(1)] });
    expect(table.cells[0]!.every(({ entered }) => entered === null)).toBe(true);
    for (const { entered, ceilingPa } of table.cells.slice(1).flat()) {
      if (ceilingPa !== null) expect(entered?.verdict).toBe('holds');
    }
    const own = made(input, { ...base, entered: free.cells.map((row) => row.map(({ steps }) => steps! * base.step)) });
    expect(own.cells.flat().filter(({ entered }) => entered?.verdict !== 'holds')).toEqual([]);
    expect(own.enteredMiddlesOver).toBe(0);
  });
});

describe('middles on the edges of the table', () => {
  const input = exampleInput({
    goal: { kind: 'manifold-pressure', curve: [{ engineSpeedRpm: 3000, value: 400_000 }] },
  });
  const SPEEDS = [3000, 4000, 5000, 6000, 7000];
  const BAROMETERS = [100_000, 85_000, 70_000];
  const asked = (engineSpeedsRpm: number[], barometersPa: number[]): ControlTableOptions => ({
    engineSpeedsRpm,
    barometersPa,
    temperaturesK: [293.15],
    relativeHumidity: HUMIDITY,
    kind: 'absolute',
    step: 100,
    limits: LIMITS,
  });

  it.each([
    [5, 3],
    [5, 1],
    [1, 3],
    [1, 1],
  ])('%d by %d cells: every middle between two neighbours and between four is looked at once', (r, c) => {
    const { middles } = made(input, asked(SPEEDS.slice(0, r), BAROMETERS.slice(0, c)));
    // Along the rows, along the columns, and inside.
    expect(middles.checked + middles.unchecked).toBe(r * (c - 1) + (r - 1) * c + (r - 1) * (c - 1));
  });

  it('a single row or column, which has no other middles, is not over its ceiling there, and was lowered for it', () => {
    let lowered = 0;
    for (const [speeds, barometers] of [
      ...BAROMETERS.map((pa) => [SPEEDS, [pa]] as const),
      ...SPEEDS.map((rpm) => [[rpm], BAROMETERS] as const),
    ]) {
      const options = asked([...speeds], [...barometers]);
      const cells = made(input, options).cells.flat();
      lowered += cells.filter(({ loweredBy }) => loweredBy > 0).length;
      for (let i = 1; i < cells.length; i++) {
        const [one, other] = [cells[i - 1]!.steps, cells[i]!.steps];
        if (one === null || other === null) continue;
        const isRow = barometers.length === 1;
        const rpm = isRow ? (speeds[i - 1]! + speeds[i]!) / 2 : speeds[0]!;
        const pa = isRow ? barometers[0]! : (barometers[i - 1]! + barometers[i]!) / 2;
        const ceilingPa = lowestCeiling(input, rpm, pa, options);
        if (ceilingPa !== null) expect(((one + other) / 2) * options.step).toBeLessThanOrEqual(ceilingPa + 1e-2);
      }
    }
    expect(lowered).toBeGreaterThan(0);
  });

  it("between two cells that are the ceilings themselves, the tuner's table is over where the ceiling sags", () => {
    let sags = 0;
    for (const pa of BAROMETERS) {
      for (let i = 1; i < SPEEDS.length; i++) {
        const speeds = [SPEEDS[i - 1]!, SPEEDS[i]!];
        const options = asked(speeds, [pa]);
        const ends = speeds.map((rpm) => lowestCeiling(input, rpm, pa, options));
        const middlePa = lowestCeiling(input, (speeds[0]! + speeds[1]!) / 2, pa, options);
        const [low, high] = ends;
        if (low === null || high === null || low === undefined || high === undefined || middlePa === null) continue;
        const over = (low + high) / 2 - 20 - middlePa;
        // A difference of less than the search for a ceiling settles to decides nothing.
        if (Math.abs(over) < 20) continue;
        sags += over > 0 ? 1 : 0;
        const { enteredMiddlesOver } = made(input, { ...options, entered: [[low - 20], [high - 20]] });
        expect(enteredMiddlesOver).toBe(over > 0 ? 1 : 0);
      }
    }
    expect(sags).toBeGreaterThan(0);
  });
});

describe('what the table costs and leaves out', () => {
  it('progress rises from above 0 to 1 (the demo build, turbine known)', () => {
    const input = toMatchInput(demoBuild(), 0);
    const shares: number[] = [];
    const options = { ...SIXTEEN, engineSpeedsRpm: [3000, 5000], temperaturesK: [293.15] };
    made(input, { ...options, onProgress: (share) => shares.push(share) });
    expect(shares[0]).toBeGreaterThan(0);
    expect(shares.at(-1)).toBe(1);
    expect(shares).toEqual(shares.toSorted((a, b) => a - b));
  });

  it('both ends and the middle of the air temperatures find the lowest ceiling to 0.2 kPa (demo build, against every 5 K)', () => {
    const input = toMatchInput(demoBuild(), 0);
    const base = {
      ...SIXTEEN,
      limits: { ...input.limits, stayBelowTopLine: true },
      engineSpeedsRpm: [3000, 4500, 6000],
    };
    const coarse = made(input, { ...base, temperaturesK: [263.15, 288.15, 313.15] });
    const fine = made(input, { ...base, temperaturesK: Array.from({ length: 11 }, (_, i) => 263.15 + 5 * i) });
    coarse.cells.forEach((row, r) => {
      row.forEach(({ ceilingPa }, c) => {
        expect(Math.abs((ceilingPa ?? 0) - (fine.cells[r]![c]!.ceilingPa ?? 0))).toBeLessThan(200);
      });
    });
  });
});
