import { describe, expect, it } from 'vitest';
import { driftBetween, readRoadLog, solveOperatingLine, takeVolumetricEfficiency } from '../../../src/match/index.ts';
import type { MatchInput, RoadLogOptions, RoadLogResult } from '../../../src/match/types.ts';
import { evaluateCurve } from '../../../src/numerics/index.ts';
import { demoInput, logOf, readingsOf, solvedAt, steps } from './made-log.ts';

const SPEEDS = steps(2500, 6500, 50);
const input = demoInput(0);
const columns = (car: MatchInput) => readingsOf(solvedAt(car, SPEEDS));
const withVe = (factor: (n: number) => number): MatchInput => ({
  ...input,
  engine: {
    ...input.engine,
    volumetricEfficiency: steps(2000, 7000, 250).map((n) => ({
      engineSpeedRpm: n,
      value: evaluateCurve(input.engine.volumetricEfficiency, n)! * factor(n),
    })),
  },
});

describe('the volumetric efficiency of a log', () => {
  it.each([0, 1] as const)(
    'is the entered one where the log is that of the entered car, turbo %s: taken and solved again, the speeds agree to 0.02 %',
    (candidate) => {
      const entered = demoInput(candidate);
      const points = solvedAt(entered, steps(2000, 6500, 100));
      const { fit } = readRoadLog(entered, logOf(readingsOf(points)));
      const taken = takeVolumetricEfficiency(entered.engine.volumetricEfficiency, fit!);
      const again = solvedAt(
        { ...entered, engine: { ...entered.engine, volumetricEfficiency: taken.curve } },
        steps(2000, 6500, 100),
      );
      again.forEach((point, i) => {
        expect(
          Math.abs(point.shaftSpeedRpm / points[i]!.shaftSpeedRpm - 1),
          `${point.engineSpeedRpm} rpm`,
        ).toBeLessThanOrEqual(2e-4);
      });
      expect(taken.tolerance).toBeGreaterThan(0);
      expect(taken.tolerance).toBeLessThan(0.08);
    },
  );

  it('moves towards a car that breathes 4 % better, by most of it where the map meters well, and never past it by more than its band', () => {
    const better = withVe(() => 1.04);
    const { fit, rows } = readRoadLog(input, logOf(columns(better)));
    for (const point of fit!.volumetricEfficiency) {
      const share = (point.value / point.entered - 1) / 0.04;
      expect(share).toBeLessThan(1 + (2 * point.standardDeviation) / point.value / 0.04);
      if (point.engineSpeedRpm >= 4500) expect(share, `${point.engineSpeedRpm} rpm`).toBeGreaterThan(0.6);
      expect(point.standardDeviation).toBeLessThan(point.priorDeviation);
    }
    // A row alone is not drawn to the entered curve: without noise or bias it is the truth.
    for (const row of rows.filter((one) => one.flows.length === 1)) {
      expect(
        row.volumetricEfficiency! / evaluateCurve(better.engine.volumetricEfficiency, row.engineSpeedRpm)!,
      ).toBeCloseTo(1, 5);
    }
    expect(fit!.shaftSpeedDeviation.after).toBeLessThan(0.2 * fit!.shaftSpeedDeviation.before);
  });

  it('taken, leaves the curve outside the covered range as it was and joins within 250 rpm; back-pressure is not corrected twice', () => {
    const better = withVe(() => 1.03);
    const speeds = steps(3500, 5500, 50);
    const { fit } = readRoadLog(input, logOf(readingsOf(solvedAt(better, speeds))));
    const taken = takeVolumetricEfficiency(input.engine.volumetricEfficiency, fit!);
    const entered = (n: number) => evaluateCurve(input.engine.volumetricEfficiency, n)!;
    for (const n of [...steps(1500, 3200, 100), ...steps(5800, 7000, 100)])
      expect(evaluateCurve(taken.curve, n)!).toBeCloseTo(entered(n), 12);
    expect(evaluateCurve(taken.curve, 4500)!).toBeCloseTo(evaluateCurve(fit!.volumetricEfficiency, 4500)!, 12);
    expect(taken.curve.every((point, i) => i === 0 || point.engineSpeedRpm > taken.curve[i - 1]!.engineSpeedRpm)).toBe(
      true,
    );
    // The car that was driven: its shaft speeds come back within the band of the fit, turbine and back-pressure in both.
    const car = solvedAt(better, speeds);
    const again = solvedAt({ ...input, engine: { ...input.engine, volumetricEfficiency: taken.curve } }, speeds);
    const off = car.map((point, i) => Math.abs(again[i]!.airMassFlowKgPerS / point.airMassFlowKgPerS - 1));
    expect(Math.max(...off)).toBeLessThan(0.02);
  });

  it('is not fitted to a shaft speed that no blade count explains, nor without any meter', () => {
    const read = columns(input);
    expect(readRoadLog(input, logOf({ ...read, shaftSpeed: read.shaftSpeed.map((n) => n * 1.31) })).fit).toBeNull();
    expect(
      readRoadLog(input, logOf({ engineSpeed: read.engineSpeed, manifoldPressure: read.manifoldPressure })).fit,
    ).toBeNull();
  });
});

describe('causes', () => {
  const { chargeTemperature: _, ...plain } = columns(input);
  const keysOf = (group: RoadLogResult['causes'][number] | undefined) => group?.members.map(({ key }) => key).sort();
  const tight: MatchInput = { ...input, inletPath: { ...input.inletPath, lossPa: 1.5 * input.inletPath.lossPa } };
  const tightPoints = solvedAt(tight, SPEEDS);
  const tightColumns = readingsOf(tightPoints);

  it('an inlet that is half as tight again: the group of the flow first, all four of it, none alone', () => {
    const { chargeTemperature: __, ...log } = tightColumns;
    const [first] = readRoadLog(input, logOf(log)).causes;
    expect(first?.group).toBe('flow');
    expect(keysOf(first)).toEqual(['coolerEffectiveness', 'inletLoss', 'mapFlow', 'volumetricEfficiency']);
    expect(first?.separatedBy).toBe('compressorInletPressure');
  });

  it('fewer of them with a charge temperature, and still more than one', () => {
    const [first] = readRoadLog(input, logOf(tightColumns)).causes;
    expect(first?.group).toBe('flow');
    expect(keysOf(first)).toContain('inletLoss');
    expect(first!.members.length).toBeGreaterThan(1);
    expect(first!.members.length).toBeLessThan(4);
  });

  it('with the pressure before the compressor: the inlet loss, alone', () => {
    const log = logOf({
      ...tightColumns,
      compressorInletPressure: tightPoints.map((p) => p.compressorInletPressurePa),
    });
    const [first] = readRoadLog(input, log).causes;
    expect(keysOf(first)).toEqual(['inletLoss']);
    expect(first?.leads).toBe(true);
    // Five deviations of its tolerance: more than was entered as possible.
    expect(first?.outside).toBe(true);
    expect(first!.members[0]!.alone).toBeGreaterThan(0.4);
    expect(first!.members[0]!.alone).toBeLessThan(0.55);
  });

  it.each([
    [
      'a gauge that reads 1.5 kPa high',
      { manifoldPressure: plain.manifoldPressure.map((p) => p + 1500) },
      'pressure',
      'manifoldOffset',
    ],
    ['a shaft speed that reads 1 % high', { shaftSpeed: plain.shaftSpeed.map((n) => 1.01 * n) }, 'speed', 'shaftScale'],
  ] as const)('%s: its group first, and it is among the members', (_name, changed, group, key) => {
    const [first] = readRoadLog(input, logOf({ ...plain, ...changed })).causes;
    expect(first?.group).toBe(group);
    expect(keysOf(first)).toContain(key);
    expect(first!.members.length).toBeGreaterThan(1);
  });

  it('nothing that leads where nothing is off', () => {
    expect(readRoadLog(input, logOf(plain)).causes.filter(({ leads }) => leads)).toEqual([]);
  });
});

describe('what to log next', () => {
  it('names what is not logged, the best first; logged, that is the band', () => {
    const points = solvedAt(input, SPEEDS);
    const { chargeTemperature, ...plain } = readingsOf(points);
    const before = readRoadLog(input, logOf(plain));
    const advice = before.whatToLogNext;
    expect(advice.length).toBeGreaterThan(2);
    expect(advice.map((a) => a.deviationThen)).toEqual([...advice.map((a) => a.deviationThen)].sort((a, b) => a - b));
    const promised = advice.find(({ channels }) => channels[0] === 'chargeTemperature')!;
    const after = readRoadLog(input, logOf({ ...plain, chargeTemperature }));
    expect(after.whatToLogNext.some(({ channels }) => channels[0] === 'chargeTemperature')).toBe(false);
    // By derivatives before, by a fit after: alike to a tenth.
    expect(promised.deviationThen / after.whatToLogNext[0]!.deviationNow).toBeGreaterThan(0.9);
    expect(promised.deviationThen / after.whatToLogNext[0]!.deviationNow).toBeLessThan(1.1);
  });
});

describe('further meters', () => {
  const points = solvedAt(input, SPEEDS);
  const read = {
    ...readingsOf(points),
    lambda: points.map((p) => evaluateCurve(input.engine.lambda, p.engineSpeedRpm)!),
  };
  const meters = (factor: { air?: number; fuel?: number; power?: number }) =>
    readRoadLog(
      input,
      logOf({
        ...read,
        airMassFlow: points.map((p) => p.airMassFlowKgPerS * (factor.air ?? 1)),
        fuelMassFlow: points.map((p) => p.fuelMassFlowKgPerS * (factor.fuel ?? 1)),
        brakePower: points.map((p) => p.brakePowerW * (factor.power ?? 1)),
      }),
    );

  it('agree with the map where the line has them all', () => {
    const result = meters({});
    expect(result.meters.map(({ meter }) => meter)).toEqual(['air-mass', 'fuel', 'power']);
    for (const one of result.meters) {
      expect(one.against).toBe('map');
      expect(Math.abs(one.difference)).toBeLessThan(1e-5);
      expect(one.differ).toBe(false);
    }
  });

  it('a power at the wheels that was corrected to a standard day is undone: the same air as from the measured one', () => {
    // By the standard's own equation, SAE J1349 of June 1990, written out here.
    const { pressurePa, temperatureK, vapourMoleFraction } = input.ambient;
    const factor = 1.18 * (99_000 / (pressurePa * (1 - vapourMoleFraction))) * Math.sqrt(temperatureK / 298) - 0.18;
    const stated = points.map((p) => p.brakePowerW * (1 - input.engine.drivelineLoss) * factor);
    const found = (options: RoadLogOptions) =>
      readRoadLog(input, logOf({ ...read, brakePower: stated }), options).meters.find(
        ({ meter }) => meter === 'power',
      )!;
    expect(Math.abs(found({ power: { at: 'wheels', correction: 'sae-j1349' } }).difference)).toBeLessThan(1e-5);
    const taken = Math.log((1 - input.engine.drivelineLoss) * factor);
    expect(found({}).difference).toBeCloseTo(taken, 3);
  });

  it('that differ from it by more than their bands are named', () => {
    const result = meters({ fuel: 0.85 });
    expect(result.meters.find(({ meter }) => meter === 'fuel')).toMatchObject({ differ: true });
    expect(result.meters.find(({ meter }) => meter === 'air-mass')).toMatchObject({ differ: false });
    expect(result.warnings.filter(({ code }) => code === 'meters-differ').map(({ meter }) => meter)).toEqual(['fuel']);
  });

  it('one whose scale alone is off leads the causes alone, and the curve is not what is blamed', () => {
    for (const [factor, key] of [
      [{ air: 1.08 }, 'airMassScale'],
      [{ fuel: 0.92 }, 'fuelScale'],
      [{ power: 1.15 }, 'powerScale'],
    ] as const) {
      const [first] = meters(factor).causes;
      expect(first).toMatchObject({ group: 'meters', leads: true });
      expect(first!.members.map((member) => member.key)).toEqual([key]);
      expect(Math.sign(first!.members[0]!.alone)).toBe(Math.sign(Object.values(factor)[0]! - 1));
    }
  });

  it('one alone, without a shaft speed, cannot be told from the volumetric efficiency; the shaft speed would tell', () => {
    const { shaftSpeed: _, ...rest } = read;
    for (const [columns, key] of [
      [{ airMassFlow: points.map((p) => 1.08 * p.airMassFlowKgPerS) }, 'airMassScale'],
      [{ fuelMassFlow: points.map((p) => 1.1 * p.fuelMassFlowKgPerS) }, 'fuelScale'],
      [{ brakePower: points.map((p) => 0.85 * p.brakePowerW) }, 'powerScale'],
    ] as const) {
      const [first] = readRoadLog(input, logOf({ ...rest, ...columns })).causes;
      expect(first!.members.map((member) => member.key).sort()).toEqual([key, 'volumetricEfficiency'].sort());
      expect(first!.separatedBy).toBe('shaftSpeed');
    }
  });

  it('that agree with a shaft speed of a car that breathes 6 % less blame none of their scales', () => {
    const poorer = solvedAt(
      withVe(() => 0.94),
      SPEEDS,
    );
    const [first] = readRoadLog(
      input,
      logOf({ ...readingsOf(poorer), airMassFlow: poorer.map((p) => p.airMassFlowKgPerS) }),
    ).causes;
    expect(first!.members.map((member) => member.key)).toContain('volumetricEfficiency');
    expect(first!.members.map((member) => member.key)).not.toContain('airMassScale');
  });

  it('give a fit without any shaft speed', () => {
    const better = withVe(() => 1.04);
    const fuelPoints = solvedAt(better, SPEEDS);
    const { shaftSpeed: _, ...rest } = readingsOf(fuelPoints);
    const { fit } = readRoadLog(
      input,
      logOf({ ...rest, lambda: read.lambda, fuelMassFlow: fuelPoints.map((p) => p.fuelMassFlowKgPerS) }),
    );
    const middle = fit!.volumetricEfficiency.find((p) => p.engineSpeedRpm === 4500)!;
    expect((middle.value / middle.entered - 1) / 0.04).toBeGreaterThan(0.4);
    expect(middle.standardDeviation / middle.value).toBeLessThan(0.6 * (middle.priorDeviation / middle.entered));
  });
});

describe('drift between two logs', () => {
  const read = (car: MatchInput, entered = input) => readRoadLog(entered, logOf(columns(car)));

  it('is none between a log and itself, and none between two altitudes of one car', () => {
    const thin = {
      ...input,
      ambient: { ...input.ambient, pressurePa: 80_000, temperatureK: 300.15 },
      goal: { kind: 'gauge-boost', curve: [{ engineSpeedRpm: 3000, value: 70_000 }] },
    } as const;
    const high = readRoadLog(input, logOf(columns(thin)), { ambient: thin.ambient });
    for (const drift of [driftBetween(read(input), read(input)), driftBetween(read(input), high)]) {
      expect(drift.length).toBeGreaterThan(4);
      expect(drift.filter(({ drifted }) => drifted)).toEqual([]);
    }
  });

  it('is found where the engine has lost 6 % of its breath', () => {
    const drift = driftBetween(read(input), read(withVe(() => 0.94)));
    const good = drift.filter(({ volumetricEfficiency }) => volumetricEfficiency !== null);
    expect(good.length).toBeGreaterThan(1);
    for (const one of good) expect(one.volumetricEfficiency!).toBeCloseTo(Math.log(0.94), 2);
    expect(drift.some(({ drifted }) => drifted)).toBe(true);
  });
});

describe('the path of a row', () => {
  it('predicts the shaft speed that the solver of the operating line has, at a pressure that is held', () => {
    const held = {
      ...input,
      goal: { kind: 'manifold-pressure', curve: [{ engineSpeedRpm: 3000, value: 190_000 }] },
    } as const;
    const points = solveOperatingLine({ ...held, engineSpeedsRpm: steps(3500, 6500, 250) }).filter(
      (p) => p.status === 'ok',
    );
    const { rows } = readRoadLog(input, logOf(readingsOf(points)));
    expect(rows).toHaveLength(points.length);
    const off = rows.map((row, i) => Math.abs(row.predictedShaftSpeedRpm! / points[i]!.shaftSpeedRpm - 1));
    expect(Math.max(...off)).toBeLessThan(1e-7);
  });
});
