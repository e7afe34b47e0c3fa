import { fillBetween, findPegged, findSpikes, findUpdates } from './clean.ts';
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

/** @param given what was taken out of the log before; left out: it is looked for here */
export function logFrame(log: RoadLog, given: readonly RemovedReading[] | undefined): LogFrame {
  const rows = Math.max(0, ...log.channels.map(({ values }) => values.length), log.timeS?.length ?? 0);
  const stepS = log.timeS === null ? null : usualStep(log.timeS);
  const sessions = sessionsOf(log.timeS, stepS);
  const channels = new Map<LogChannelKey, Float64Array>();
  for (const { key, values } of log.channels) if (!channels.has(key)) channels.set(key, Float64Array.from(values));
  const starts = new Set(sessions);
  const removed = given ?? cleaned(channels, (row) => starts.has(row));
  const lost = new Uint8Array(rows);
  const atLeast = new Map(channels);
  for (const { key, row, why, value } of removed) {
    if (key === 'shaftSpeed' || key === 'manifoldPressure') lost[row]! |= why === 'pegged' ? PEGGED : SPIKE;
    if (why !== 'pegged' || value === undefined || !DECIDING.some((one) => one === key)) continue;
    if (atLeast.get(key) === channels.get(key)) atLeast.set(key, Float64Array.from(channels.get(key) ?? []));
    const values = atLeast.get(key);
    if (values !== undefined) values[row] = value;
  }
  return { rows, timeS: log.timeS, stepS, channels, atLeast, lost, sessions };
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

/** Pickups and manifold pressure: what decides where a row lies on the map. */
const DECIDING = ['shaftSpeed', 'secondShaftSpeed', 'manifoldPressure'] as const;

/**
 * Takes spikes and sensors at their end out of a log that nobody has looked over, and fills slow channels between their readings, in place:
 * what `readLogText` does to a file.
 */
function cleaned(
  channels: ReadonlyMap<LogChannelKey, Float64Array>,
  isBreak: (row: number) => boolean,
): RemovedReading[] {
  const removed: RemovedReading[] = [];
  for (const [key, values] of channels) {
    const updates = findUpdates(values);
    if (DECIDING.some((one) => one === key)) {
      const take = (rows: readonly number[], why: RemovedReading['why']) => {
        for (const row of rows) {
          removed.push({ key, row, why, value: values[row]! });
          values[row] = Number.NaN;
        }
      };
      take(
        findPegged(values, updates.at, () => true),
        'pegged',
      );
      take(
        findSpikes(values, updates.at, isBreak).map(({ index }) => updates.at[index]!),
        'spike',
      );
    }
    if (updates.period > 1) fillBetween(values, updates, isBreak);
  }
  return removed;
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
