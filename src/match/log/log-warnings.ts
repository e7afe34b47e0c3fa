import { evaluateCurve } from '../../numerics/index.ts';
import { shaftSpeedLimit } from '../operating-line.ts';
import type { MatchInput } from '../types.ts';
import { type LogFrame, median, noiseOf, PEGGED, SPIKE } from './log-frame.ts';
import type { GaugeZero, RoadLogPull, RoadLogWarning, ShaftHighest } from './result-types.ts';
import type { LogChannelKey } from './types.ts';

export function warning(
  severity: RoadLogWarning['severity'],
  code: RoadLogWarning['code'],
  values: RoadLogWarning['values'] = {},
  row: number | null = null,
): RoadLogWarning {
  return { severity, code, row, values };
}

/**
 * What the log says against limits, on every row of it, whether or not anything of the match holds: overspeed first. The shaft speed counts
 * where two rows beside each other have it, so that no spike does; how much higher it may have been between rows is `highestBetween`.
 */
export function limitWarnings(
  frame: LogFrame,
  input: MatchInput,
  shafts: readonly ShaftHighest[],
  pulls: readonly RoadLogPull[],
): RoadLogWarning[] {
  const { limits } = input;
  const over = (key: LogChannelKey, code: RoadLogWarning['code'], limit: number | undefined, scale = 1) => {
    const found = limit === undefined ? null : sustainedHighest(frame.atLeast.get(key), scale);
    return found === null || !(found.value > limit!)
      ? []
      : [warning('stop', code, { value: found.value, limit: limit! }, found.row)];
  };
  return [
    ...shafts.flatMap(overspeed),
    ...over('compressorOutletTemperature', 'outlet-temperature', limits.compressorOutletTemperatureK),
    ...over('turbineInletTemperature', 'turbine-temperature', limits.turbineInletTemperatureK),
    ...over('manifoldPressure', 'manifold-pressure-limit', limits.manifoldPressurePa),
    ...backPressure(frame, limits.backPressureRatio),
    ...pulls.flatMap((pull) => pullWarnings(frame, input, pull)),
  ];
}

/** Highest value that two rows beside each other reach. */
function sustainedHighest(values: Float64Array | undefined, scale = 1): { value: number; row: number } | null {
  let found: { value: number; row: number } | null = null;
  for (let i = 1; i < (values?.length ?? 0); i++) {
    const value = Math.min(values![i - 1]!, values![i]!) * scale;
    if (value > (found?.value ?? Number.NEGATIVE_INFINITY)) found = { value, row: i - 1 };
  }
  return found;
}

/** The highest shaft speed of each shaft, the highest first. */
export function highestShaftSpeeds(frame: LogFrame, input: MatchInput, factor: number): ShaftHighest[] {
  const found = (['shaftSpeed', 'secondShaftSpeed'] as const).flatMap((channel): ShaftHighest[] => {
    const values = frame.atLeast.get(channel);
    const most = sustainedHighest(values, factor);
    if (values === undefined || most === null) return [];
    const engineSpeed = frame.channels.get('engineSpeed')?.[most.row] ?? Number.NaN;
    return [
      {
        channel,
        row: most.row,
        shaftSpeedRpm: most.value,
        betweenRowsRpm: Math.max(0, highestBetween(frame, values, (0.9 * most.value) / factor) * factor - most.value),
        timeS: frame.timeS?.[most.row] ?? null,
        engineSpeedRpm: Number.isFinite(engineSpeed) ? engineSpeed : null,
        limitRpm: shaftSpeedLimit(input) ?? null,
        reserve: input.limits.shaftSpeedReserve ?? 0,
      },
    ];
  });
  return found.sort((a, b) => b.shaftSpeedRpm - a.shaftSpeedRpm);
}

/** What drives a shaft at full load, exhaust and gate, does not come and go within this, s; nor does its rate change within a sixth of it (a guess). */
const HOLDS_S = 0.3;
const RATE_S = HOLDS_S / 6;

/**
 * The highest that a shaft speed may have been between two rows a and b beside each other: it rises at most at u, turns, and falls at most at
 * d, so where the lines through both meet, (a d + b u + u d dt)/(u + d). u is the fastest rise of the 0.3 s up to b, for inertia lets a shaft go
 * on as it went; d the fastest fall of the 0.3 s from a, and not below u where none was seen. So half of a fast change is added where the shaft
 * levels off after it, and next to nothing where a throttle lift ends a slow climb: the fall says nothing of how far it had risen. A log too
 * slow to show 0.3 s may hide any rate that it saw near the top.
 *
 * @param top elsewhere than above this nothing is said of the highest
 * @returns in the unit of the values; negative infinity without a time, or without two rows beside each other
 */
function highestBetween({ timeS, stepS }: LogFrame, values: Float64Array, top: number): number {
  let highest = Number.NEGATIVE_INFINITY;
  if (timeS === null || stepS === null || !(stepS > 0)) return highest;
  const span = Math.max(1, Math.round(RATE_S / stepS));
  const rates = values.map((value, i) => {
    const dt = timeS[i]! - timeS[i - span]!;
    return dt > 0 && dt <= 2 * span * stepS ? (value - values[i - span]!) / dt : Number.NaN;
  });
  // Two deviations of what the sensor's noise alone makes of a rate.
  const noise = noiseOf(
    values.map((x) => (x > top ? x : Number.NaN)),
    0,
    values.length,
  );
  const scatter = (2 * Math.SQRT2 * (noise || 0)) / (span * stepS);
  const isSlow = stepS >= HOLDS_S;
  const fastest = (from: number, to: number, sign: number) => {
    let most = 0;
    for (let i = Math.max(from, 0); i < Math.min(to, rates.length); i++)
      if (sign * rates[i]! > most && (values[i]! > top || values[i - span]! > top)) most = sign * rates[i]!;
    return Math.max(0, most - scatter);
  };
  const anywhere = isSlow ? ([fastest(0, rates.length, 1), fastest(0, rates.length, -1)] as const) : null;
  const near = Math.round(HOLDS_S / stepS);
  for (let i = 1; i < values.length; i++) {
    const [a, b, dt] = [values[i - 1]!, values[i]!, timeS[i]! - timeS[i - 1]!];
    if (!(Math.max(a, b) > top && dt > 0 && dt <= 2 * stepS)) continue;
    const rise = anywhere?.[0] ?? fastest(i - near, i + 1, 1);
    const fall = Math.max(anywhere?.[1] ?? fastest(i, i + near + span, -1), rise);
    const meet = rise > 0 ? (a * fall + b * rise + rise * fall * dt) / (rise + fall) : 0;
    highest = Math.max(highest, a, b, meet);
  }
  return highest;
}

function overspeed({ channel, row, shaftSpeedRpm, betweenRowsRpm, limitRpm, reserve }: ShaftHighest): RoadLogWarning[] {
  if (limitRpm === null || !(shaftSpeedRpm + betweenRowsRpm > limitRpm)) return [];
  const isOver = shaftSpeedRpm > limitRpm;
  const facts = { shaftSpeedRpm, limitRpm, betweenRowsRpm, reserve };
  const code = isOver ? 'overspeed' : 'overspeed-between-rows';
  return [{ ...warning(isOver ? 'stop' : 'caution', code, facts, row), channel }];
}

function backPressure(frame: LogFrame, limit: number | undefined): RoadLogWarning[] {
  const before = frame.atLeast.get('turbineInletPressure');
  const manifold = frame.atLeast.get('manifoldPressure');
  if (limit === undefined || before === undefined || manifold === undefined) return [];
  const most = sustainedHighest(before.map((p, i) => p / manifold[i]!));
  return most === null || !(most.value > limit)
    ? []
    : [warning('stop', 'back-pressure', { value: most.value, limit }, most.row)];
}

/** Leaner than entered by this, for three rows (common practice, no source). */
const LEAN = 0.05;
const SHORT = 0.95;
const OVER = 1.03;
const LEAST_ROWS = 3;

/** Lambda and what the gate does, at full load. Duty up to its end is taken as more boost, as is common (no source). */
function pullWarnings(frame: LogFrame, input: MatchInput, { fromRow, toRow }: RoadLogPull): RoadLogWarning[] {
  const engineSpeed = frame.channels.get('engineSpeed')!;
  const manifold = frame.channels.get('manifoldPressure')!;
  const duty = frame.channels.get('wastegateDuty');
  const lambda = frame.channels.get('lambda');
  const { goal, ambient } = input;
  const asked = (i: number) => {
    const value = evaluateCurve(goal.curve, engineSpeed[i]!) ?? Number.NaN;
    return goal.kind === 'gauge-boost'
      ? ambient.pressurePa + value
      : goal.kind === 'manifold-pressure'
        ? value
        : Number.NaN;
  };
  const run = (holds: (i: number) => boolean) => {
    for (let i = fromRow, count = 0; i < toRow; i++) {
      count = holds(i) ? count + 1 : 0;
      if (count >= LEAST_ROWS) return i - count + 1;
    }
    return -1;
  };
  const facts = (i: number) => ({
    engineSpeedRpm: engineSpeed[i]!,
    manifoldPressurePa: manifold[i]!,
    goalPa: asked(i),
  });
  const made: RoadLogWarning[] = [];
  const entered = (i: number) => evaluateCurve(input.engine.lambda, engineSpeed[i]!) ?? Number.NaN;
  const lean = lambda === undefined ? -1 : run((i) => lambda[i]! > entered(i) + LEAN);
  if (lean >= 0)
    made.push(
      warning(
        'caution',
        'lean',
        { engineSpeedRpm: engineSpeed[lean]!, lambda: lambda![lean]!, entered: entered(lean) },
        lean,
      ),
    );
  if (duty !== undefined) {
    const short = run((i) => duty[i]! >= 0.97 && manifold[i]! < SHORT * asked(i));
    const creep = run((i) => duty[i]! <= 0.03 && manifold[i]! > OVER * asked(i));
    if (short >= 0) made.push(warning('note', 'gate-shut-short', facts(short), short));
    if (creep >= 0) made.push(warning('caution', 'gate-open-creep', facts(creep), creep));
  }
  return made;
}

/** Readings that were taken out. */
export function lostWarnings({ lost }: LogFrame): RoadLogWarning[] {
  const of = (bit: number, severity: RoadLogWarning['severity'], code: RoadLogWarning['code']) => {
    const rows = lost.reduce((sum, bits) => sum + Number((bits & bit) > 0), 0);
    const first = lost.findIndex((bits) => (bits & bit) > 0);
    return rows > 0 ? [warning(severity, code, { rows }, first)] : [];
  };
  return [...of(PEGGED, 'caution', 'pegged'), ...of(SPIKE, 'note', 'spikes')];
}

const LEAST_STANDING = 5;

/** What the manifold pressure reads with the engine standing, against the ambient pressure; null without such rows. */
export function gaugeZero(frame: LogFrame, ambientPa: number): GaugeZero | null {
  const engineSpeed = frame.channels.get('engineSpeed');
  const manifold = frame.channels.get('manifoldPressure');
  const barometer = frame.channels.get('ambientPressure');
  if (engineSpeed === undefined || manifold === undefined) return null;
  const off: number[] = [];
  for (let i = 0; i < frame.rows; i++) {
    const p0 = barometer?.[i] ?? ambientPa;
    if (engineSpeed[i] === 0 && Math.abs(manifold[i]! - p0) < 20_000) off.push(manifold[i]! - p0);
  }
  return off.length < LEAST_STANDING ? null : { rows: off.length, offsetPa: median(off) };
}
