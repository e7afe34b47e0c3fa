import { describe, expect, it } from 'vitest';
import { readLogText } from '../../../src/build/index.ts';
import { demoLog, readRoadLog } from '../../../src/match/index.ts';
import type { RoadLogOptions, RoadLogResult } from '../../../src/match/types.ts';
import { demoInput, type LogColumns, logOf, makePull, NINE_SECONDS } from './made-log.ts';

/** Expected: what was put into the log by hand, beside a pull of the demonstration's car. */
const input = demoInput(0);
const pull = makePull(input, { ...NINE_SECONDS, fromRpm: 3000, durationS: 4 });
const columns = {
  engineSpeed: pull.engineSpeed,
  manifoldPressure: pull.manifoldPressure,
  shaftSpeed: pull.shaftSpeed,
  chargeTemperature: pull.chargeTemperature,
};
const read = (changed: LogColumns = {}, options: RoadLogOptions = {}, timeS: number[] | null = pull.timeS) =>
  readRoadLog(input, logOf({ ...columns, ...changed }, timeS), { boostedVolumeM3: 0, ...options });
const codes = ({ warnings }: RoadLogResult) => warnings.map(({ code }) => code);
const changedAt = (values: readonly number[], at: Record<number, number>) => values.map((value, i) => at[i] ?? value);

describe('shaft speed over its limit', () => {
  const most = Math.max(...pull.shaftSpeed);
  const limited = (shaftSpeedRpm: number) => ({ ...input, limits: { ...input.limits, shaftSpeedRpm } });
  const with_ = (limit: number, changed: LogColumns = {}) =>
    readRoadLog(limited(limit), logOf({ ...columns, ...changed }, pull.timeS));

  it('is a stop with its highest sustained value and the row', () => {
    const { warnings } = with_(most * 0.99);
    expect(warnings[0]?.code).toBe('overspeed');
    expect(warnings[0]?.severity).toBe('stop');
    expect(warnings[0]!.values.shaftSpeedRpm! / most).toBeCloseTo(1, 3);
    expect(pull.shaftSpeed[warnings[0]!.row!]! / most).toBeGreaterThan(0.999);
  });

  it('counts on rows that are in no pull', () => {
    const calm = (value: number) => Array.from({ length: 40 }, () => value);
    const log = logOf({
      engineSpeed: [...calm(2500), ...columns.engineSpeed],
      manifoldPressure: [...calm(60_000), ...columns.manifoldPressure],
      shaftSpeed: [...calm(most * 1.1), ...columns.shaftSpeed],
    });
    const { warnings } = readRoadLog(limited(most * 1.05), log);
    expect(warnings[0]).toMatchObject({ code: 'overspeed', row: 0 });
  });

  it('is not made of one spike', () => {
    const result = with_(most * 1.05, { shaftSpeed: changedAt(pull.shaftSpeed, { 60: most * 1.3 }) });
    expect(codes(result)).not.toContain('overspeed');
    expect(codes(result)).toContain('spikes');
    expect(result.rows.find(({ row }) => row === 60)?.class).toBe('spike');
  });

  it('may lie between two rows: half of the fastest change near the top is added', () => {
    // 40,000 rpm/s logged at 10 Hz: 2,000 rpm.
    const rising = Array.from({ length: 40 }, (_, i) => Math.min(160_000, 100_000 + 4000 * i));
    const log = logOf(
      { engineSpeed: rising.map(() => 3000), manifoldPressure: rising.map(() => 200_000), shaftSpeed: rising },
      rising.map((_, i) => i / 10),
    );
    const found = readRoadLog(limited(161_000), log).warnings.find(({ code }) => code === 'overspeed-between-rows');
    expect(found?.severity).toBe('caution');
    expect(found?.values.betweenRowsRpm).toBeCloseTo(2000, 6);
    expect(codes(readRoadLog(limited(162_500), log))).not.toContain('overspeed-between-rows');
  });

  /**
   * A shaft by its equation of motion, J dN/dt = torque, stepped by the millisecond: the rate that its drive asks for, taken on within `delayS`.
   * Every `phaseMs` another set of rows is seen of one course, so the truth between rows is known.
   */
  const driven = (rateHz: number, phaseMs: number, askedAt: (s: number, rpm: number) => number, from: number) => {
    let [rpm, rate] = [from, askedAt(0, from)];
    const course = Array.from({ length: 6000 }, (_, ms) => {
      rate += (askedAt(ms / 1000, rpm) - rate) / 40;
      rpm += rate / 1000;
      return rpm;
    });
    const rows = course.filter((_, ms) => ms % (1000 / rateHz) === phaseMs);
    const log = logOf(
      { engineSpeed: rows.map(() => 4000), manifoldPressure: rows.map(() => 200_000), shaftSpeed: rows },
      rows.map((_, i) => i / rateHz),
    );
    return { log, truth: Math.max(...course), seen: Math.max(...rows) };
  };
  const phases = [0, 7, 13, 21, 28, 34, 41, 46];
  /** A climb of 1,500 rpm/s, the throttle shut after 3.5 s, and a shaft that runs down within a second. */
  const lift = (s: number, rpm: number) => (s < 3.5 ? 1500 : (20_000 - rpm) / 0.9);
  /** 40,000 rpm/s up to where the gate opens, and back at 25,000 to where it is held. */
  const overshoot = (s: number, rpm: number) => (s < 2 ? 0 : s < 2.8 ? 40_000 : rpm > 150_000 ? -25_000 : 0);

  it.each([10, 20, 50, 100])(
    'logged at %s Hz, a throttle lift alone makes no shaft go over by more than 0.1 percent',
    (rateHz) => {
      for (const phase of phases.filter((ms) => ms < 1000 / rateHz)) {
        const { log, truth } = driven(rateHz, phase, lift, 145_000);
        const result = readRoadLog(limited(1.001 * truth), log);
        expect(
          codes(result).filter((code) => code.startsWith('overspeed')),
          `${phase} ms`,
        ).toEqual([]);
      }
    },
  );

  it.each([10, 20, 50, 100])(
    'logged at %s Hz, an overshoot over the limit that no row shows is said in every phase',
    (rateHz) => {
      let unseen = 0;
      for (const phase of phases.filter((ms) => ms < 1000 / rateHz)) {
        const { log, truth, seen } = driven(rateHz, phase, overshoot, 121_000);
        unseen += Number(seen < 0.9999 * truth);
        const over = codes(readRoadLog(limited(0.9999 * truth), log)).filter((code) => code.startsWith('overspeed'));
        expect(over, `${phase} ms`).toHaveLength(1);
        // 40,000 rpm/s for half of a row's time is what can be hidden, and no more than that is feared.
        const under = codes(readRoadLog(limited(truth + (0.5 * 40_000) / rateHz + 100), log));
        expect(under.filter((code) => code.startsWith('overspeed'))).toEqual([]);
      }
      if (rateHz < 100) expect(unseen).toBeGreaterThan(0);
    },
  );
});

describe('the invented log, whose throttle lifts fall at 150,000 rpm/s under 0.15 % of noise', () => {
  it.each([20, 21, 22])(
    'adds at most 0.8 percent between rows, where half of its fall would add 2.4 (seed %s)',
    (seed) => {
      const { channels, timeS } = readLogText(new TextEncoder().encode(demoLog(input, seed) ?? ''));
      const { highest } = readRoadLog(input, { channels, timeS });
      expect(highest!.betweenRowsRpm).toBeGreaterThan(0);
      expect(highest!.betweenRowsRpm / highest!.shaftSpeedRpm).toBeLessThan(0.008);
    },
  );
});

describe('readings that are none', () => {
  it('a manifold pressure at the end of its sensor is taken out, and said', () => {
    const top = 220_000;
    const result = read({ manifoldPressure: pull.manifoldPressure.map((p) => Math.min(top, p)) });
    const over = pull.manifoldPressure.filter((p) => p >= top).length;
    expect(over).toBeGreaterThan(20);
    expect(result.warnings.find(({ code }) => code === 'pegged')?.values.rows).toBe(over);
    expect(result.rows.filter((row) => row.class === 'pegged')).toHaveLength(over);
  });

  it('a boost held to the last digit that is logged is none of them', () => {
    const held = readRoadLog(
      { ...input, goal: { kind: 'manifold-pressure', curve: [{ engineSpeedRpm: 3000, value: 200_000 }] } },
      logOf(
        {
          ...columns,
          manifoldPressure: pull.manifoldPressure.map((_, i) => 200_000 + 1000 * ((i * 7) % 3 === 0 ? 1 : 0)),
        },
        pull.timeS,
      ),
    );
    expect(codes(held)).not.toContain('pegged');
  });

  it('what the reader of the text took out keeps its class', () => {
    const result = read(
      { shaftSpeed: changedAt(pull.shaftSpeed, { 30: Number.NaN }) },
      { removed: [{ key: 'shaftSpeed', row: 30, why: 'pegged' }] },
    );
    const row = result.rows.find((one) => one.row === 30)!;
    expect(row).toMatchObject({ class: 'pegged', used: false, shaftSpeedRpm: null, volumetricEfficiency: null });
  });

  it('a channel that is logged every fourth row is filled between its readings, no farther than one and a half of its steps', () => {
    const slow = pull.chargeTemperature.map((t, i) => (i % 4 === 0 && !(i > 40 && i < 48) ? t : Number.NaN));
    const { rows } = read({ chargeTemperature: slow });
    const at = (row: number) => rows.find((one) => one.row === row)!;
    const whole = read().rows;
    expect(at(21).volumetricEfficiency! / whole[21]!.volumetricEfficiency!).toBeCloseTo(1, 3);
    expect(rows.every((row) => Number.isFinite(row.volumetricEfficiency ?? 1))).toBe(true);
  });
});

describe('the zero of the gauge', () => {
  it('is offered from rows with the engine standing, and not applied', () => {
    const standing = Array.from({ length: 12 }, () => 0);
    const p0 = input.ambient.pressurePa;
    const shifted = logOf({
      engineSpeed: [...standing, ...columns.engineSpeed],
      manifoldPressure: [...standing.map(() => p0 + 1500), ...columns.manifoldPressure.map((p) => p + 1500)],
      shaftSpeed: [...standing, ...columns.shaftSpeed],
    });
    const { gauge, rows, warnings } = readRoadLog(input, shifted);
    expect(gauge).toEqual({ rows: 12, offsetPa: 1500 });
    expect(warnings.map(({ code }) => code)).toContain('gauge-zero');
    expect(rows[40]!.manifoldPressurePa! - columns.manifoldPressure[40]!).toBeCloseTo(1500, 6);
    const zeroed = readRoadLog(input, shifted, { manifoldZeroPa: 1500 });
    expect(zeroed.rows[40]!.manifoldPressurePa! - columns.manifoldPressure[40]!).toBeCloseTo(0, 6);
    expect(zeroed.rows[60]!.systematicDeviation!).toBeLessThan(rows[60]!.systematicDeviation!);
  });
});

describe('logs that say less', () => {
  it('part throttle only: no pull, said first', () => {
    const result = read({ throttle: pull.engineSpeed.map(() => 0.6) });
    expect(result).toMatchObject({ pulls: [], rows: [], fit: null });
    expect(result.warnings[0]).toMatchObject({ code: 'no-pull', severity: 'stop' });
  });

  it('no weather: the build’s day is taken and marked; what is logged or said of the log goes first, without a mark', () => {
    const day = { pressurePa: 96_000, temperatureK: 301, vapourMoleFraction: 0.01 };
    const logged = { ambientPressure: pull.timeS.map(() => 97_000), ambientTemperature: pull.timeS.map(() => 290) };
    const of = ({ ambient, ambientFrom, ...result }: RoadLogResult) => [
      ambientFrom,
      ambient.pressurePa,
      ambient.temperatureK,
      codes({ ambient, ambientFrom, ...result }).includes('no-weather'),
    ];
    const { pressurePa, temperatureK } = input.ambient;
    expect(of(read())).toEqual(['build', pressurePa, temperatureK, true]);
    expect(of(read({}, { ambient: day }))).toEqual(['options', 96_000, 301, false]);
    expect(of(read(logged, { ambient: day }))).toEqual(['log', 97_000, 290, false]);
  });

  it('no engine speed or no manifold pressure: a stop and nothing else', () => {
    for (const [key, code] of [
      ['engineSpeed', 'no-engine-speed'],
      ['manifoldPressure', 'no-manifold-pressure'],
    ] as const) {
      const { [key]: _, ...rest } = columns;
      const result = readRoadLog(input, logOf(rest, pull.timeS));
      expect(result.warnings.map((w) => [w.code, w.severity])).toEqual([[code, 'stop']]);
      expect(result.rows).toEqual([]);
    }
    expect(readRoadLog(input, { channels: [], timeS: null }).warnings[0]?.severity).toBe('stop');
  });

  it('no shaft speed: rows keep their place on the pressure axis, without a flow', () => {
    const { shaftSpeed: _, ...rest } = columns;
    const { rows, warnings } = readRoadLog(input, logOf(rest, pull.timeS));
    expect(warnings.map(({ code }) => code)).toContain('no-shaft-speed');
    expect(rows.length).toBeGreaterThan(50);
    expect(
      rows.every((row) => row.pressureRatio! > 1 && row.volumetricEfficiency === null && row.flows.length === 0),
    ).toBe(true);
  });

  it('two pulls with a lift between them are two, and one can be left out', () => {
    const lift = Array.from({ length: 20 }, (_, i) => 6500 - 150 * i);
    const twice = (values: readonly number[], between: number) => [...values, ...lift.map(() => between), ...values];
    const log = logOf({
      engineSpeed: [...columns.engineSpeed, ...lift, ...columns.engineSpeed],
      manifoldPressure: twice(columns.manifoldPressure, 50_000),
      shaftSpeed: twice(columns.shaftSpeed, 60_000),
    });
    const both = readRoadLog(input, log);
    expect(both.pulls).toHaveLength(2);
    const second = readRoadLog(input, log, { usePulls: [1] });
    expect(second.pulls.map(({ used }) => used)).toEqual([false, true]);
    expect(new Set(second.rows.map((row) => row.pull))).toEqual(new Set([1]));
  });

  it('more rows than asked for are averaged, and said', () => {
    const result = read({}, { mostRows: 30 });
    expect(result.rows.length).toBeLessThanOrEqual(30);
    expect(codes(result)).toContain('rows-averaged');
    // 81 rows in threes: the middle one of a group stands for it.
    const whole = read().rows;
    for (const row of result.rows.slice(0, 27))
      expect(row.volumetricEfficiency! / whole[row.row + 1]!.volumetricEfficiency!).toBeCloseTo(1, 3);
  });

  it('nothing in it is NaN or infinite, whatever is missing', () => {
    const holes = (values: readonly number[]) => values.map((value, i) => (i % 5 === 3 ? Number.NaN : value));
    const results = [
      read(),
      read({}, {}, null),
      read({ shaftSpeed: holes(pull.shaftSpeed), manifoldPressure: holes(pull.manifoldPressure) }),
      read({ shaftSpeed: pull.shaftSpeed.map(() => 300_000) }),
    ];
    for (const result of results) {
      const text = JSON.stringify(result, (_, value) =>
        typeof value === 'number' && !Number.isFinite(value) ? 'NOT-A-NUMBER' : value,
      );
      expect(text.includes('NOT-A-NUMBER')).toBe(false);
    }
  });
});
