import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import type { CompressorSurface } from '../../src/compressor/types.ts';
import {
  holdGoal,
  type MatchInput,
  type OperatingPointSolved,
  solveCeilings,
  solveOperatingLine,
  standardPlace,
} from '../../src/match/index.ts';
import { lineModel, speedModel } from '../../src/match/line-model.ts';
import { mapEdges, solveAtPressure } from '../../src/match/operating-line.ts';
import { drivenBalances, exhaustOf, isentropicDrop } from './driven-balances.ts';
import { exampleInput } from './example-input.ts';
import { typicalTurbine } from './typical-turbine.ts';

const AMBIENT = exampleInput().ambient.pressurePa;
const constant = (value: number) => [{ engineSpeedRpm: 3000, value }];
const NO_LOSS = { lossPa: 0, atMassFlowKgPerS: 0.2, atDensityKgPerM3: 0.3 };

function one(input: MatchInput, engineSpeedRpm = 4500): OperatingPointSolved {
  const [point] = solveOperatingLine({ ...input, engineSpeedsRpm: [engineSpeedRpm] });
  if (point?.status !== 'ok') throw new Error(`no point: ${point?.status}`);
  return point;
}

/** A machine without edges: any flow, any pressure ratio above 1, efficiency 0.7. So that a limit can be approached. */
function boundless(): CompressorSurface {
  const example = exampleInput().compressor;
  return {
    ...example,
    at: (_W, PR) => {
      if (!(PR > 1))
        return { region: 'outside', correctedSpeedRpm: null, efficiency: null, beta: null, extended: true };
      const correctedSpeedRpm = 85_000 * Math.sqrt(PR - 1);
      return { region: 'inside', correctedSpeedRpm, efficiency: 0.7, beta: 0.5, extended: false };
    },
  };
}

describe('a turbine of any size', () => {
  /** At a held manifold pressure as if there were exhaust enough: expansion ratio and gate share, which may be below 0. */
  function asIfDriven(size: number) {
    const input = exampleInput({
      turbine: typicalTurbine(size),
      goal: { kind: 'manifold-pressure', curve: constant(2e5) },
    });
    const line = lineModel(input)!;
    const made = speedModel(line, 4500);
    if (!made.ok) throw new Error(made.message);
    const point = solveAtPressure(line, made.speed, () => mapEdges(input.compressor));
    if (point.status !== 'ok') throw new Error(point.status);
    return point;
  }

  // At small expansion flow goes with (ER - 1)^(1/2) and work per kg with ER - 1: power C (ER - 1)^(3/2). For the same power eight times
  // the capacity leaves a quarter of ER - 1 (hand calculation).
  it('as it grows without end p3 comes to p4 as capacity^(-2/3), and takes more exhaust than there is: no gate holds that', () => {
    const excess = [1e4, 8e4, 64e4].map((size) => asIfDriven(size).expansionRatio! - 1);
    expect(excess[1]! / excess[0]!).toBeCloseTo(0.25, 2);
    expect(excess[2]! / excess[1]!).toBeCloseTo(0.25, 3);
    const vast = asIfDriven(64e4);
    expect(vast.turbineInletPressurePa! / vast.turbine!.outletPressurePa - 1).toBeLessThan(1e-3);
    // The work of a kg goes to nothing, so the kilograms needed go without bound: the share past the gate to minus infinity.
    expect(vast.wastegateShare).toBeLessThan(-100);
  });

  it('the line itself then runs with the gate shut: less and less boost and expansion, at last none', () => {
    const ratios: number[] = [];
    let isWeak = false;
    for (const size of [2, 3, 4, 6, 9, 14, 20, 50, 1e3, 1e6]) {
      const [point] = solveOperatingLine(exampleInput({ turbine: typicalTurbine(size), engineSpeedsRpm: [3500] }));
      if (point?.status === 'ok') {
        expect(isWeak).toBe(false);
        ratios.push(point.expansionRatio!);
        if (size > 3) expect(point.wastegateShare).toBe(0);
      } else {
        expect(point?.status).toBe('turbine-too-weak');
        isWeak = true;
      }
    }
    expect(ratios.length).toBeGreaterThan(3);
    expect(ratios).toEqual(ratios.toSorted((a, b) => b - a));
    expect(isWeak).toBe(true);
  });

  it('as it shrinks p3 rises until the engine cannot breathe: a named reason or a point that closes, never a number from nowhere', () => {
    for (const size of [0.6, 0.4, 0.3, 0.2, 0.1, 0.05, 0.02, 1e-3, 1e-6]) {
      const input = exampleInput({ turbine: typicalTurbine(size), engineSpeedsRpm: [6500] });
      const [point] = solveOperatingLine(input);
      if (point?.status === 'ok') {
        for (const residual of Object.values(drivenBalances(point, input)))
          expect(Math.abs(residual)).toBeLessThan(1e-6);
      } else expect(['exhaust-blocked', 'turbine-too-weak', 'left-of-map', 'not-converged']).toContain(point?.status);
    }
    const [blocked] = solveOperatingLine(exampleInput({ turbine: typicalTurbine(1e-3), engineSpeedsRpm: [6500] }));
    expect(blocked?.status).toBe('exhaust-blocked');
  });
});

describe('a goal barely above what the engine draws by itself', () => {
  const base = (pressurePa: number) =>
    exampleInput({
      compressor: boundless(),
      goal: { kind: 'manifold-pressure', curve: constant(pressurePa) },
      turbine: typicalTurbine(1, { exhaustLoss: NO_LOSS }),
    });
  /** Manifold pressure at which the compressor would have nothing to do, by bisection of the named reason. */
  function unboosted(): number {
    let [low, high] = [0.8 * AMBIENT, 1.2 * AMBIENT];
    for (let i = 0; i < 60; i++) {
      const middle = (low + high) / 2;
      const [point] = solveOperatingLine({ ...base(middle), engineSpeedsRpm: [4500] });
      if (point?.status === 'no-compression') low = middle;
      else high = middle;
    }
    return high;
  }

  // Power C (ER - 1)^(3/2), flow C (ER - 1)^(1/2): the turbine's flow goes with the cube root of the power (hand calculation).
  it('opens the gate fully, the share through the turbine going with the cube root of the power', () => {
    const from = unboosted();
    const through = [1e-3, 1e-6, 1e-9].map((over) => one(base(from * (1 + over))));
    const [a, b, c] = through.map((point) => 1 - point.wastegateShare!);
    const [pa, pb, pc] = through.map((point) => point.compressorPowerW);
    expect(b! / a!).toBeCloseTo(Math.cbrt(pb! / pa!), 2);
    expect(c! / b! / Math.cbrt(pc! / pb!)).toBeCloseTo(1, 2);
    // Not nearer to 1: under a pressure ratio of about 1.0001 the solve says already that there is no compression.
    expect(through[2]!.wastegateShare).toBeGreaterThan(0.95);
    expect(through[2]!.expansionRatio! - 1).toBeLessThan(0.01);
    expect(through[2]!.pressureRatio - 1).toBeLessThan(1e-3);
  });
});

describe('parts without loss', () => {
  it('turbine and bearing of efficiency 1: the isentropic drop itself is the work of the compressor', () => {
    const input = exampleInput({
      turbine: typicalTurbine(1.7, { efficiency: { kind: 'number', value: 1 }, mechanicalEfficiency: 1 }),
    });
    const point = one(input);
    const { gas, temperatureK, flowKgPerS } = exhaustOf(point, input, input.turbine!);
    const drop = isentropicDrop(gas, temperatureK, point.expansionRatio!);
    const work = (1 - point.wastegateShare!) * flowKgPerS * drop;
    expect(Math.abs(work / point.compressorPowerW - 1)).toBeLessThan(1e-6);
    // Isentropic: the outlet is as cold as the ideal one.
    expect(Math.abs(isentropicOutlet(gas, temperatureK, drop) - point.turbine!.outletTemperatureK)).toBeLessThan(1e-4);
    expect(point.turbineInletPressurePa!).toBeLessThan(
      one(exampleInput({ turbine: typicalTurbine(1.7) })).turbineInletPressurePa!,
    );
  });

  function isentropicOutlet(gas: { enthalpy(T: number): number }, T3: number, drop: number): number {
    let [low, high] = [400, T3];
    for (let i = 0; i < 60; i++) {
      const middle = (low + high) / 2;
      if (gas.enthalpy(T3) - gas.enthalpy(middle) > drop) low = middle;
      else high = middle;
    }
    return low;
  }

  it('an exhaust system without loss: p4 is the ambient pressure, to the last digit', () => {
    for (const point of solveOperatingLine(exampleInput({ turbine: typicalTurbine(2, { exhaustLoss: NO_LOSS }) }))) {
      if (point.status === 'ok') expect(point.turbine?.outletPressurePa).toBe(AMBIENT);
    }
  });
});

describe('volumetric efficiency measured at the back-pressure that there is', () => {
  it.each([2500, 4000, 5500, 7000])('gives at %d rpm the very point that is solved without a turbine', (n) => {
    const { turbine: _none, ...plain } = exampleInput();
    const without = one(plain, n);
    let measuredBackPressureRatio = 1;
    // The back-pressure of the point moves a little with what is entered: entered again until it stands.
    for (let i = 0; i < 40; i++) {
      const turbine = typicalTurbine(1.5, { measuredBackPressureRatio });
      measuredBackPressureRatio = one(exampleInput({ turbine }), n).backPressureRatio!;
    }
    const driven = one(exampleInput({ turbine: typicalTurbine(1.5, { measuredBackPressureRatio }) }), n);
    expect(driven.turbine?.breathingFactor).toBeCloseTo(1, 9);
    for (const [key, value] of Object.entries(without)) {
      if (typeof value !== 'number') continue;
      const other = driven[key as 'airMassFlowKgPerS'];
      expect(Math.abs(other - value), key).toBeLessThan(1e-7 * Math.abs(value) + 1e-9);
    }
  });
});

// Regression only: numbers of the program as it was before it knew of turbines (tests/fixtures/line-before-turbine.json).
describe('without a turbine', () => {
  const before = JSON.parse(readFileSync('tests/fixtures/line-before-turbine.json', 'utf8'));
  const limits = { shaftSpeedRpm: 150_000, shaftSpeedReserve: 0.02, surgeMargin: 0.1, chokeMargin: 0.05 };
  const input = exampleInput({
    engineSpeedsRpm: [2500, 4000, 5500, 7000],
    limits: { ...limits, compressorOutletTemperatureK: 430 },
  });
  const rule = { temperature: { kind: 'standard' }, relativeHumidity: 0.4 } as const;
  const places = [0, 2000].map((altitudeM) => {
    const made = standardPlace(altitudeM, rule);
    if (!made.ok) throw new Error(made.message);
    return made.place;
  });

  it('every number of the line is what it was, and what belongs to the turbine is null', () => {
    const line = solveOperatingLine(input);
    expect(line.length).toBe(before.line.length);
    for (const [i, point] of line.entries()) {
      const old = before.line[i] as Record<string, unknown>;
      const now = point as unknown as Record<string, unknown>;
      for (const [key, value] of Object.entries(old)) {
        if (typeof value === 'number')
          expect(Math.abs((now[key] as number) - value), key).toBeLessThan(1e-12 * Math.abs(value) + 1e-15);
        else expect(now[key], key).toEqual(value);
      }
      const added = Object.keys(now).filter((key) => !(key in old));
      expect(added.toSorted()).toEqual([
        'backPressureRatio',
        'expansionRatio',
        'turbine',
        'turbineInletPressurePa',
        'wastegateShare',
      ]);
      for (const key of added) expect(now[key]).toBeNull();
    }
  });

  it('ceilings and the altitude of the first crossing are what they were', () => {
    const { cells } = solveCeilings(input, places);
    for (const [p, row] of cells.entries()) {
      for (const [k, cell] of row.entries()) {
        const old = before.ceilings[p][k];
        expect(cell.binding).toBe(old.binding);
        if (cell.status === 'ok') expect(Math.abs(cell.manifoldPressurePa - old.manifoldPressurePa)).toBeLessThan(1e-3);
      }
    }
    const held = holdGoal(input, { places, altitude: { rule, fromM: 0, toM: 3000 } });
    expect(held.crossings.map(({ status, limit }) => ({ status, limit }))).toEqual(
      before.crossings.map(({ status, limit }: { status: string; limit: string }) => ({ status, limit })),
    );
    for (const [i, { altitudeM }] of held.crossings.entries()) {
      if (altitudeM !== null) expect(Math.abs(altitudeM - before.crossings[i].altitudeM)).toBeLessThan(1e-3);
    }
  });

  it('limits of the turbine change nothing there: they are held only where one is known', () => {
    const more = { ...input.limits, backPressureRatio: 0.5, turbineInletTemperatureK: 500 };
    expect(solveCeilings({ ...input, limits: more }, places).cells).toEqual(solveCeilings(input, places).cells);
  });
});
