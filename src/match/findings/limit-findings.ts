import type { HighestValues } from '../limits.ts';
import { LIMIT_KEYS, LIMITS, type LimitKey } from '../limits.ts';
import { shaftSpeedLimit } from '../operating-line.ts';
import { readResult } from '../results.ts';
import type { Finding, MatchInput, OperatingPoint, OperatingPointMissing, OperatingPointSolved } from '../types.ts';
import { boostThreshold } from './boost-threshold.ts';
import type { FindingCode, ValuesOf } from './finding.ts';
import { finding, type NoPointCode, rangeOf, runsOf, worstOf } from './finding.ts';

type OfPoint<T> = (point: OperatingPointSolved) => T;

/** One finding a run of engine speeds at which it holds, with its values where the score is highest. */
export function overRuns<C extends FindingCode>(
  points: readonly OperatingPoint[],
  [severity, code]: readonly [Finding['severity'] | OfPoint<Finding['severity']>, C],
  holds: OfPoint<boolean>,
  score: OfPoint<number>,
  values: OfPoint<ValuesOf<C>>,
): Finding[] {
  // Asked some forty times a line, at every step of an input: no object a point, as runsOf would make.
  const runs: OperatingPointSolved[][] = [];
  let open: OperatingPointSolved[] | null = null;
  for (const point of points) {
    if (point.status !== 'ok' || !holds(point)) open = null;
    else if (open !== null) open.push(point);
    else {
      open = [point];
      runs.push(open);
    }
  }
  return runs.map((members) => {
    const worst = worstOf(members, score);
    const at = { engineSpeedRpm: worst.engineSpeedRpm, rangeRpm: rangeOf(members) };
    return finding(typeof severity === 'string' ? severity : severity(worst), code, values(worst), at);
  });
}

/** What is said about the limits of the shaft, the charge and the engine. */
export function limitFindings(points: readonly OperatingPoint[], input: MatchInput): Finding[] {
  return [...speedFindings(points, input), ...LIMIT_KEYS.flatMap((key) => highestFindings(key, points, input))];
}

/** A goal set exactly at the limit must not be told off for the last digit. */
const ROUNDING = 1 + 1e-9;

/** Where a result lies over the highest value that was entered for it. What is not known, as without a turbine, is over nothing. */
function highestFindings(key: LimitKey, points: readonly OperatingPoint[], input: MatchInput): Finding[] {
  const { finding: crossed, bounds, asked } = LIMITS[key];
  const limit = asked(input.limits, input);
  if (crossed === undefined || bounds === undefined || limit === undefined) return [];
  const read = (p: OperatingPointSolved) => readResult(bounds.result, p) ?? 0;
  return overRuns(
    points,
    ['stop', key as keyof HighestValues],
    (p) => read(p) > limit * ROUNDING,
    read,
    (worst) => ({ [crossed.names[0]]: read(worst), [crossed.names[1]]: limit }) as never,
  );
}

function speedFindings(points: readonly OperatingPoint[], input: MatchInput): Finding[] {
  const limitRpm = shaftSpeedLimit(input);
  if (limitRpm === undefined) return noSpeedLimit(points);
  const reserve = input.limits.shaftSpeedReserve ?? 0;
  const margin = (p: OperatingPointSolved) => 1 - p.shaftSpeedRpm / limitRpm;
  const speed = (p: OperatingPointSolved) => p.shaftSpeedRpm;
  const values = (p: OperatingPointSolved) => ({ shaftSpeedRpm: p.shaftSpeedRpm, limitRpm, margin: margin(p) });
  const over = overRuns(points, ['stop', 'overspeed'], (p) => margin(p) < 0, speed, values);
  const within = overRuns(
    points,
    ['caution', 'speed-reserve'],
    (p) => margin(p) >= 0 && margin(p) < reserve - 1e-9,
    speed,
    (worst) => ({ ...values(worst), reserve }),
  );
  return [...over, ...within];
}

function noSpeedLimit(points: readonly OperatingPoint[]): Finding[] {
  const solved = points.filter((p) => p.status === 'ok');
  if (solved.length === 0) return [];
  const fastest = worstOf(solved, (p) => p.shaftSpeedRpm);
  return [
    finding(
      'note',
      'no-speed-limit',
      { shaftSpeedRpm: fastest.shaftSpeedRpm },
      { engineSpeedRpm: fastest.engineSpeedRpm },
    ),
  ];
}

/** What is said about where the line lies on the map, and where it leaves it. */
export function mapFindings(points: readonly OperatingPoint[], input: MatchInput): Finding[] {
  return [
    ...noPoint(points),
    ...surge(points, input),
    ...choke(points, input),
    ...guessed(points, input),
    ...extension(points, input),
  ];
}

function noPoint(points: readonly OperatingPoint[]): Finding[] {
  const runs = runsOf<OperatingPointMissing>(points, (point) =>
    point.status === 'ok' ? null : { key: point.status, point },
  );
  const threshold = boostThreshold(points);
  // Under its boost threshold no turbine drives anything: that is no fault of this one.
  const lowEnd = threshold?.status === 'found' ? threshold.rangeRpm[1] : 0;
  return runs.map(({ run }) => {
    const [first] = run.points as [OperatingPointMissing];
    const code: NoPointCode = `no-point-${first.status}`;
    const isUnder = first.status === 'turbine-too-weak' && run.rangeRpm[1] <= lowEnd;
    const severity = first.status === 'no-compression' || isUnder ? 'note' : 'stop';
    const values = { points: run.points.length, ...first.demand };
    return finding(severity, code, values, { engineSpeedRpm: first.engineSpeedRpm, rangeRpm: run.rangeRpm });
  });
}

function isLeftOfSurge(p: OperatingPointSolved): boolean {
  return p.region === 'left-of-surge' || (p.surgeMargin !== null && p.surgeMargin < 0);
}

function isChoked(p: OperatingPointSolved): boolean {
  return p.region === 'right-of-choke' || (p.chokeMargin !== null && p.chokeMargin < 0);
}

const onMap = (p: OperatingPointSolved) => ({
  correctedMassFlowKgPerS: p.correctedMassFlowKgPerS,
  pressureRatio: p.pressureRatio,
});

function surge(points: readonly OperatingPoint[], input: MatchInput): Finding[] {
  const leastMargin = input.limits.surgeMargin ?? 0;
  const least = (p: OperatingPointSolved) => -(p.surgeMargin ?? 0);
  const left = overRuns(
    points,
    ['stop', 'left-of-surge'],
    (p) => !p.belowLowestLine && isLeftOfSurge(p),
    least,
    (worst) => ({ surgeMargin: worst.surgeMargin ?? undefined, ...onMap(worst) }),
  );
  const thin = overRuns(
    points,
    ['caution', 'surge-margin'],
    (p) => !p.belowLowestLine && !isLeftOfSurge(p) && p.surgeMargin !== null && p.surgeMargin < leastMargin,
    least,
    (worst) => ({ surgeMargin: worst.surgeMargin ?? 0, leastMargin }),
  );
  return [...left, ...thin];
}

function choke(points: readonly OperatingPoint[], input: MatchInput): Finding[] {
  const leastMargin = input.limits.chokeMargin ?? 0;
  const least = (p: OperatingPointSolved) => -(p.chokeMargin ?? 0);
  const past = overRuns(
    points,
    ['stop', 'choked'],
    (p) => !p.belowLowestLine && isChoked(p),
    least,
    (worst) => ({ chokeMargin: worst.chokeMargin ?? undefined, ...onMap(worst) }),
  );
  const thin = overRuns(
    points,
    ['caution', 'choke-margin'],
    (p) => !p.belowLowestLine && !isChoked(p) && p.chokeMargin !== null && p.chokeMargin < leastMargin,
    least,
    (worst) => ({ chokeMargin: worst.chokeMargin ?? 0, leastMargin }),
  );
  return [...past, ...thin];
}

/** Where the line is slower than the lowest speed line and near to an edge that is a guess there, or past it. */
function guessed(points: readonly OperatingPoint[], { limits, compressor }: MatchInput): Finding[] {
  const { lowestLineRpm } = compressor;
  const surgeMargin = (p: OperatingPointSolved) => (p.surgeMargin ?? 0) - (limits.surgeMargin ?? 0);
  const chokeMargin = (p: OperatingPointSolved) => (p.chokeMargin ?? 0) - (limits.chokeMargin ?? 0);
  const surges = (p: OperatingPointSolved) => isLeftOfSurge(p) || (p.surgeMargin !== null && surgeMargin(p) < 0);
  const chokes = (p: OperatingPointSolved) => isChoked(p) || (p.chokeMargin !== null && chokeMargin(p) < 0);
  return overRuns(
    points,
    ['caution', 'edge-guessed'],
    (p) => p.belowLowestLine && (surges(p) || chokes(p)),
    (p) => -Math.min(surgeMargin(p), chokeMargin(p)),
    (worst) => ({
      surgeMargin: (surges(worst) ? worst.surgeMargin : null) ?? undefined,
      chokeMargin: (chokes(worst) ? worst.chokeMargin : null) ?? undefined,
      correctedSpeedRpm: worst.correctedSpeedRpm,
      lowestLineRpm,
    }),
  );
}

function extension(points: readonly OperatingPoint[], input: MatchInput): Finding[] {
  const { highestLineRpm, lowestLineRpm } = input.compressor;
  const above = (p: OperatingPointSolved) => p.extended && p.correctedSpeedRpm > highestLineRpm;
  const below = (p: OperatingPointSolved) => p.extended && p.belowLowestLine;
  // Left of surge and past choke have findings of their own, which say more.
  const beside = (p: OperatingPointSolved) => p.extended && !above(p) && !below(p) && !isLeftOfSurge(p) && !isChoked(p);
  return [
    ...overRuns(
      points,
      ['caution', 'map-extended-above'],
      above,
      (p) => p.correctedSpeedRpm,
      (worst) => ({ correctedSpeedRpm: worst.correctedSpeedRpm, highestLineRpm }),
    ),
    ...overRuns(points, ['caution', 'map-extended'], beside, (p) => p.pressureRatio, onMap),
    ...overRuns(
      points,
      ['note', 'map-extended-below'],
      below,
      (p) => -p.correctedSpeedRpm,
      (worst) => ({ correctedSpeedRpm: worst.correctedSpeedRpm, lowestLineRpm }),
    ),
    ...overRuns(
      points,
      ['caution', 'efficiency-assumed'],
      (p) => p.efficiencyAssumed,
      (p) => p.compressorPowerW,
      (worst) => ({ efficiency: worst.efficiency }),
    ),
  ];
}
