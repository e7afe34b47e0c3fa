import type { WorkRow } from './log-rows.ts';
import type { LagFound } from './result-types.ts';

/** Change of ln N per second from which a row is in the spool-up, where a lag shows. */
const SPOOLING_PER_S = 0.15;
const LEAST_ROWS = 6;
const FROM_S = -0.3;
const TO_S = 0.6;
const STEP_S = 0.02;
/** A lag that does not take this much off the spread is none. */
const LEAST_GAIN = 0.2;
/** A shorter one moves nothing. */
const LEAST_S = 0.01;

/** First-order response y' = (x - y)/tau to a course that is straight between the rows; x itself where tau is 0. */
function lagged(timeS: readonly number[], x: readonly number[], tauS: number, start: number): number[] {
  if (tauS <= 0) return [...x];
  const y = [start];
  for (let i = 1; i < x.length; i++) {
    const h = timeS[i]! - timeS[i - 1]!;
    const slope = (x[i]! - x[i - 1]!) / h;
    // Behind a ramp the answer settles to x - tau slope.
    const before = x[i - 1]! - tauS * slope;
    y.push(before + slope * h + (y[i - 1]! - before) * Math.exp(-h / tauS));
  }
  return y;
}

interface Course {
  timeS: number[];
  logged: number[];
  predicted: number[];
  spooling: boolean[];
}

/**
 * Lag of the shaft speed behind the manifold pressure, by which the logged speed follows the predicted one best while the turbo spools up.
 * The prediction is passed through the lag, rather than the log through its inverse: that would make the pickup's noise larger. A negative
 * one (the pressure lags) passes the log through it.
 */
export function findLag(rows: readonly WorkRow[], hasTime: boolean, givenS: number | undefined): LagFound {
  const without = { lagS: 0, spreadBefore: null, spreadAfter: null };
  if (!hasTime) return { ...without, status: 'no-time' };
  const courses = coursesOf(rows);
  const count = courses.reduce((sum, { spooling }) => sum + spooling.filter(Boolean).length, 0);
  if (givenS !== undefined) return { ...without, status: 'given', lagS: givenS };
  if (count < LEAST_ROWS) return { ...without, status: 'no-transient' };
  const spread = (tauS: number) => spreadWith(courses, tauS);
  let best = 0;
  for (let k = Math.round(FROM_S / STEP_S); k <= Math.round(TO_S / STEP_S); k++) {
    if (spread(k * STEP_S) < spread(best)) best = k * STEP_S;
  }
  best = parabolaLowest(spread, best, STEP_S);
  const before = spread(0);
  const after = spread(best);
  const isGain = after < (1 - LEAST_GAIN) * before && Math.abs(best) >= LEAST_S;
  return {
    status: isGain ? 'found' : 'none',
    lagS: isGain ? best : 0,
    spreadBefore: before,
    spreadAfter: isGain ? after : before,
  };
}

function parabolaLowest(f: (x: number) => number, x: number, step: number): number {
  const [low, middle, high] = [f(x - step) ** 2, f(x) ** 2, f(x + step) ** 2];
  const bend = low - 2 * middle + high;
  return bend > 0 ? x + Math.max(-0.5, Math.min(0.5, (low - high) / (2 * bend))) * step : x;
}

function coursesOf(rows: readonly WorkRow[]): Course[] {
  const courses: Course[] = [];
  let last: WorkRow | null = null;
  for (const row of rows) {
    const { predicted, timeS, readings } = row;
    if (predicted === null || timeS === null || Number.isNaN(readings.shaftSpeedRpm)) {
      last = null;
      continue;
    }
    if (last === null || last.pull !== row.pull || !(timeS > (last.timeS ?? timeS))) {
      courses.push({ timeS: [], logged: [], predicted: [], spooling: [] });
    }
    const course = courses[courses.length - 1]!;
    course.timeS.push(timeS);
    course.logged.push(readings.shaftSpeedRpm);
    course.predicted.push(predicted.shaftSpeedRpm);
    course.spooling.push(Math.abs(row.shaftRate) > SPOOLING_PER_S);
    last = row;
  }
  return courses.filter(({ spooling }) => spooling.some(Boolean));
}

/** Of ln(logged/predicted) about its mean in each pull's spool-up, root mean square. */
function spreadWith(courses: readonly Course[], tauS: number): number {
  let sum = 0;
  let count = 0;
  for (const { timeS, logged, predicted, spooling } of courses) {
    const follows = lagged(timeS, predicted, tauS, (logged[0]! * mean(predicted)) / mean(logged));
    const log = lagged(timeS, logged, -tauS, logged[0]!);
    const off = follows
      .map((value, i) => Math.log(log[i]! / value))
      .filter((value, i) => spooling[i] && Number.isFinite(value));
    const middle = mean(off);
    for (const value of off) sum += (value - middle) ** 2;
    count += off.length;
  }
  return Math.sqrt(sum / Math.max(1, count));
}

const mean = (values: readonly number[]) => values.reduce((sum, x) => sum + x, 0) / values.length;

/** The shaft speed with the lag taken out: N + tau dN/dt. */
export function withoutLag(rows: readonly WorkRow[], lagS: number): WorkRow[] {
  if (lagS === 0) return [...rows];
  return rows.map((row) => {
    const rate = Number.isNaN(row.shaftRate) ? 0 : row.shaftRate;
    const shaftSpeedRpm = row.readings.shaftSpeedRpm * Math.max(0.5, 1 + lagS * rate);
    return { ...row, readings: { ...row.readings, shaftSpeedRpm } };
  });
}
