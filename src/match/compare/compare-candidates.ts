import { extremeOf } from '../results.ts';
import { speedsUnderThreshold } from '../studies/held-goal.ts';
import type { OperatingPoint } from '../types.ts';
import { COMPARISON_ROWS, type ComparedOn, comparedValue, rowThreshold, solvedOf } from './comparison-rows.ts';
import type {
  ComparedValue,
  Comparison,
  ComparisonKey,
  ComparisonRow,
  SameBoost,
  SolvedCandidate,
  Verdict,
} from './types.ts';

/** Every row there can be, in the order of a table. */
export const COMPARISON_KEYS = Object.keys(COMPARISON_ROWS) as readonly ComparisonKey[];

/**
 * What is different between two candidates solved on one engine, air and goal: every number that matters, b held against a, better,
 * worse or no difference by a stated threshold. With a scaled map or an estimated turbine the threshold is at least its band: what an
 * estimate cannot tell is no difference. Rows of the turbine are there where one of the two has one. Facts with SI values; the views word
 * them.
 *
 * @param a the one that is known, such as the factory turbo
 * @param b the one that is proposed
 * @returns never NaN; a value that is not known is null and its verdict 'unknown'
 */
export function compareCandidates(a: SolvedCandidate, b: SolvedCandidate): Comparison {
  const ofB = new Set(solvedOf(b.points).map((p) => p.engineSpeedRpm));
  const common = solvedOf(a.points).filter((p) => ofB.has(p.engineSpeedRpm));
  const commonSpeedsRpm = common.map((p) => p.engineSpeedRpm);
  const same = sameBoost(a.points, b.points);
  const on: ComparedOn = {
    commonRpm: commonSpeedsRpm,
    peakRpm: extremeOf(common, 'brakePowerW', 'highest')?.point.engineSpeedRpm ?? null,
    sameBoostRpm: same?.engineSpeedRpm ?? null,
    heldByBothRpm: speedsHeldByBoth(a, b),
  };
  const rows = COMPARISON_KEYS.filter((key) => isAsked(key, a, b)).map((key) => {
    const [first, second] = [comparedValue(key, a, on), comparedValue(key, b, on)];
    const highest = Math.max(first.value ?? 0, second.value ?? 0);
    return row(key, first, second, rowThreshold(key, a.input, b.input, highest));
  });
  return {
    rows,
    gained: rows.filter(({ verdict }) => verdict === 'better'),
    costs: rows.filter(({ verdict }) => verdict === 'worse'),
    watch: b.findings.filter(({ severity }) => severity === 'stop' || severity === 'caution'),
    commonSpeedsRpm,
    differentInputs: !sameConditions(a, b),
    stops: [isStopped(a), isStopped(b)],
    onlyTurbine: hasTurbine(a) === hasTurbine(b) ? null : hasTurbine(a) ? 'a' : 'b',
    sameBoost: same,
  };
}

const hasTurbine = ({ input }: SolvedCandidate) => input.turbine !== undefined;
const isStopped = ({ findings }: SolvedCandidate) => findings.some(({ severity }) => severity === 'stop');

/** Studies that were not made have no row, nor has the turbine where neither has one. */
function isAsked(key: ComparisonKey, a: SolvedCandidate, b: SolvedCandidate): boolean {
  if (COMPARISON_ROWS[key].needsTurbine) return hasTurbine(a) || hasTurbine(b);
  if (key === 'power-at-ceiling') return a.ceilings !== null && b.ceilings !== null;
  return key !== 'altitude-held' || (a.held !== null && b.held !== null);
}

function row(
  key: ComparisonKey,
  a: ComparedValue,
  b: ComparedValue,
  limit: { value: number; isBand: boolean },
): ComparisonRow {
  const { isShare, better } = COMPARISON_ROWS[key];
  const threshold = isShare ? limit.value * Math.abs(a.value ?? 0) : limit.value;
  const difference = a.value === null || b.value === null ? null : b.value - a.value;
  return {
    key,
    a,
    b,
    difference,
    relative:
      isShare === true && difference !== null && a.value !== null && a.value !== 0 ? difference / a.value : null,
    threshold,
    thresholdFrom: limit.isBand ? 'estimate' : 'usual',
    verdict: verdict(difference, { value: threshold, isBand: limit.isBand }, better, a, b),
  };
}

/**
 * Where both are bounds on the same side nothing is known to differ. Where one lies at or under a value that the other lies over, they
 * differ, however close the two values are, unless one is estimated: a goal held at the only engine speed comes earlier than one not held.
 */
function verdict(
  difference: number | null,
  threshold: { value: number; isBand: boolean },
  better: 'more' | 'less',
  a: ComparedValue,
  b: ComparedValue,
): Verdict {
  if (difference === null) return 'unknown';
  if (a.bound !== null && a.bound === b.bound) return 'same';
  const isApart = (low: ComparedValue, high: ComparedValue) => low.bound === 'at-most' && high.bound === 'at-least';
  const isMore = difference > 0 || (isApart(a, b) && difference === 0);
  const isKnown = (isApart(a, b) && difference >= 0) || (isApart(b, a) && difference <= 0);
  if ((!isKnown || threshold.isBand) && Math.abs(difference) <= threshold.value) return 'same';
  return isMore === (better === 'more') ? 'better' : 'worse';
}

/** Everything but the compressor and the turbine and what is said of them. The exhaust behind a turbine is the car's. */
function sameConditions(a: SolvedCandidate, b: SolvedCandidate): boolean {
  const bothDriven = hasTurbine(a) && hasTurbine(b);
  const conditions = ({ input }: SolvedCandidate) =>
    JSON.stringify([
      input.engine,
      input.ambient,
      input.inletPath,
      input.chargePath,
      input.goal,
      input.engineSpeedsRpm,
      { ...input.limits, shaftSpeedRpm: 0 },
      bothDriven && [
        input.turbine?.exhaustLoss,
        input.turbine?.inletTemperatureK ?? 'estimated',
        input.turbine?.measuredBackPressureRatio ?? 1,
      ],
    ]);
  return conditions(a) === conditions(b);
}

/** Manifold pressures within this share of each other are the same boost. */
const SAME_PRESSURE = 0.001;

/**
 * 'Same boost, more power': both held against each other at one manifold pressure. Air goes with volumetric efficiency and charge density,
 * so that at the same pressure what differs is back-pressure (which leaves burnt gas in the cylinders: ideal-cycle residual gas, Heywood,
 * Internal Combustion Engine Fundamentals, ch. 5, from memory) and charge temperature.
 *
 * @param a points of the known candidate
 * @param b points of the proposed one
 * @returns at the engine speed of a's highest power among those where both hold the same manifold pressure within 0.1 %; null where there
 *   is none, or a turbine is not known
 */
export function sameBoost(a: readonly OperatingPoint[], b: readonly OperatingPoint[]): SameBoost | null {
  const driven = (points: readonly OperatingPoint[]) =>
    points.flatMap((point) =>
      point.status === 'ok' && point.turbine !== null && point.backPressureRatio !== null
        ? [{ ...point, breathing: point.turbine.breathingFactor, backPressure: point.backPressureRatio }]
        : [],
    );
  const ofB = new Map(driven(b).map((point) => [point.engineSpeedRpm, point]));
  let found: SameBoost | null = null;
  let highest = 0;
  for (const first of driven(a)) {
    const second = ofB.get(first.engineSpeedRpm);
    if (second === undefined || first.brakePowerW <= highest) continue;
    const { engineSpeedRpm, manifoldPressurePa } = first;
    if (Math.abs(second.manifoldPressurePa / manifoldPressurePa - 1) > SAME_PRESSURE) continue;
    highest = first.brakePowerW;
    found = {
      engineSpeedRpm,
      manifoldPressurePa,
      airGain: second.airMassFlowKgPerS / first.airMassFlowKgPerS - 1,
      powerGain: second.brakePowerW / first.brakePowerW - 1,
      breathingA: first.breathing,
      breathingB: second.breathing,
      backPressureA: first.backPressure,
      backPressureB: second.backPressure,
    };
  }
  return found;
}

/** Engine speeds at which both hold the goal at the lowest altitude studied, over the boost threshold of either at any altitude. */
export function speedsHeldByBoth(a: SolvedCandidate, b: SolvedCandidate): ReadonlySet<number> {
  const held = ({ held: study }: SolvedCandidate) => {
    const crossings = study?.crossings ?? [];
    const under = speedsUnderThreshold(crossings);
    return new Set(
      crossings.flatMap(({ status, engineSpeedRpm }) =>
        status === 'from-lowest' || under.has(engineSpeedRpm) ? [] : [engineSpeedRpm],
      ),
    );
  };
  const ofB = held(b);
  return new Set([...held(a)].filter((rpm) => ofB.has(rpm)));
}
