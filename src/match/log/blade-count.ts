import { median, robustDeviation } from './log-frame.ts';
import type { BladeVerdict, RoadLogOptions } from './result-types.ts';

/** Counts that wheels have, where nobody counted (common practice, no source). */
const USUAL_COUNTS = [5, 6, 7, 8, 9, 10, 11, 12, 14];
const SURE = 0.95;
/** A wrong count moves all rows alike. */
const MOST_SCATTER = 0.015;
const LEAST_ROWS = 5;
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
  if (logRatios.length < LEAST_ROWS) {
    return { verdict: 'no-reading', logRatio: null, standardDeviation: null, scatter: null, candidates: [] };
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
  const known = { logRatio, standardDeviation, scatter, candidates: candidates.filter((c) => c.probability >= 1e-3) };
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
