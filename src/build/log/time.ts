/** Time of the rows put in order, where sessions begin, and which rows to keep. */
export interface OrderedTime {
  /** Seconds from the first row, never falling; between sessions at least a gap. Null where the column cannot be used. */
  readonly timeS: Float64Array | null;
  readonly keep: Uint8Array;
  /** Rows (of all, not of those kept) at which a session begins. */
  readonly sessions: number[];
  readonly stepS: number;
  readonly backwards: { count: number; row: number };
  readonly gaps: { count: number; row: number };
  readonly duplicates: { count: number; row: number };
  readonly withoutTime: number;
}

const HALF_DAY_S = 43_200;
const DAY_S = 86_400;

/**
 * @param timeS Seconds as read, NaN where a row has none.
 * @param isSame True where a row holds what the row before it holds.
 * @param restarts Rows before which the header stands again.
 */
export function orderTime(
  timeS: Float64Array,
  isSame: (row: number) => boolean,
  restarts: readonly number[],
): OrderedTime {
  const rows = timeS.length;
  const keep = new Uint8Array(rows).fill(1);
  const out = new Float64Array(rows);
  const stepS = usualStep(timeS);
  const gapS = Math.max(5 * stepS, 1);
  const isCoarse = countZeroSteps(timeS) > rows / 3;
  const sessions = new Set([0, ...restarts]);
  const tally = () => ({ count: 0, row: -1 });
  const [backwards, gaps, duplicates] = [tally(), tally(), tally()];
  const note = (found: { count: number; row: number }, row: number) => {
    if (found.count++ === 0) found.row = row;
  };
  let withoutTime = 0;
  let last = Number.NaN;
  let shift = 0;
  for (let row = 0; row < rows; row += 1) {
    let now = timeS[row]! + shift;
    if (Number.isNaN(now)) {
      keep[row] = 0;
      withoutTime += 1;
      continue;
    }
    if (!Number.isNaN(last)) {
      const step = now - last;
      if (step < -HALF_DAY_S && step > -DAY_S) {
        // Past midnight.
        shift += DAY_S;
        now += DAY_S;
      } else if (step < 0) {
        note(backwards, row);
        sessions.add(row);
      } else if (step > gapS) {
        note(gaps, row);
        sessions.add(row);
      } else if (step === 0 && (!isCoarse || isSame(row))) {
        keep[row] = 0;
        note(duplicates, row);
        continue;
      }
      if (now < last || (sessions.has(row) && now - last <= gapS)) {
        shift += last + 2 * gapS - now;
        now = last + 2 * gapS;
      }
    }
    out[row] = now;
    last = now;
  }
  if (isCoarse) spreadEqual(out, keep, stepS);
  const first = out.find((_, row) => keep[row] === 1) ?? 0;
  for (let row = 0; row < rows; row += 1) out[row] = out[row]! - first;
  const isUseless = backwards.count > rows / 5 || withoutTime > rows / 2 || !(stepS > 0);
  return {
    timeS: isUseless ? null : out,
    keep: isUseless ? new Uint8Array(rows).fill(1) : keep,
    sessions: isUseless ? [0, ...restarts] : [...sessions].sort((a, b) => a - b),
    stepS,
    backwards,
    gaps,
    duplicates,
    withoutTime,
  };
}

/** The median of the steps forward; 0 where there is none. */
function usualStep(timeS: Float64Array): number {
  const steps: number[] = [];
  const stride = Math.max(1, Math.floor(timeS.length / 4000));
  for (let row = 1; row < timeS.length; row += stride) {
    const step = timeS[row]! - timeS[row - 1]!;
    if (step > 0) steps.push(step);
  }
  return steps.sort((a, b) => a - b)[steps.length >> 1] ?? 0;
}

function countZeroSteps(timeS: Float64Array): number {
  let count = 0;
  for (let row = 1; row < timeS.length; row += 1) if (timeS[row] === timeS[row - 1]) count += 1;
  return count;
}

/** A clock that ticks more slowly than the rows come: rows of one tick are spread evenly up to the next. */
function spreadEqual(timeS: Float64Array, keep: Uint8Array, tickS: number): void {
  const kept = [...timeS.keys()].filter((row) => keep[row] === 1);
  for (let from = 0; from < kept.length; ) {
    let to = from + 1;
    while (to < kept.length && timeS[kept[to]!] === timeS[kept[from]!]) to += 1;
    const start = timeS[kept[from]!]!;
    const tick = to < kept.length ? Math.min(timeS[kept[to]!]! - start, tickS) : tickS;
    for (let at = from; at < to; at += 1) timeS[kept[at]!] = start + (tick * (at - from)) / (to - from);
    from = to;
  }
}
