import { describe, expect, it } from 'vitest';
import { compareCandidates, findings, type MatchInput, solveOperatingLine } from '../../../src/match/index.ts';
import type { ComparisonKey, OperatingPoint, SolvedCandidate } from '../../../src/match/types.ts';
import type { TurbineInput } from '../../../src/turbine/types.ts';
import { exampleInput } from '../example-input.ts';
import { drivenPoint } from '../solved-example.ts';
import { typicalTurbine } from '../typical-turbine.ts';

/** A turbine that is known as exactly as a sheet: no band. */
const exact = (size: number, more: Partial<TurbineInput> = {}) => {
  const turbine = typicalTurbine(size, more);
  return { ...turbine, capacity: Object.create(turbine.capacity, { band: { value: 0 } }) as TurbineInput['capacity'] };
};
const candidate = (
  input: MatchInput,
  points: readonly OperatingPoint[] = solveOperatingLine(input),
): SolvedCandidate => ({
  input,
  points,
  findings: findings(points, input),
  ceilings: null,
  held: null,
});
const SPEEDS = Array.from({ length: 23 }, (_, i) => 1500 + 250 * i);
const sized = (size: number, more: Partial<TurbineInput> = {}) =>
  candidate(exampleInput({ turbine: exact(size, more), engineSpeedsRpm: SPEEDS }));
const rowOf = (a: SolvedCandidate, b: SolvedCandidate, key: ComparisonKey) =>
  compareCandidates(a, b).rows.find((row) => row.key === key);

const small = sized(2);
const large = sized(3);
const plain = candidate(exampleInput({ engineSpeedsRpm: SPEEDS }));

describe('a larger turbine against a smaller one, all else the same', () => {
  const { rows, sameBoost, differentInputs, onlyTurbine } = compareCandidates(small, large);
  const row = (key: ComparisonKey) => rows.find((r) => r.key === key)!;

  it('comes later, with less back-pressure and less to spare', () => {
    expect(row('boost-threshold')).toMatchObject({ verdict: 'worse' });
    expect(row('boost-threshold').difference).toBeGreaterThan(800);
    expect(row('back-pressure-ratio')).toMatchObject({ verdict: 'better' });
    expect(row('wastegate-flow-fraction')).toMatchObject({ verdict: 'worse' });
    expect([differentInputs, onlyTurbine]).toEqual([false, null]);
  });

  it('fills the cylinders better at the same boost: flow and power', () => {
    expect(row('air-at-same-boost')).toMatchObject({ verdict: 'better' });
    const [a, b] = [small, large].map(({ points }) => {
      const point = points.find((p) => p.engineSpeedRpm === sameBoost!.engineSpeedRpm);
      if (point?.status !== 'ok') throw new Error('a point expected');
      return point;
    });
    expect(b!.manifoldPressurePa).toBeCloseTo(a!.manifoldPressurePa, 3);
    expect(sameBoost!.backPressureB).toBeLessThan(sameBoost!.backPressureA);
    expect(sameBoost!.breathingB).toBeGreaterThan(sameBoost!.breathingA);
    // Speed-density: W ~ volumetric efficiency x p / T. At one lambda and bsfc power goes with air.
    const expected =
      (sameBoost!.breathingB / sameBoost!.breathingA) * (a!.manifoldTemperatureK / b!.manifoldTemperatureK) - 1;
    expect(sameBoost!.airGain).toBeCloseTo(expected, 8);
    expect(sameBoost!.powerGain).toBeCloseTo(sameBoost!.airGain, 8);
    expect(row('air-at-same-boost').relative).toBeCloseTo(sameBoost!.airGain, 12);
    expect(row('air-at-same-boost').a.engineSpeedRpm).toBe(sameBoost!.engineSpeedRpm);
  });

  it('does so by the ideal cycle, in the order of size that the hand calculation gives', () => {
    // (r_c - (p3/p_m)^(1/gamma)) / (r_c - 1), r_c 9, gamma about 1.32 (Heywood, ideal-cycle residual gas, from memory).
    const fill = (ratio: number) => (9 - ratio ** (1 / 1.32)) / 8;
    const { breathingA, breathingB, backPressureA, backPressureB } = sameBoost!;
    expect(breathingB / breathingA).toBeCloseTo(fill(backPressureB) / fill(backPressureA), 3);
  });

  it('turned round it is the other way round', () => {
    const back = compareCandidates(large, small);
    expect(back.sameBoost!.airGain).toBeCloseTo(1 / (1 + sameBoost!.airGain) - 1, 8);
    expect(back.rows.find(({ key }) => key === 'boost-threshold')!.verdict).toBe('better');
  });

  it('against itself is the same in every row', () => {
    const itself = compareCandidates(small, small);
    expect(itself.rows.map(({ verdict }) => verdict)).toEqual(itself.rows.map(() => 'same'));
    expect(itself.rows).toHaveLength(14);
    expect(itself.sameBoost!.airGain).toBe(0);
  });
});

describe('what is not known, or not the same', () => {
  it('without a turbine there are no rows of it; with one only, they are not known and it is said whose is', () => {
    expect(compareCandidates(plain, plain).rows).toHaveLength(10);
    expect(compareCandidates(plain, plain)).toMatchObject({ onlyTurbine: null, sameBoost: null });
    const mixed = compareCandidates(plain, small);
    for (const key of [
      'boost-threshold',
      'back-pressure-ratio',
      'wastegate-flow-fraction',
      'air-at-same-boost',
    ] as const) {
      expect(mixed.rows.find((row) => row.key === key)).toMatchObject({ verdict: 'unknown', difference: null });
    }
    expect(mixed).toMatchObject({ onlyTurbine: 'b', sameBoost: null, differentInputs: false });
    expect(compareCandidates(small, plain).onlyTurbine).toBe('a');
  });

  it('the exhaust is a condition, the turbine is not', () => {
    const differs = (more: Partial<TurbineInput>) => compareCandidates(small, sized(2, more)).differentInputs;
    expect(differs({ exhaustLoss: { lossPa: 9000, atMassFlowKgPerS: 0.2, atDensityKgPerM3: 0.3 } })).toBe(true);
    expect(differs({ inletTemperatureK: [{ engineSpeedRpm: 3000, value: 1150 }] })).toBe(true);
    expect(differs({ measuredBackPressureRatio: 1.2 })).toBe(true);
    expect(differs({ measuredBackPressureRatio: 1 })).toBe(false);
    expect(differs({ efficiency: { kind: 'number', value: 0.6 }, mechanicalEfficiency: 0.9 })).toBe(false);
  });

  it('a goal that is never held has a threshold over the highest engine speed: worse than any', () => {
    const row = rowOf(small, sized(5), 'boost-threshold')!;
    expect(row.b).toEqual({ value: 7000, engineSpeedRpm: null, bound: 'at-least' });
    expect(row.verdict).toBe('worse');
    expect(rowOf(sized(5), sized(6), 'boost-threshold')!.verdict).toBe('same');
    // Both hold it at their lowest engine speed: nothing is known to differ.
    const [one, other] = [sized(0.8), sized(1)];
    expect(rowOf(one, other, 'boost-threshold')).toMatchObject({ verdict: 'same', a: { bound: 'at-most' } });
  });

  it('at one engine speed alone, the one that holds the goal there comes earlier than the one that does not', () => {
    const input = exampleInput({ turbine: exact(2), engineSpeedsRpm: [3000] });
    const held = candidate(input, [drivenPoint(3000, 0.2)]);
    const short = candidate(input, [drivenPoint(3000, -0.2)]);
    expect(rowOf(held, short, 'boost-threshold')).toMatchObject({
      a: { value: 3000, bound: 'at-most' },
      b: { value: 3000, bound: 'at-least' },
      verdict: 'worse',
    });
    expect(rowOf(short, held, 'boost-threshold')!.verdict).toBe('better');
  });

  it('where no engine speed has the same boost there is nothing to compare it at', () => {
    const points = (pressure: number) => [drivenPoint(4000, 0.2, { manifoldPressurePa: pressure })];
    const at = (pressure: number) => candidate(small.input, points(pressure));
    expect(compareCandidates(at(200_000), at(200_150)).sameBoost).not.toBeNull();
    expect(compareCandidates(at(200_000), at(200_300)).sameBoost).toBeNull();
    expect(rowOf(at(200_000), at(200_300), 'air-at-same-boost')).toMatchObject({ verdict: 'unknown' });
  });
});

describe('what counts', () => {
  it('an engine speed that the exhaust does not drive up to the goal is not held', () => {
    const points = [drivenPoint(2000, -0.2), drivenPoint(3000, 0.1), drivenPoint(4000, 0.2), drivenPoint(5000, 0.3)];
    const held = rowOf(candidate(small.input, points), candidate(small.input, points.slice(1)), 'points-held')!;
    expect([held.a.value, held.b.value]).toEqual([0.75, 1]);
  });

  it('an estimated turbine widens the thresholds by its band', () => {
    const estimated = candidate(exampleInput({ turbine: typicalTurbine(3), engineSpeedsRpm: SPEEDS }));
    const band = estimated.input.turbine!.capacity.band;
    const gate = rowOf(small, estimated, 'wastegate-flow-fraction')!;
    expect(gate).toMatchObject({ threshold: band, thresholdFrom: 'estimate' });
    const threshold = rowOf(small, estimated, 'boost-threshold')!;
    expect(threshold.threshold).toBeCloseTo(band * threshold.b.value!, 9);
    expect(rowOf(small, estimated, 'air-at-same-boost')!.thresholdFrom).toBe('estimate');
    expect(rowOf(small, large, 'wastegate-flow-fraction')).toMatchObject({ threshold: 0.03, thresholdFrom: 'usual' });
  });

  it('a threshold is told apart to half a step of the engine speeds, and never finer than 100 rpm', () => {
    expect(rowOf(small, large, 'boost-threshold')!.threshold).toBe(125);
    const fine = (size: number) => {
      const engineSpeedsRpm = Array.from({ length: 56 }, (_, i) => 1500 + 100 * i);
      return candidate(exampleInput({ turbine: exact(size), engineSpeedsRpm }));
    };
    expect(rowOf(fine(2), fine(2), 'boost-threshold')!.threshold).toBe(100);
  });

  it('says of both whether a limit is crossed', () => {
    const over = candidate({ ...small.input, limits: { shaftSpeedRpm: 90_000 } });
    const calm = candidate(small.input, [drivenPoint(3000, 0.1), drivenPoint(4000, 0.2)]);
    expect(compareCandidates(calm, over).stops).toEqual([false, true]);
  });
});
