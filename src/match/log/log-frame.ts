import type { RemovedReading } from './result-types.ts';
import type { LogChannelKey, RoadLog } from './types.ts';

/** What a row lost: bits. */
export const SPIKE = 1;
export const PEGGED = 2;

/** A log ready to be worked with: gaps of slow channels filled, spikes and pegged readings out, sessions cut. */
export interface LogFrame {
  readonly rows: number;
  readonly timeS: Float64Array | null;
  /** Usual step, s; null without time. */
  readonly stepS: number | null;
  /** Cleaned readings, NaN where there is none. */
  readonly channels: ReadonlyMap<LogChannelKey, Float64Array>;
  /** Despiked, but with what lies at the end of the sensor still in: the truth is at least that much. For limits. */
  readonly atLeast: ReadonlyMap<LogChannelKey, Float64Array>;
  /** SPIKE and PEGGED by row. */
  readonly lost: Uint8Array;
  /** First rows of the sessions. */
  readonly sessions: readonly number[];
}

export function median(values: ArrayLike<number>): number {
  const sorted = Float64Array.from(values).sort();
  const middle = sorted.length >> 1;
  return sorted.length % 2 === 1 ? sorted[middle]! : (sorted[middle - 1]! + sorted[middle]!) / 2;
}

/** Standard deviation by the median of absolute deviations: 1.4826 of it for normal noise. */
export function robustDeviation(values: ArrayLike<number>, about = median(values)): number {
  return 1.4826 * median(Float64Array.from(values, (x) => Math.abs(x - about)));
}

export function logFrame(log: RoadLog, removed: readonly RemovedReading[]): LogFrame {
  const rows = Math.max(0, ...log.channels.map(({ values }) => values.length), log.timeS?.length ?? 0);
  const lost = new Uint8Array(rows);
  for (const { row, why, key } of removed)
    if (key === 'shaftSpeed' || key === 'manifoldPressure') lost[row]! |= why === 'pegged' ? PEGGED : SPIKE;
  const channels = new Map<LogChannelKey, Float64Array>();
  for (const { key, values } of log.channels) if (!channels.has(key)) channels.set(key, Float64Array.from(values));
  // Pickup and pressure: what decides where a row lies on the map.
  const atLeast = new Map(channels);
  for (const [key, least] of [
    ['shaftSpeed', 0.01],
    ['secondShaftSpeed', 0.01],
    ['manifoldPressure', 0.03],
  ] as const) {
    const values = channels.get(key);
    if (values === undefined) continue;
    withoutSpikes(values, least, lost);
    const despiked = Float64Array.from(values);
    for (const one of removed)
      if (one.key === key && one.why === 'pegged' && one.value !== undefined) despiked[one.row] = one.value;
    atLeast.set(key, despiked);
    withoutPegged(values, lost);
  }
  for (const values of channels.values()) fillGaps(values);
  const stepS = log.timeS === null ? null : usualStep(log.timeS);
  return { rows, timeS: log.timeS, stepS, channels, atLeast, lost, sessions: sessionsOf(log.timeS, stepS) };
}

function usualStep(timeS: Float64Array): number | null {
  const steps = timeS
    .slice(1)
    .map((t, i) => t - timeS[i]!)
    .filter((step) => step > 0);
  return steps.length === 0 ? null : median(steps);
}

/** A step back, or a gap of more than five steps and a second, begins a new session. */
function sessionsOf(timeS: Float64Array | null, stepS: number | null): number[] {
  const sessions = [0];
  if (timeS === null || stepS === null) return sessions;
  for (let i = 1; i < timeS.length; i++) {
    const step = timeS[i]! - timeS[i - 1]!;
    if (!(step >= 0 && step <= Math.max(5 * stepS, 1))) sessions.push(i);
  }
  return sessions;
}

const WINDOW = 3;

/**
 * Takes out single readings that stand alone. A reading is a spike where it is off the median of itself and its three neighbours on either side by more than four robust deviations
 * and by more than `least`, as a share (Hampel, J. Am. Stat. Assoc. 69 (1974) 383: the identifier; from memory). Surge swings less.
 */
function withoutSpikes(values: Float64Array, least: number, lost: Uint8Array): void {
  const logs = values.map((x) => (x > 0 ? Math.log(x) : Number.NaN));
  const near = new Float64Array(2 * WINDOW + 1);
  for (let i = WINDOW; i < values.length - WINDOW; i++) {
    // Nearly every reading is near both of its neighbours: the medians are for the others.
    const rise = Math.abs(logs[i]! - logs[i - 1]!);
    if (!(rise > least || Math.abs(logs[i + 1]! - logs[i]!) > least)) continue;
    near.set(logs.subarray(i - WINDOW, i + WINDOW + 1));
    const off = Math.abs(logs[i]! - median(near));
    if (off > least && off > 4 * robustDeviation(near)) {
      values[i] = Number.NaN;
      lost[i]! |= SPIKE;
    }
  }
}

function withoutPegged(values: Float64Array, lost: Uint8Array): void {
  for (const [from, to] of peggedRuns(values)) {
    values.fill(Number.NaN, from, to);
    lost.fill(PEGGED, from, to);
  }
}

const LEAST_PEGGED = 5;

/**
 * Runs of at least five equal readings at the channel's top that the sensor's end explains, not a steady boost or a coarse channel: the run
 * is entered in a rise of several steps of the channel's resolution, and just below the top there is next to nothing. Five equal readings
 * alone would throw out every well-held boost that is logged to 1 kPa.
 */
function peggedRuns(values: Float64Array): [number, number][] {
  let top = Number.NEGATIVE_INFINITY;
  for (const x of values) if (x > top) top = x;
  const runs: [number, number][] = [];
  let atTop = 0;
  for (let i = 0; i < values.length; i++) {
    if (values[i] !== top) continue;
    let to = i;
    while (to < values.length && values[to] === top) to++;
    atTop += to - i;
    if (to - i >= LEAST_PEGGED) runs.push([i, to]);
    i = to;
  }
  if (runs.length === 0) return [];
  let resolution = Number.POSITIVE_INFINITY;
  for (let i = 1; i < values.length; i++) {
    const step = Math.abs(values[i]! - values[i - 1]!);
    if (step > 1e-9 * top && step < resolution) resolution = step;
  }
  let below = 0;
  for (const x of values) if (x < top && x >= top - Math.max(3 * resolution, 0.003 * top)) below++;
  const enteredByRise = runs.filter(([from]) => {
    const before = values[from - 4];
    return before !== undefined && top - before > Math.max(3 * resolution, 0.001 * top);
  });
  return below * 3 <= atTop ? enteredByRise : [];
}

/** A slower channel leaves cells empty: they are filled between its readings, at most one and a half of its usual periods apart. */
function fillGaps(values: Float64Array): void {
  const gaps: number[] = [];
  let last = -1;
  for (let i = 0; i < values.length; i++) {
    if (Number.isNaN(values[i]!)) continue;
    if (last >= 0) gaps.push(i - last);
    last = i;
  }
  if (gaps.length === 0) return;
  const usual = median(gaps);
  if (usual <= 1) return;
  last = -1;
  for (let i = 0; i < values.length; i++) {
    const here = values[i]!;
    if (Number.isNaN(here)) continue;
    if (last >= 0 && i - last <= 1.5 * usual) {
      const before = values[last]!;
      for (let k = last + 1; k < i; k++) values[k] = before + ((here - before) * (k - last)) / (i - last);
    }
    last = i;
  }
}

/**
 * Slope of a channel at each of the rows asked for, per second: of a parabola laid by least squares through what lies within `halfS` on
 * either side (at least one row each). NaN where there is too little. `isWithin`: nothing beyond the rows asked for is looked at, and at their
 * ends the line is straight, since a parabola through one side would show little but noise.
 */
export function slopes(
  frame: LogFrame,
  values: Float64Array,
  from: number,
  to: number,
  halfS = 0.15,
  isWithin = false,
): Float64Array {
  const out = new Float64Array(to - from).fill(Number.NaN);
  const { timeS, stepS } = frame;
  if (timeS === null || stepS === null) return out;
  const half = Math.max(1, Math.round(halfS / stepS));
  for (let i = from; i < to; i++) {
    let [n, s1, s2, s3, s4, y0, y1, y2] = [0, 0, 0, 0, 0, 0, 0, 0];
    const [first, last] = isWithin ? [from, to - 1] : [0, frame.rows - 1];
    for (let k = Math.max(first, i - half); k <= Math.min(last, i + half); k++) {
      const t = (timeS[k]! - timeS[i]!) / (half * stepS);
      const y = values[k]! - values[i]!;
      if (!(Math.abs(t) <= 2) || Number.isNaN(y)) continue;
      n++;
      const square = t * t;
      s1 += t;
      s2 += square;
      s3 += square * t;
      s4 += square * square;
      y0 += y;
      y1 += y * t;
      y2 += y * square;
    }
    if (isWithin && (i - half < from || i + half >= to)) {
      if (n >= 3) out[i - from] = (n * y1 - s1 * y0) / (n * s2 - s1 * s1) / (half * stepS);
      continue;
    }
    // Determinants of the normal equations of y = a + b t + c t^2.
    const whole = n * (s2 * s4 - s3 * s3) - s1 * (s1 * s4 - s2 * s3) + s2 * (s1 * s3 - s2 * s2);
    if (n < 3 || !(Math.abs(whole) > 1e-9)) continue;
    const forSlope = n * (y1 * s4 - y2 * s3) - y0 * (s1 * s4 - s2 * s3) + s2 * (s1 * y2 - s2 * y1);
    out[i - from] = forSlope / whole / (half * stepS);
  }
  return out;
}

/** Random noise of a channel from its third differences, which a smooth course leaves next to nothing in: one standard deviation. */
export function noiseOf(values: Float64Array, from: number, to: number): number {
  const differences: number[] = [];
  for (let i = from + 3; i < to; i++) {
    const d = values[i]! - 3 * values[i - 1]! + 3 * values[i - 2]! - values[i - 3]!;
    if (!Number.isNaN(d)) differences.push(d);
  }
  return differences.length < 8 ? Number.NaN : robustDeviation(differences, 0) / Math.sqrt(20);
}
