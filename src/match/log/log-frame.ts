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

/** How a channel that is slower than the rows holds its values: rows at which it was read anew, and from one to the next. */
export interface Updates {
  /** Rows with a reading of their own. */
  readonly at: Int32Array;
  /** Rows from one update to the next; 1 where every row has its own. */
  readonly period: number;
}

/** Fewer updates than this do not show a rhythm. */
const LEAST_RUNS = 12;
/** No value is drawn in between over more than this many periods. */
const MOST_PERIODS = 1.5;

/**
 * Sample and hold: values that repeat, or cells left empty, in a steady rhythm. The period is the usual length of the runs; a run of a
 * multiple of it is a reading that came out the same again.
 */
export function findUpdates(values: Float64Array): Updates {
  const rows = values.length;
  const filled = new Int32Array(rows);
  const starts = new Int32Array(rows);
  let [count, runs, single] = [0, 0, 0];
  for (let row = 0; row < rows; row += 1) {
    const value = values[row]!;
    if (Number.isNaN(value)) continue;
    const isNew = count === 0 || filled[count - 1] !== row - 1 || values[row - 1] !== value;
    filled[count++] = row;
    if (!isNew) continue;
    if (runs > 0 && starts[runs - 1] === row - 1) single += 1;
    starts[runs++] = row;
  }
  const at = filled.subarray(0, count);
  // Most channels have a reading of their own in every row.
  if (single > runs / 20) return { at, period: 1 };
  const isSparse = count < 0.7 * rows && runs > 0.7 * count;
  const period = usualSpacing(isSparse ? at : starts.subarray(0, runs), rows);
  if (period === null || isSparse) return { at, period: period ?? 1 };
  const updates: number[] = [];
  for (let run = 0; run < runs; run += 1) {
    const start = starts[run]!;
    let end = run + 1 < runs ? starts[run + 1]! : rows;
    while (end > start + 1 && Number.isNaN(values[end - 1]!)) end -= 1;
    const times = Math.max(1, Math.round((end - start) / period));
    for (let time = 0; time < times; time += 1) updates.push(start + Math.round((time * (end - start)) / times));
  }
  return { at: Int32Array.from(updates), period };
}

/** The rhythm of ascending rows: at least half of the steps are of one length, none to speak of is 1, the others are multiples. */
function usualSpacing(rows: Int32Array, all: number): number | null {
  const counts = new Map<number, number>();
  for (let at = 1; at < rows.length; at += 1) {
    const step = rows[at]! - rows[at - 1]!;
    counts.set(step, (counts.get(step) ?? 0) + 1);
  }
  const steps = rows.length - 1;
  const [mode, often] = [...counts].sort(([, a], [, b]) => b - a)[0] ?? [1, 0];
  if (steps < LEAST_RUNS || mode < 2 || mode > all / LEAST_RUNS) return null;
  if (often < steps / 2 || (counts.get(1) ?? 0) > steps / 20) return null;
  let [sum, count, fitting] = [0, 0, 0];
  for (const [step, times] of counts) {
    if (Math.abs(step - mode) <= 1) {
      sum += step * times;
      count += times;
    }
    if (Math.abs(step / mode - Math.round(step / mode)) * mode <= 1) fitting += times;
  }
  return fitting >= 0.8 * steps ? sum / count : null;
}

/** Draws straight lines between updates that stand at most 1.5 periods apart; rows further from one have no reading. In place. */
export function fillBetween(values: Float64Array, { at, period }: Updates, isBreak: (row: number) => boolean): void {
  const readings = Float64Array.from(at, (row) => values[row]!);
  values.fill(Number.NaN);
  let last = -1;
  for (let index = 0; index < at.length; index += 1) {
    const row = at[index]!;
    const value = readings[index]!;
    if (Number.isNaN(value)) continue;
    values[row] = value;
    if (last >= 0) {
      const from = at[last]!;
      let isWhole = row - from <= MOST_PERIODS * period + 1e-9 || row - from <= period + 1;
      for (let between = from + 1; isWhole && between <= row; between += 1) isWhole = !isBreak(between);
      const slope = (value - readings[last]!) / (row - from);
      if (isWhole)
        for (let between = from + 1; between < row; between += 1)
          values[between] = readings[last]! + slope * (between - from);
    }
    last = index;
  }
}

/**
 * Rows at the channel's top where it stays for at least five readings in a row while it does not stay like that elsewhere: the end of
 * a sensor or of a number. Only rows for which `counts` holds.
 */
export function findPegged(values: Float64Array, at: Int32Array, counts: (row: number) => boolean): number[] {
  let top = Number.NEGATIVE_INFINITY;
  for (const row of at) if (values[row]! > top) top = values[row]!;
  const lengths = new Map<number, number>();
  let [longest, run, others] = [0, 0, 0];
  for (let index = 0; index < at.length; index += 1) {
    const value = values[at[index]!]!;
    run = index > 0 && value === values[at[index - 1]!] ? run + 1 : 1;
    const isLast = index + 1 === at.length || values[at[index + 1]!] !== value;
    if (!isLast || !counts(at[index]!)) continue;
    if (value === top) longest = Math.max(longest, run);
    else {
      lengths.set(run, (lengths.get(run) ?? 0) + 1);
      others += 1;
    }
  }
  // What never changes says nothing of an end.
  if (others < LEAST_RUNS) return [];
  const usual = nearlyLongest(lengths, others);
  if (longest < 5 || longest < 3 * usual) return [];
  return [...at].filter((row) => values[row] === top && counts(row));
}

/** The length that no more than one run in twenty exceeds. */
function nearlyLongest(lengths: ReadonlyMap<number, number>, runs: number): number {
  let longer = 0;
  for (const [length, often] of [...lengths].sort(([a], [b]) => b - a)) {
    longer += often;
    if (longer > 0.05 * runs) return length;
  }
  return 1;
}

const WINDOW = 7;
const SIGMAS = 4;
const LEAST_SHARE = 0.01;

/**
 * Hampel's filter on the logarithm: readings more than 4 robust sigmas from the median of 7 (L. Davies, U. Gather, J. Am. Stat. Assoc.
 * 88 (1993) 782; from memory). A sigma of seven readings scatters, so none counts as less than the usual one of the log, as a share and in units, and nothing
 * within 1 % of the median, or two steps of the sensor, is a spike. Returns the indices into `at`, with the median that the reading is far from.
 */
export function findSpikes(
  values: Float64Array,
  at: Int32Array,
  isBreak: (row: number) => boolean,
): { index: number; usual: number }[] {
  const steps = 2 * smallestStep(values, at);
  const logs = new Float64Array(at.length);
  const session = new Int32Array(at.length);
  let [count, part, row] = [0, 0, 0];
  const index = new Int32Array(at.length);
  for (let i = 0; i < at.length; i += 1) {
    for (; row <= at[i]!; row += 1) if (isBreak(row)) part += 1;
    const value = values[at[i]!]!;
    if (!(value > 0)) continue;
    logs[count] = Math.log(value);
    session[count] = part;
    index[count] = i;
    count += 1;
  }
  if (count < WINDOW) return [];
  const half = WINDOW >> 1;
  const [near, far] = [new Float64Array(WINDOW), new Float64Array(WINDOW)];
  const [sigmas, medians] = [new Float64Array(count), new Float64Array(count)];
  for (let i = 0; i < count; i += 1) {
    const from = Math.min(Math.max(i - half, 0), count - WINDOW);
    for (let k = 0; k < WINDOW; k += 1) insert(near, k, logs[from + k]!);
    const median = near[half]!;
    for (let k = 0; k < WINDOW; k += 1) insert(far, k, Math.abs(logs[from + k]! - median));
    medians[i] = median;
    sigmas[i] = 1.4826 * far[half]!;
  }
  const stride = Math.max(1, Math.floor(count / 2000));
  const usualOf = (of: (i: number) => number) => {
    const sample: number[] = [];
    for (let i = 0; i < count; i += stride) sample.push(of(i));
    return sample.sort((a, b) => a - b)[sample.length >> 1]!;
  };
  const usual = usualOf((i) => sigmas[i]!);
  const usualStep = usualOf((i) => sigmas[i]! * Math.exp(medians[i]!));
  const spikes: { index: number; usual: number }[] = [];
  for (let i = half; i < count - half; i += 1) {
    if (session[i - half] !== session[i + half]) continue;
    const away = Math.abs(logs[i]! - medians[i]!);
    const middle = Math.exp(medians[i]!);
    const sigma = Math.max(sigmas[i]!, usual, usualStep / middle);
    if (away > Math.max(SIGMAS * sigma, LEAST_SHARE, steps / middle)) {
      spikes.push({ index: index[i]!, usual: middle });
    }
  }
  return spikes;
}

/** The least change from one reading to the next: the resolution of the channel. */
function smallestStep(values: Float64Array, at: Int32Array): number {
  let least = Number.POSITIVE_INFINITY;
  for (let i = 1; i < at.length; i += 1) {
    const step = Math.abs(values[at[i]!]! - values[at[i - 1]!]!);
    if (step > 0 && step < least) least = step;
  }
  return Number.isFinite(least) ? least : 0;
}

/** Puts a value into the first `count` sorted ones. */
function insert(sorted: Float64Array, count: number, value: number): void {
  let at = count;
  while (at > 0 && sorted[at - 1]! > value) {
    sorted[at] = sorted[at - 1]!;
    at -= 1;
  }
  sorted[at] = value;
}
