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
