import { describe, expect, it } from 'vitest';
import type { FuelKey } from '../../src/engine/index.ts';
import { type Goal, type MatchInput, type OperatingPointSolved, solveOperatingLine } from '../../src/match/index.ts';
import type { TurbineEfficiencyInput, TurbineInput } from '../../src/turbine/types.ts';
import { drivenBalances } from './driven-balances.ts';
import { exampleInput, GRAM_PER_KWH } from './example-input.ts';
import { sheetCapacity } from './random-turbine.ts';
import { typicalTurbine } from './typical-turbine.ts';

const constant = (value: number) => [{ engineSpeedRpm: 3000, value }];
const SPEEDS = [1800, 2400, 3200, 4500, 6000, 6900];

const EFFICIENCIES: Readonly<Record<TurbineEfficiencyInput['kind'], Partial<TurbineInput>>> = {
  number: { efficiency: { kind: 'number', value: 0.68 } },
  sheet: { capacity: sheetCapacity(), efficiency: { kind: 'sheet' } },
  'speed-ratio': { efficiency: { kind: 'speed-ratio', best: 0.72, optimum: 0.68, wheelDiameterM: 0.05 } },
};
/** Sizes at which the example engine holds its goal over most speeds, and at which it is short of it over most. */
const SIZES: Readonly<Record<TurbineEfficiencyInput['kind'], readonly [number, number]>> = {
  number: [1.7, 3.4],
  sheet: [0.95, 1.9],
  'speed-ratio': [1.7, 3.4],
};

const GOALS: readonly Goal[] = [
  { kind: 'gauge-boost', curve: constant(110_000) },
  { kind: 'manifold-pressure', curve: constant(205_000) },
  {
    kind: 'brake-power',
    curve: [
      { engineSpeedRpm: 1800, value: 62_000 },
      { engineSpeedRpm: 6900, value: 235_000 },
    ],
  },
  {
    kind: 'wheel-power',
    curve: [
      { engineSpeedRpm: 1800, value: 50_000 },
      { engineSpeedRpm: 6900, value: 195_000 },
    ],
  },
];

function solvedOf(input: MatchInput): OperatingPointSolved[] {
  return solveOperatingLine(input).filter((point) => point.status === 'ok');
}

/** Largest residual of all points, by name, where it is not below 1e-6. */
function openOf(input: MatchInput): string[] {
  return solvedOf(input).flatMap((point) =>
    Object.entries(drivenBalances(point, input))
      .filter(([, residual]) => !(Math.abs(residual) < 1e-6))
      .map(([name, residual]) => `${name} at ${point.engineSpeedRpm} rpm: ${residual}`),
  );
}

function held(input: MatchInput, by: 'goal' | 'turbine'): number {
  return solvedOf(input).filter((point) => point.turbine?.heldBy === by).length;
}

describe('mass, energy, pressures and breathing of a turbine point, recomputed from its report', () => {
  describe.each(['number', 'sheet', 'speed-ratio'] as const)('efficiency %s', (kind) => {
    it.each(GOALS.map((goal) => [goal.kind, goal] as const))(
      'goal %s: held and limited points close',
      (_kind, goal) => {
        const [small, large] = SIZES[kind];
        const of = (size: number) =>
          exampleInput({ goal, turbine: typicalTurbine(size, EFFICIENCIES[kind]), engineSpeedsRpm: SPEEDS });
        expect(openOf(of(small))).toEqual([]);
        expect(openOf(of(large))).toEqual([]);
        expect(held(of(small), 'goal')).toBeGreaterThanOrEqual(2);
        expect(held(of(large), 'turbine')).toBeGreaterThanOrEqual(2);
      },
    );
  });

  const FUELS: readonly FuelKey[] = ['petrol', 'e10', 'e85', 'ethanol', 'methanol', 'diesel', 'natural-gas'];
  it.each(FUELS.flatMap((fuel) => (['port', 'direct'] as const).map((injection) => [fuel, injection] as const)))(
    '%s, %s injection, temperature estimated',
    (fuel, injection) => {
      const example = exampleInput();
      const bsfc = { petrol: 310, e10: 320, e85: 430, ethanol: 470, methanol: 630, diesel: 220, 'natural-gas': 270 }[
        fuel
      ];
      const engine = {
        ...example.engine,
        fuel,
        injection,
        lambda: constant(fuel === 'diesel' ? 1.4 : 0.88),
        bsfcKgPerJ: constant(bsfc * GRAM_PER_KWH),
      };
      const of = (size: number) => exampleInput({ engine, turbine: typicalTurbine(size), engineSpeedsRpm: SPEEDS });
      expect(openOf(of(1.6))).toEqual([]);
      expect(openOf(of(3.2))).toEqual([]);
      expect(held(of(1.6), 'goal')).toBeGreaterThan(0);
      expect(held(of(3.2), 'turbine')).toBeGreaterThan(0);
      for (const point of solvedOf(of(1.6))) expect(point.turbine?.temperatureEstimated).toBe(true);
    },
  );

  it('a two-stroke, no cooler, moist air at altitude, an entered temperature curve, a measured back-pressure ratio and shifts', () => {
    const example = exampleInput();
    const input = exampleInput({
      engine: { ...example.engine, strokesPerCycle: 2, displacementM3: 1.3e-3, compressionRatio: 7.5 },
      ambient: { pressurePa: 80_000, temperatureK: 308, vapourMoleFraction: 0.035 },
      chargePath: { ...example.chargePath, cooler: { kind: 'none' } },
      goal: { kind: 'gauge-boost', curve: constant(80_000) },
      turbine: typicalTurbine(2, {
        inletTemperatureK: [
          { engineSpeedRpm: 2000, value: 1000 },
          { engineSpeedRpm: 6000, value: 1220 },
        ],
        measuredBackPressureRatio: 1.3,
        efficiencyShift: 0.02,
        inletTemperatureShiftK: -25,
        mechanicalEfficiency: 0.9,
      }),
      engineSpeedsRpm: SPEEDS,
    });
    expect(openOf(input)).toEqual([]);
    expect(held(input, 'goal')).toBeGreaterThan(0);
    expect(held(input, 'turbine')).toBeGreaterThan(0);
    const [first] = solvedOf({ ...input, engineSpeedsRpm: [4000] });
    expect(first?.turbine?.inletTemperatureK).toBeCloseTo(1110 - 25, 9);
    expect(first?.turbine?.temperatureEstimated).toBe(false);
  });
});

describe('a residual that is there is seen', () => {
  // The balances themselves could be blind: a point that is bent by 1e-4 in any one number must fail them.
  const input = exampleInput({ turbine: typicalTurbine(1.7, EFFICIENCIES['speed-ratio']), engineSpeedsRpm: [4500] });
  const [point] = solvedOf(input);
  const BENT: readonly (readonly [string, (p: OperatingPointSolved) => OperatingPointSolved])[] = [
    ['turbine inlet pressure', (p) => ({ ...p, turbineInletPressurePa: p.turbineInletPressurePa! * 1.0001 })],
    ['gate share', (p) => ({ ...p, wastegateShare: p.wastegateShare! + 1e-4 })],
    ['expansion ratio', (p) => ({ ...p, expansionRatio: p.expansionRatio! * 1.0001 })],
    ['air flow', (p) => ({ ...p, airMassFlowKgPerS: p.airMassFlowKgPerS * 1.0001 })],
    ['shaft speed', (p) => ({ ...p, shaftSpeedRpm: p.shaftSpeedRpm * 1.0001 })],
    ['flow through the turbine', (p) => bentTurbine(p, 'massFlowKgPerS')],
    ['turbine efficiency', (p) => bentTurbine(p, 'efficiency')],
    ['outlet pressure', (p) => bentTurbine(p, 'outletPressurePa')],
    ['breathing factor', (p) => bentTurbine(p, 'breathingFactor')],
  ];

  function bentTurbine(
    p: OperatingPointSolved,
    key: 'massFlowKgPerS' | 'efficiency' | 'outletPressurePa' | 'breathingFactor',
  ) {
    const turbine = p.turbine!;
    return { ...p, turbine: { ...turbine, [key]: turbine[key] * 1.0001 } };
  }

  it.each(BENT)('%s bent by 1e-4', (_name, bend) => {
    const worst = (p: OperatingPointSolved) => Math.max(...Object.values(drivenBalances(p, input)).map(Math.abs));
    expect(worst(point!)).toBeLessThan(1e-6);
    expect(worst(bend(point!))).toBeGreaterThan(2e-5);
  });
});
