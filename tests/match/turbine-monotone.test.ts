import { describe, expect, it } from 'vitest';
import {
  boostThreshold,
  type MatchInput,
  type OperatingPointSolved,
  solveOperatingLine,
} from '../../src/match/index.ts';
import type { TurbineInput } from '../../src/turbine/types.ts';
import { exampleInput } from './example-input.ts';
import { generator } from './random-builds.ts';
import { randomTurbine } from './random-turbine.ts';
import { soundBuild } from './sound-build.ts';
import { typicalTurbine } from './typical-turbine.ts';

type Pair = readonly [OperatingPointSolved, OperatingPointSolved];

/** Sound builds with a manifold pressure asked for, so that a change leaves the goal what it was, and a turbine of constant or U/C0 efficiency. */
function builds(seed: number, count: number): (MatchInput & { turbine: TurbineInput })[] {
  const random = generator(seed);
  return Array.from({ length: count }, () => {
    const drawn = soundBuild(random);
    const asked = drawn.ambient.pressurePa * (1.3 + 1.2 * random());
    const goal = { kind: 'manifold-pressure', curve: [{ engineSpeedRpm: 3000, value: asked }] } as const;
    const turbine = randomTurbine(random, drawn);
    const efficiency =
      turbine.efficiency.kind === 'sheet' ? ({ kind: 'number', value: 0.65 } as const) : turbine.efficiency;
    const litres = drawn.engine.displacementM3 * 1e3;
    // Sizes at which most goals are held or nearly.
    return { ...drawn, goal, turbine: { ...turbine, efficiency, capacityFactor: (0.6 + random()) * litres * 0.5 } };
  });
}

/** Points of both inputs at the same engine speeds, held by the goal in both, or short of it in both. */
function pairs(before: MatchInput, after: MatchInput, by: 'goal' | 'turbine'): Pair[] {
  const line = solveOperatingLine(after);
  return solveOperatingLine(before).flatMap((a, i) => {
    const b = line[i]!;
    if (a.status !== 'ok' || b.status !== 'ok') return [];
    return a.turbine?.heldBy === by && b.turbine?.heldBy === by ? [[a, b] as const] : [];
  });
}

interface Claim {
  name: string;
  change: (input: MatchInput & { turbine: TurbineInput }) => MatchInput;
  held: Readonly<Record<string, (a: OperatingPointSolved, b: OperatingPointSolved) => boolean>>;
  limited: Readonly<Record<string, (a: OperatingPointSolved, b: OperatingPointSolved) => boolean>>;
}

const p3 = (p: OperatingPointSolved) => p.turbineInletPressurePa!;
const ratio = (p: OperatingPointSolved) => p.expansionRatio!;
const share = (p: OperatingPointSolved) => p.wastegateShare!;
const air = (p: OperatingPointSolved) => p.airMassFlowKgPerS;
const boost = (p: OperatingPointSolved) => p.manifoldPressurePa;
const lower = (of: (p: OperatingPointSolved) => number) => (a: OperatingPointSolved, b: OperatingPointSolved) =>
  of(b) < of(a);
const higher = (of: (p: OperatingPointSolved) => number) => (a: OperatingPointSolved, b: OperatingPointSolved) =>
  of(b) > of(a);

const withTurbine =
  (more: (t: TurbineInput) => Partial<TurbineInput>) => (input: MatchInput & { turbine: TurbineInput }) => ({
    ...input,
    turbine: { ...input.turbine, ...more(input.turbine) },
  });

const CLAIMS: readonly Claim[] = [
  {
    // The compressor's power is nearly the same; more flow gives it with less work per kg, so with less expansion. Less back-pressure
    // leaves less burnt gas in the cylinder.
    name: 'a larger turbine',
    change: withTurbine((t) => ({ capacityFactor: 1.1 * t.capacityFactor! })),
    held: {
      'p3 is lower': lower(p3),
      'the expansion ratio is lower': lower(ratio),
      'less goes past the gate': lower(share),
      'the engine draws more': higher(air),
      'and makes more power': higher((p) => p.brakePowerW),
    },
    limited: { 'less boost is reached': lower(boost) },
  },
  {
    // More of the same expansion comes to the shaft.
    name: 'a more efficient turbine',
    change: withTurbine((t) => ({ efficiencyShift: (t.efficiencyShift ?? 0) + 0.03 })),
    held: { 'p3 is lower': lower(p3), 'more goes past the gate': higher(share), 'the engine draws more': higher(air) },
    limited: { 'more boost is reached': higher(boost) },
  },
  {
    name: 'a bearing that takes less',
    change: withTurbine((t) => ({ mechanicalEfficiency: Math.min(1, 1.03 * t.mechanicalEfficiency) })),
    held: {
      'p3 is not higher': (a, b) => p3(b) <= p3(a) * (1 + 1e-9),
      'not less goes past the gate': (a, b) => share(b) >= share(a) - 1e-9,
    },
    limited: { 'not less boost is reached': (a, b) => boost(b) >= boost(a) * (1 - 1e-9) },
  },
  {
    // The work of a kg goes with its temperature, and hot gas fills the same nozzle with less mass. Without an exhaust system, whose loss
    // also grows with temperature.
    name: 'a hotter exhaust, nothing behind the turbine',
    change: (input) => {
      const shift = (input.turbine.inletTemperatureShiftK ?? 0) + 40;
      return { ...input, turbine: { ...input.turbine, inletTemperatureShiftK: shift } };
    },
    held: {
      'more goes past the gate': higher(share),
      'the expansion ratio is lower': lower(ratio),
      'p3 is lower': lower(p3),
    },
    limited: { 'more boost is reached': higher(boost) },
  },
  {
    // p4 carries p3 up with it; a little less expansion does, because denser gas comes through.
    name: 'a tighter exhaust system',
    change: withTurbine((t) => ({ exhaustLoss: { ...t.exhaustLoss, lossPa: 1.4 * t.exhaustLoss.lossPa + 2000 } })),
    held: {
      'p3 is higher': higher(p3),
      'the engine draws less': lower(air),
      'the expansion ratio is lower': lower(ratio),
    },
    limited: { 'less boost is reached': lower(boost) },
  },
  {
    // The same boost from thinner air is a higher pressure ratio; and the exhaust expands to less.
    name: 'the same manifold pressure in thinner air (500 m up, as warm)',
    change: (input) => ({ ...input, ambient: { ...input.ambient, pressurePa: 0.942 * input.ambient.pressurePa } }),
    held: {
      'the expansion ratio is higher': higher(ratio),
      'the pressure ratio is higher': higher((p) => p.pressureRatio),
    },
    limited: {},
  },
  {
    // More compressor work for the same boost.
    name: 'a dirtier filter',
    change: (input) => ({ ...input, inletPath: { ...input.inletPath, lossPa: 1.5 * input.inletPath.lossPa + 500 } }),
    held: { 'p3 is higher': higher(p3), 'less goes past the gate': lower(share) },
    limited: { 'less boost is reached': lower(boost) },
  },
];

describe.each(CLAIMS)('$name', ({ name, change, held, limited }) => {
  const inputs = builds(name.length * 7, 220).map((input) =>
    name.startsWith('a hotter')
      ? { ...input, turbine: { ...input.turbine, exhaustLoss: { ...input.turbine.exhaustLoss, lossPa: 0 } } }
      : input,
  );
  const made = new Map<string, Pair[]>();
  const all = (by: 'goal' | 'turbine') => {
    const known = made.get(by) ?? inputs.flatMap((input) => pairs(input, change(input), by));
    made.set(by, known);
    return known;
  };

  it.each(Object.entries(held))('held points: %s', (_claim, holds) => {
    const compared = all('goal');
    expect(compared.length).toBeGreaterThan(60);
    expect(compared.filter(([a, b]) => !holds(a, b)).map(([a]) => a.engineSpeedRpm)).toEqual([]);
  });

  it.each(Object.entries(limited))('points short of the goal: %s', (_claim, holds) => {
    const compared = all('turbine');
    expect(compared.length).toBeGreaterThan(60);
    expect(compared.filter(([a, b]) => !holds(a, b)).map(([a]) => a.engineSpeedRpm)).toEqual([]);
  });
});

describe('boost threshold', () => {
  const speeds = Array.from({ length: 76 }, (_, i) => 1500 + 50 * i);
  function thresholdOf(turbine: TurbineInput, changes: Partial<MatchInput> = {}): number {
    const found = boostThreshold(solveOperatingLine(exampleInput({ turbine, engineSpeedsRpm: speeds, ...changes })));
    if (found?.status !== 'found') throw new Error(`not found: ${found?.status}`);
    return found.engineSpeedRpm;
  }
  const falls = (values: readonly number[]) => values.every((v, i) => i === 0 || v < values[i - 1]!);
  const rises = (values: readonly number[]) => values.every((v, i) => i === 0 || v > values[i - 1]!);

  it('comes later with a larger turbine', () => {
    expect(rises([1.8, 2, 2.2, 2.4, 2.6, 2.8].map((size) => thresholdOf(typicalTurbine(size))))).toBe(true);
  });

  it('comes later behind a tighter exhaust system', () => {
    const behind = (lossPa: number) =>
      thresholdOf(typicalTurbine(2.2, { exhaustLoss: { lossPa, atMassFlowKgPerS: 0.2, atDensityKgPerM3: 0.3 } }));
    expect(rises([0, 10_000, 20_000, 40_000].map(behind))).toBe(true);
  });

  it('comes earlier with a more efficient turbine and with hotter exhaust', () => {
    const of = (value: number) => thresholdOf(typicalTurbine(2.2, { efficiency: { kind: 'number', value } }));
    expect(falls([0.6, 0.64, 0.68, 0.72].map(of))).toBe(true);
    const at = (kelvin: number) =>
      thresholdOf(typicalTurbine(2.2, { inletTemperatureK: [{ engineSpeedRpm: 3000, value: kelvin }] }));
    expect(falls([1000, 1080, 1160, 1240].map(at))).toBe(true);
  });

  it('comes later for more boost', () => {
    const asked = (value: number) =>
      thresholdOf(typicalTurbine(2.2), { goal: { kind: 'gauge-boost', curve: [{ engineSpeedRpm: 3000, value }] } });
    expect(rises([80_000, 100_000, 120_000, 140_000].map(asked))).toBe(true);
  });
});

describe('the same boost from two turbines', () => {
  it('the one with less back-pressure fills the cylinders better, as the ideal cycle says', () => {
    const [small, large] = [1.2, 1.8].map((size) => {
      const [point] = solveOperatingLine(exampleInput({ turbine: typicalTurbine(size), engineSpeedsRpm: [6000] }));
      if (point?.status !== 'ok' || point.turbine?.heldBy !== 'goal') throw new Error('not held');
      return point;
    });
    expect(large!.manifoldPressurePa).toBe(small!.manifoldPressurePa);
    expect(large!.backPressureRatio!).toBeLessThan(small!.backPressureRatio! - 0.1);
    // Air over air = factor over factor times the manifold temperatures the other way (hand calculation).
    const expected =
      (large!.turbine!.breathingFactor / small!.turbine!.breathingFactor) *
      (small!.manifoldTemperatureK / large!.manifoldTemperatureK);
    expect(large!.airMassFlowKgPerS / small!.airMassFlowKgPerS).toBeCloseTo(expected, 9);
    expect(large!.brakePowerW / small!.brakePowerW).toBeCloseTo(expected, 9);
    expect(expected).toBeGreaterThan(1.01);
  });
});
