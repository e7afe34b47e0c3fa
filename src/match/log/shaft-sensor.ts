import type { CarPath } from './car-path.ts';
import { inverse } from './joint-fit.ts';
import { median, robustDeviation } from './log-frame.ts';
import { CHARGE_RATE_HALF_S, type WorkRow } from './log-rows.ts';
import type { BladeVerdict, LagFound, ProbeFound, RoadLogOptions } from './result-types.ts';

/** Change of ln N per second from which a row is in the spool-up, where a lag shows. */
const SPOOLING_PER_S = 0.15;
const LEAST_ROWS = 6;
const FROM_S = -0.3;
const TO_S = 0.6;
const STEP_S = 0.02;
/** A lag that does not take this much off the spread is none. */
const LEAST_GAIN = 0.2;
const STRAY = 5;
const LEAST_STRAY = 0.01;
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
  for (const course of courses) leaveOutStrays(course);
  return courses.filter(({ spooling }) => spooling.some(Boolean));
}

/** A throttle that opens between two rows, or a spike, is far from all others whatever the lag: it would decide alone. */
function leaveOutStrays({ logged, predicted, spooling }: Course): void {
  const off = logged.map((value, i) => Math.log(value / predicted[i]!));
  const seen = off.filter((value, i) => spooling[i] && Number.isFinite(value));
  if (seen.length === 0) return;
  const middle = median(seen);
  const most = STRAY * Math.max(robustDeviation(seen, middle), LEAST_STRAY);
  off.forEach((value, i) => {
    if (!(Math.abs(value - middle) <= most)) spooling[i] = false;
  });
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

/** A probe in the charge pipe answers in about this time (common practice, no source): half of it is in doubt where the log does not tell. */
const USUAL_PROBE_S = 5;
const MOST_PROBE_S = 20;
const LEAST_PROBE_ROWS = 20;
const MOST_PROBE_ROWS = 150;
/** Better than this the law of a cooler is not followed: what the regression itself says of its doubt is multiplied. */
const DOUBT_FACTOR = 3;
/** A lag that is known worse is not taken out, s. */
const MOST_DOUBT_S = 1.5;
const LEAST_DOUBT_K = 2;

/**
 * Lag of the charge-temperature probe: y + tau y' is the air's temperature, and follows what the cooler lets through by a straight line
 * (its effectiveness and the air before it may be off). So y is regressed on that temperature and on y'. Rows near the ends of a pull are left
 * out, where the temperature jumps.
 */
export function findProbe(path: CarPath, rows: readonly WorkRow[], givenS: number | undefined): ProbeFound {
  if (givenS !== undefined) return { status: 'given', lagS: givenS, deviationS: 0 };
  const unknown: ProbeFound = { status: 'unknown', lagS: 0, deviationS: USUAL_PROBE_S / 2 };
  const quiet = rows.filter((row, i) => Number.isFinite(row.chargeRateKPerS) && !isNearEnd(rows, i));
  const every = Math.ceil(quiet.length / MOST_PROBE_ROWS);
  const taken = quiet.flatMap((row, i) => {
    // By the cooler alone: the probe's own reading would move the flow, and so what it is held against.
    const air = i % every === 0 ? path.predict({ ...row.readings, chargeTemperatureK: Number.NaN }) : null;
    return air === null ? [] : [{ row, airK: air.cooledTemperatureK }];
  });
  const count = taken.length;
  if (count < LEAST_PROBE_ROWS) return unknown;
  const terms = taken.map(({ row, airK }) => [1, airK - 300, -row.chargeRateKPerS]);
  const y = taken.map(({ row }) => row.readings.chargeTemperatureK - 300);
  const sum = (of: (i: number) => number) => y.reduce((total, _, i) => total + of(i), 0);
  const matrix = [0, 1, 2].map((a) => [0, 1, 2].map((b) => sum((i) => terms[i]![a]! * terms[i]![b]!)));
  // The slope is noisy itself, which would draw tau towards 0: its share of the sum of squares is taken off (errors in variables).
  matrix[2]![2]! -= taken.reduce((total, { row }) => total + row.noise.chargeRateKPerS ** 2, 0);
  const covariance = inverse(matrix);
  if (covariance === null) return unknown;
  const right = [0, 1, 2].map((a) => sum((i) => terms[i]![a]! * y[i]!));
  const [offset, slope, tauS] = covariance.map((row) => row.reduce((total, c, b) => total + c * right[b]!, 0));
  const square = sum((i) => (y[i]! - offset! * terms[i]![0]! - slope! * terms[i]![1]! - tauS! * terms[i]![2]!) ** 2);
  const deviationS = DOUBT_FACTOR * Math.sqrt((square / (count - 3)) * covariance[2]![2]!);
  if (!(deviationS < MOST_DOUBT_S && tauS! > -deviationS && tauS! < MOST_PROBE_S && slope! > 0)) return unknown;
  return { status: 'found', lagS: Math.max(0, tauS!), deviationS };
}

/** Whether a row is nearer to an end of its pull than the slope of its charge temperature reaches. */
function isNearEnd(rows: readonly WorkRow[], at: number): boolean {
  const { pull, timeS } = rows[at]!;
  const leaves = (step: number) => {
    let i = at;
    while (rows[i]?.pull === pull && Math.abs(rows[i]!.timeS! - timeS!) <= CHARGE_RATE_HALF_S) i += step;
    return rows[i]?.pull !== pull;
  };
  return leaves(-1) || leaves(1);
}

/** The charge temperature with the probe's lag taken out, and with the doubt that is left; what follows from it is worked out anew. */
export function withoutProbe(path: CarPath, rows: readonly WorkRow[], { lagS, deviationS }: ProbeFound): WorkRow[] {
  return rows.map((row, i) => {
    const rate = row.chargeRateKPerS;
    if (!Number.isFinite(rate)) return row;
    const doubtK = Math.abs(rate) * Math.hypot(deviationS, isNearEnd(rows, i) ? lagS / 10 : 0);
    const probeDoubtK = 2 * doubtK > LEAST_DOUBT_K ? doubtK : 0;
    if (lagS === 0) return { ...row, probeDoubtK };
    const readings = { ...row.readings, chargeTemperatureK: row.readings.chargeTemperatureK + lagS * rate };
    const noise = { ...row.noise, chargeK: Math.hypot(row.noise.chargeK, lagS * row.noise.chargeRateKPerS) };
    return { ...row, readings, noise, probeDoubtK, predicted: path.predict(readings) };
  });
}

/** Counts that wheels have, where nobody counted (common practice, no source). */
const USUAL_COUNTS = [5, 6, 7, 8, 9, 10, 11, 12, 14];
const SURE = 0.95;
/** A wrong count moves all rows alike. */
const MOST_SCATTER = 0.015;
const LEAST_QUIET_ROWS = 5;
/** An edge in two that the pickup misses is rarer than a count entered wrong (a guess; it decides only between two of one factor). */
const MISSED_WEIGHT = 0.2;

/**
 * Which blade count explains the shaft speed, before anything else is believed: the median of ln(logged/predicted) against the ratio of
 * counts. Counts come from the wheel where it was counted (full blades, with splitters, twice the full ones, 1 and 2), else those that wheels
 * have; each also with every second edge missed. Proposed, never applied.
 *
 * @param logRatios of quiet rows
 * @param inputDeviation of the predicted shaft speed by what is entered, one standard deviation as a share
 */
export function bladeVerdict(
  logRatios: readonly number[],
  inputDeviation: number,
  options: RoadLogOptions,
): BladeVerdict {
  if (logRatios.length < LEAST_QUIET_ROWS) {
    return { verdict: 'no-reading', logRatio: null, standardDeviation: null, candidates: [] };
  }
  const logRatio = median(logRatios);
  const scatter = robustDeviation(logRatios, logRatio);
  const standardDeviation = Math.hypot(inputDeviation, (1.2533 * scatter) / Math.sqrt(logRatios.length));
  const likelihood = (shaftSpeedFactor: number) =>
    -0.5 * ((logRatio + Math.log(shaftSpeedFactor)) / standardDeviation) ** 2;
  const tried = hypotheses(options).map((h) => ({
    ...h,
    logWeight: likelihood(h.shaftSpeedFactor) + Math.log(h.missed ? MISSED_WEIGHT : 1),
  }));
  const best = Math.max(...tried.map((h) => h.logWeight));
  const whole = tried.reduce((sum, h) => sum + Math.exp(h.logWeight - best), 0);
  const candidates = tried
    .map(({ logWeight, ...h }) => ({ ...h, probability: Math.exp(logWeight - best) / whole }))
    .sort((a, b) => b.probability - a.probability);
  const known = { logRatio, standardDeviation, candidates: candidates.filter((c) => c.probability >= 1e-3) };
  return { ...known, verdict: verdictOf(candidates, tried, scatter, likelihood) };
}

type Hypothesis = Omit<BladeVerdict['candidates'][number], 'probability'>;

function verdictOf(
  candidates: BladeVerdict['candidates'],
  tried: readonly Hypothesis[],
  scatter: number,
  likelihood: (factor: number) => number,
): BladeVerdict['verdict'] {
  const isSame = (a: number, b: number) => Math.abs(a / b - 1) < 1e-9;
  const first = candidates[0]!;
  // Several counts of one factor are one answer: what the speed must be multiplied by.
  const together = candidates.reduce(
    (sum, c) => sum + (isSame(c.shaftSpeedFactor, first.shaftSpeedFactor) ? c.probability : 0),
    0,
  );
  const isOff = likelihood(1) < -2;
  if (!isOff && isSame(first.shaftSpeedFactor, 1)) return 'as-entered';
  // None within two standard deviations: a speed that is off by what no count gives.
  if (tried.every((h) => likelihood(h.shaftSpeedFactor) < -2)) return 'none-fits';
  if (together < SURE || scatter > MOST_SCATTER) return isOff ? 'cannot-tell' : 'as-entered';
  return 'other-count';
}

function hypotheses({ bladesEntered, wheelBlades }: RoadLogOptions): Hypothesis[] {
  const counts =
    wheelBlades === undefined
      ? USUAL_COUNTS
      : [...new Set([wheelBlades.full, wheelBlades.full + wheelBlades.splitters, 2 * wheelBlades.full, 1, 2])];
  const entered = bladesEntered === undefined ? counts : [bladesEntered];
  const made = [
    { blades: bladesEntered ?? null, missed: false, shaftSpeedFactor: 1 },
    ...entered.flatMap((from) =>
      counts.flatMap((to) => [
        { blades: bladesEntered === undefined ? null : to, missed: false, shaftSpeedFactor: from / to },
        { blades: bladesEntered === undefined ? null : to, missed: true, shaftSpeedFactor: (2 * from) / to },
      ]),
    ),
  ];
  const seen = new Set<string>();
  return made.filter(({ blades, missed, shaftSpeedFactor }) => {
    const name = `${blades ?? ''} ${missed} ${shaftSpeedFactor.toPrecision(9)}`;
    return !seen.has(name) && seen.add(name);
  });
}
