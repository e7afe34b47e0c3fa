import { describe, expect, it } from 'vitest';
import {
  type Finding,
  findings,
  type MatchInput,
  type OperatingPoint,
  solveOperatingLine,
} from '../../src/match/index.ts';
import { fitCapacity } from '../../src/turbine/index.ts';
import type { TurbineInput } from '../../src/turbine/types.ts';
import { exampleInput } from './example-input.ts';
import { drivenPoint, missingPoint } from './solved-example.ts';
import { typicalTurbine } from './typical-turbine.ts';

const constant = (value: number) => [{ engineSpeedRpm: 3000, value }];
/** Points of a sheet, invented: they end at an expansion ratio of 2.6. */
function sheetTurbine(more: Partial<TurbineInput> = {}): TurbineInput {
  const fit = fitCapacity({
    name: 'invented',
    source: 'test',
    flow: { kind: 'corrected', unit: 'kg/s', reference: { temperatureK: 288.15, pressurePa: 101_325 } },
    lines: [
      {
        points: [
          { expansionRatio: 1.3, flow: 0.1 },
          { expansionRatio: 1.6, flow: 0.118 },
          { expansionRatio: 2, flow: 0.127 },
          { expansionRatio: 2.6, flow: 0.13 },
        ],
      },
    ],
  });
  if (!fit.ok) throw new Error(JSON.stringify(fit.problems));
  return typicalTurbine(1, { capacity: fit.capacity, inletTemperatureK: constant(1173.15), ...more });
}
const input = (changes: Partial<MatchInput> = {}) =>
  exampleInput({ turbine: sheetTurbine(), limits: { shaftSpeedRpm: 150_000 }, ...changes });
const HELD = [drivenPoint(2500, 0.1), drivenPoint(4000, 0.25), drivenPoint(6000, 0.3)];
const LINE = [drivenPoint(1500, -0.4), drivenPoint(2000, -0.2), ...HELD];
const of = (points: readonly OperatingPoint[], changes: Partial<MatchInput> = {}) => findings(points, input(changes));
const codes = (list: readonly Finding[]) => list.map(({ code }) => code);
function only(list: readonly Finding[], code: string): Finding {
  const hits = list.filter((entry) => entry.code === code);
  expect(hits.map((hit) => hit.code)).toEqual([code]);
  return hits[0]!;
}

describe('what the exhaust drives', () => {
  it('the threshold is a note with what is reached where it falls farthest short; the line is good all the same', () => {
    const list = of(LINE);
    const threshold = only(list, 'boost-threshold');
    expect(threshold).toMatchObject({ severity: 'note', engineSpeedRpm: 2500, rangeRpm: [1500, 2000] });
    // 211,325 Pa asked for; 0.6 of it less ambient 101,325 Pa.
    expect(threshold.values).toMatchObject({ shortRpm: 1500, reachedShare: 0.6 });
    expect(threshold.values.boostPa).toBeCloseTo(0.6 * 211_325 - 101_325, 6);
    expect(threshold.values.goalBoostPa).toBeCloseTo(110_000, 6);
    expect(codes(list)).not.toContain('turbine-limited');
    const good = only(list, 'within-limits');
    expect(good.values).toMatchObject({ points: 5, backPressureRatio: 1.18, wastegateShare: 0.3 });
    expect(good.values.thresholdRpm).toBe(threshold.values.thresholdRpm);
  });

  it('a threshold below the lowest engine speed is said to be so', () => {
    expect(only(of(HELD), 'boost-threshold').values).toEqual({ thresholdRpm: 2500, below: 1 });
    expect(only(of(HELD), 'within-limits').values.thresholdRpm).toBeUndefined();
  });

  it('short of the goal over the threshold is a caution for each run, and clouds the good news', () => {
    const list = of([...LINE, drivenPoint(6500, -0.03), drivenPoint(7000, -0.08, {}, { choked: true })]);
    const limited = only(list, 'turbine-limited');
    expect(limited).toMatchObject({ severity: 'caution', engineSpeedRpm: 7000, rangeRpm: [6500, 7000] });
    expect(limited.values).toMatchObject({ reachedShare: 0.92, choked: 1 });
    expect(codes(list)).not.toContain('within-limits');
    expect(codes(list).indexOf('turbine-limited')).toBeLessThan(codes(list).indexOf('turbine-choked'));
  });

  it('a little boost that is held early is not said to be held nowhere', () => {
    const early = drivenPoint(1500, 0.2, { manifoldPressurePa: 112_000 });
    const list = of([early, drivenPoint(2000, -0.05), drivenPoint(4000, -0.3), drivenPoint(6000, -0.15)]);
    const never = only(list, 'turbine-never-holds');
    expect(never).toMatchObject({
      engineSpeedRpm: 4000,
      values: { heldRpm: 1500, highestRpm: 6000, reachedShare: 0.7 },
    });
  });

  it('a goal that is held nowhere is a caution of its own, and nothing is good', () => {
    const list = of([drivenPoint(2000, -0.4), drivenPoint(4000, -0.1), drivenPoint(6000, -0.15)]);
    expect(only(list, 'turbine-never-holds')).toMatchObject({ severity: 'caution', engineSpeedRpm: 2000 });
    expect(only(list, 'turbine-never-holds').values).toMatchObject({ highestRpm: 6000, reachedShare: 0.6 });
    expect(only(list, 'turbine-never-holds').values.heldRpm).toBeUndefined();
    expect(codes(list)).not.toContain('within-limits');
    expect(codes(list)).not.toContain('turbine-limited');
    expect(codes(list)).not.toContain('boost-threshold');
  });

  it('says what is reached in the quantity of the goal', () => {
    const limited = (kind: MatchInput['goal']['kind']) =>
      only(of([...HELD, drivenPoint(6500, -0.1)], { goal: { kind, curve: constant(1) } }), 'turbine-limited').values;
    expect(Object.keys(limited('manifold-pressure'))).toEqual(['reachedShare', 'pressurePa', 'goalPressurePa']);
    expect(limited('brake-power').goalBrakePowerW).toBeCloseTo((6500 * 35) / 0.9, 6);
    expect(limited('wheel-power').goalWheelPowerW).toBeCloseTo((6500 * 30) / 0.9, 6);
  });

  it('no boost at all is a note under the threshold, and stops the match over it or without one', () => {
    const weak = (rpm: number) => missingPoint(rpm, 'turbine-too-weak');
    expect(only(of([weak(1000), ...LINE]), 'no-point-turbine-too-weak').severity).toBe('note');
    expect(only(of([...LINE, weak(6500)]), 'no-point-turbine-too-weak').severity).toBe('stop');
    expect(only(of([weak(1000), weak(2000)]), 'no-point-turbine-too-weak').severity).toBe('stop');
    expect(only(of([...LINE, missingPoint(6500, 'exhaust-blocked')]), 'no-point-exhaust-blocked').severity).toBe(
      'stop',
    );
  });

  it('without a turbine says what it cannot know, and nothing else of it', () => {
    const plain = exampleInput();
    const list = findings(solveOperatingLine(plain), plain);
    expect(only(list, 'no-turbine').severity).toBe('note');
    expect(codes(list).filter((code) => /turbine|gate|back-pressure|threshold/.test(code))).toEqual(['no-turbine']);
    expect(codes(of(LINE))).not.toContain('no-turbine');
  });
});

describe('limits of the turbine', () => {
  it('back-pressure over its limit stops the match; at the limit it holds', () => {
    const limits = (backPressureRatio: number) => ({ limits: { shaftSpeedRpm: 150_000, backPressureRatio } });
    const crossed = only(of(LINE, limits(1.1)), 'back-pressure');
    expect(crossed).toMatchObject({ severity: 'stop', values: { backPressureRatio: 1.18, limitRatio: 1.1 } });
    expect(codes(of(LINE, limits(1.18)))).not.toContain('back-pressure');
  });

  it('too hot an exhaust stops with a limit, and without one is a caution only over 950 degrees Celsius', () => {
    const hot = [...HELD, drivenPoint(6500, 0.3, {}, { inletTemperatureK: 1243.15 })];
    const limits = { shaftSpeedRpm: 150_000, turbineInletTemperatureK: 1223.15 };
    expect(only(of(hot, { limits }), 'turbine-temperature')).toMatchObject({
      severity: 'stop',
      engineSpeedRpm: 6500,
      values: { temperatureK: 1243.15, limitK: 1223.15 },
    });
    expect(codes(of(hot, { limits }))).not.toContain('turbine-heat');
    expect(only(of(hot), 'turbine-heat')).toMatchObject({ severity: 'caution', engineSpeedRpm: 6500 });
    expect(codes(of(HELD))).not.toContain('turbine-heat');
  });
});

describe('gate and capacity', () => {
  it('what is left at peak power is a note, next to nothing a caution', () => {
    expect(only(of(LINE), 'wastegate-flow-fraction')).toMatchObject({ severity: 'note', engineSpeedRpm: 6000 });
    const thin = of([...LINE, drivenPoint(6500, 0.02)]);
    expect(only(thin, 'gate-nearly-shut')).toMatchObject({ severity: 'caution', values: { wastegateShare: 0.02 } });
    expect(codes(thin)).not.toContain('wastegate-flow-fraction');
    // Where peak power is turbine-limited that is said, and nothing of a share.
    const limited = codes(of([...LINE, drivenPoint(6500, -0.01)]));
    for (const code of ['gate-nearly-shut', 'wastegate-flow-fraction']) expect(limited).not.toContain(code);
  });

  it('says what the gate must open where its size is not entered, and creep, nearly open or held where it is', () => {
    expect(only(of(LINE), 'gate-area')).toMatchObject({ severity: 'note', values: { neededM2: 1e-4 } });
    const sized = { turbine: { ...typicalTurbine(), gateAreaM2: 2e-4 } };
    const opened = (gateOpening: number, heldBy: 'goal' | 'gate' = 'goal', reachedShare = 1) =>
      drivenPoint(6500, 0.3, {}, { gateOpening, gateAreaM2: gateOpening * 2e-4, heldBy, reachedShare });
    const held = of([...LINE, opened(0.8)], sized);
    expect(only(held, 'gate-area').values).toEqual({ neededM2: 1.6e-4, areaM2: 2e-4 });
    expect(codes(held)).not.toContain('gate-nearly-open');
    expect(only(of([...LINE, opened(0.85)], sized), 'gate-nearly-open').severity).toBe('caution');
    const crept = only(of([...LINE, opened(1.4, 'gate', 1.12)], sized), 'gate-creep');
    expect(crept).toMatchObject({ severity: 'stop', engineSpeedRpm: 6500, values: { neededM2: 2.8e-4, areaM2: 2e-4 } });
    // Over the goal by less than a gauge shows: a caution, not a stop.
    const barely = of([...LINE, opened(1.01, 'gate', 1.003)], sized);
    expect(codes(barely)).toContain('gate-nearly-open');
    expect(codes(barely)).not.toContain('gate-creep');
  });

  it('without a gate the boost rises over the goal where exhaust would have to go past', () => {
    const list = of(LINE, { turbine: sheetTurbine({ hasGate: false }) });
    expect(only(list, 'no-gate')).toMatchObject({ severity: 'caution', engineSpeedRpm: 6000, rangeRpm: [2500, 6000] });
    expect(codes(list)).not.toContain('wastegate-flow-fraction');
    const fixed = of([drivenPoint(2000, -0.2), drivenPoint(4000, 0)], { turbine: sheetTurbine({ hasGate: false }) });
    expect(codes(fixed)).not.toContain('no-gate');
  });

  it('a choked turbine is a note while the gate takes the rest, a caution where none does', () => {
    const at = (share: number) =>
      drivenPoint(6500, share, { expansionRatio: 3.1, turbineInletPressurePa: 340_000 }, { choked: true });
    expect(only(of([...LINE, at(0.2)]), 'turbine-choked')).toMatchObject({
      severity: 'note',
      values: { expansionRatio: 3.1, turbineInletPressurePa: 340_000 },
    });
    expect(only(of([...LINE, at(-0.1)]), 'turbine-choked').severity).toBe('caution');
    const gateless = of([...LINE, at(0.2)], { turbine: sheetTurbine({ hasGate: false }) });
    expect(only(gateless, 'turbine-choked').severity).toBe('caution');
  });

  it('short of the goal by less than a gauge shows is not said', () => {
    expect(codes(of([...LINE, drivenPoint(6500, -0.004)]))).not.toContain('turbine-limited');
    expect(codes(of([...LINE, drivenPoint(6500, -0.006)]))).toContain('turbine-limited');
  });

  it('capacity past the last point of the sheet is a caution, elsewhere outside it a note', () => {
    const at = (rpm: number, expansionRatio: number) => drivenPoint(rpm, 0.2, { expansionRatio }, { extended: true });
    const found = of([at(2500, 1.1), ...HELD.slice(1), at(6500, 2.9)]).filter(
      ({ code }) => code === 'turbine-extended',
    );
    expect(found.map(({ severity, values }) => [severity, values])).toEqual([
      ['caution', { expansionRatio: 2.9, lastExpansionRatio: 2.6 }],
      ['note', { expansionRatio: 1.1 }],
    ]);
  });

  it('an estimated turbine says its band once, and has no points to be outside of', () => {
    const turbine = typicalTurbine();
    const list = of([drivenPoint(3000, 0.1, {}, { extended: true })], { turbine });
    expect(only(list, 'turbine-estimated')).toMatchObject({
      severity: 'caution',
      values: { band: turbine.capacity.band },
    });
    expect(codes(list)).not.toContain('turbine-extended');
    expect(codes(of(LINE))).not.toContain('turbine-estimated');
  });

  it('names the highest back-pressure and the range of an estimated temperature', () => {
    const list = of([
      drivenPoint(3000, 0.1, {}, { temperatureEstimated: true, inletTemperatureK: 1100 }),
      drivenPoint(6000, 0.2, { backPressureRatio: 1.4 }, { temperatureEstimated: true, inletTemperatureK: 1180 }),
    ]);
    expect(only(list, 'peak-back-pressure')).toMatchObject({
      engineSpeedRpm: 6000,
      values: { backPressureRatio: 1.4 },
    });
    expect(only(list, 'turbine-temperature-estimated').values).toEqual({ lowestK: 1100, highestK: 1180 });
    expect(codes(of(LINE))).not.toContain('turbine-temperature-estimated');
  });

  it('over 2 the back-pressure ratio is a caution, unless a limit says what the engine bears (common practice, no source)', () => {
    const line = [drivenPoint(6000, 0.2, { backPressureRatio: 2.3 })];
    expect(only(of(line), 'peak-back-pressure')).toMatchObject({ severity: 'caution', values: { unusual: 1 } });
    const limits = (backPressureRatio: number) => ({ limits: { shaftSpeedRpm: 150_000, backPressureRatio } });
    expect(only(of(line, limits(2.5)), 'peak-back-pressure')).toMatchObject({ severity: 'note' });
    const usual = [drivenPoint(6000, 0.2, { backPressureRatio: 1.9 })];
    expect(only(of(usual), 'peak-back-pressure').severity).toBe('note');
  });

  it('an entered temperature is held outside its points', () => {
    const inletTemperatureK = [
      { engineSpeedRpm: 2500, value: 1100 },
      { engineSpeedRpm: 5000, value: 1200 },
    ];
    const list = of(HELD, { turbine: sheetTurbine({ inletTemperatureK }) });
    expect(only(list, 'curve-held-turbine-temperature')).toMatchObject({ severity: 'note', engineSpeedRpm: 6000 });
  });
});

describe('on solved lines', () => {
  it('the threshold, the back-pressure and the share are those of the points', () => {
    const solvable = exampleInput({ turbine: typicalTurbine(3), limits: { shaftSpeedRpm: 150_000 } });
    const points = solveOperatingLine(solvable);
    const list = findings(points, solvable);
    const solved = points.filter((p) => p.status === 'ok');
    expect(only(list, 'peak-back-pressure').values.backPressureRatio).toBe(
      Math.max(...solved.map((p) => p.backPressureRatio!)),
    );
    const peak = solved.reduce((best, p) => (p.brakePowerW > best.brakePowerW ? p : best));
    expect(only(list, 'wastegate-flow-fraction').values.wastegateShare).toBe(peak.wastegateShare);
    const { thresholdRpm, goalBoostPa } = only(list, 'boost-threshold').values;
    expect(thresholdRpm).toBeGreaterThan(3000);
    expect(thresholdRpm).toBeLessThan(4000);
    expect(goalBoostPa).toBeCloseTo(110_000, 3);
  });

  it('a turbine that is far too large never holds the goal', () => {
    const solvable = exampleInput({ turbine: typicalTurbine(5), limits: { shaftSpeedRpm: 150_000 } });
    const list = findings(solveOperatingLine(solvable), solvable);
    expect(codes(list)).toContain('turbine-never-holds');
    expect(codes(list)).not.toContain('within-limits');
  });
});
