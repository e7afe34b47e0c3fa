import { memory } from '../../numerics/index.ts';
import type { TurbineInput } from '../../turbine/types.ts';
import { AS_GOOD_AS_HELD } from '../limits.ts';
import type { Finding, MatchInput, OperatingPoint, OperatingPointSolved } from '../types.ts';
import { boostThreshold, isShortOfGoal } from './boost-threshold.ts';
import type { ReachedValues } from './finding.ts';
import { finding, worstOf } from './finding.ts';
import { overRuns } from './limit-findings.ts';

/** What is said about what the exhaust drives, and about the turbine itself. */
export function turbineFindings(points: readonly OperatingPoint[], input: MatchInput): Finding[] {
  const solved = points.filter((p) => p.status === 'ok');
  const { turbine } = input;
  if (turbine === undefined) return solved.length === 0 ? [] : [finding('note', 'no-turbine', {})];
  return [
    ...driveFindings(points, input),
    ...gateFindings(points, turbine),
    ...openingFindings(points, input, turbine),
    ...capacityFindings(points, turbine, input.limits),
    ...heatFindings(points, input),
  ];
}

/** What is reached of the goal and what was asked for, in the goal's own quantity. */
function reached(p: OperatingPointSolved, { goal, ambient }: MatchInput): ReachedValues {
  const reachedShare = p.turbine?.reachedShare ?? 1;
  const of = (value: number) => value / reachedShare;
  switch (goal.kind) {
    case 'gauge-boost': {
      const over = (pressurePa: number) => pressurePa - ambient.pressurePa;
      return {
        reachedShare,
        boostPa: over(p.manifoldPressurePa),
        goalBoostPa: over(of(p.manifoldPressurePa)),
      };
    }
    case 'manifold-pressure':
      return { reachedShare, pressurePa: p.manifoldPressurePa, goalPressurePa: of(p.manifoldPressurePa) };
    case 'brake-power':
      return { reachedShare, brakePowerW: p.brakePowerW, goalBrakePowerW: of(p.brakePowerW) };
    case 'wheel-power':
      return { reachedShare, wheelPowerW: p.wheelPowerW, goalWheelPowerW: of(p.wheelPowerW) };
  }
}

/** The threshold is a note, every car has one; short of the goal above it, or up to the last engine speed, is a caution. Each at its worst. */
function driveFindings(points: readonly OperatingPoint[], input: MatchInput): Finding[] {
  const threshold = boostThreshold(points);
  if (threshold === null) return [];
  const at = threshold.engineSpeedRpm;
  if (threshold.status === 'never') {
    const short = solvedShort(points);
    if (short.length === 0) return [];
    const worst = worstOf(short, shortfall);
    const held = points.findLast((p) => p.status === 'ok' && p.turbine !== null && !isShortOfGoal(p));
    const values = { ...reached(worst, input), highestRpm: at, heldRpm: held?.engineSpeedRpm };
    return [finding('caution', 'turbine-never-holds', values, { engineSpeedRpm: worst.engineSpeedRpm })];
  }
  const lowEnd = threshold.status === 'found' ? threshold.rangeRpm[1] : Number.NEGATIVE_INFINITY;
  // Short by less than a gauge shows is not said.
  const short = overRuns(
    points,
    ['caution', 'turbine-limited'],
    (p) => isShortOfGoal(p) && p.engineSpeedRpm > lowEnd,
    shortfall,
    (worst) => ({ ...reached(worst, input), choked: flag(worst.turbine?.choked) }),
  );
  if (threshold.status === 'below') {
    return [...short, finding('note', 'boost-threshold', { thresholdRpm: at, below: 1 }, { engineSpeedRpm: at })];
  }
  const { limited } = threshold;
  const worst = limited.length === 0 ? null : worstOf(limited, shortfall);
  const values = {
    thresholdRpm: at,
    ...(worst === null ? {} : { shortRpm: worst.engineSpeedRpm, ...reached(worst, input) }),
  };
  const place = { engineSpeedRpm: threshold.firstHeld.engineSpeedRpm, rangeRpm: threshold.rangeRpm };
  return [...short, finding('note', 'boost-threshold', values, place)];
}

const shortfall = (p: OperatingPointSolved) => -(p.turbine?.reachedShare ?? 1);

function solvedShort(points: readonly OperatingPoint[]): OperatingPointSolved[] {
  return points.flatMap((p) => (p.status === 'ok' && isShortOfGoal(p) ? [p] : []));
}

/** Left out, rather than 0, where it is not so. */
function flag(holds: boolean | undefined): number | undefined {
  return holds ? 1 : undefined;
}

/** Under this much of the exhaust past the gate at peak power there is next to nothing in hand (common practice, no source). */
const NEARLY_SHUT = 0.03;

/** Share of the exhaust past the turbine at peak power; null without a gate, without a point, or where the gate is shut for good. */
export function wastegateShareAtPeak(points: readonly OperatingPoint[], turbine: TurbineInput | undefined) {
  const solved = points.filter((p) => p.status === 'ok');
  if (turbine === undefined || turbine.hasGate === false || solved.length === 0) return null;
  const peak = worstOf(solved, (p) => p.brakePowerW);
  const { wastegateShare } = peak;
  if (wastegateShare === null || isShortOfGoal(peak)) return null;
  return { engineSpeedRpm: peak.engineSpeedRpm, wastegateShare };
}

function gateFindings(points: readonly OperatingPoint[], turbine: TurbineInput): Finding[] {
  if (turbine.hasGate === false) {
    const share = (p: OperatingPointSolved) => p.wastegateShare ?? 0;
    // A share smaller than this raises no boost that anybody could measure.
    return overRuns(
      points,
      ['caution', 'no-gate'],
      (p) => share(p) > 1e-3,
      share,
      (worst) => ({ wastegateShare: share(worst) }),
    );
  }
  const peak = wastegateShareAtPeak(points, turbine);
  if (peak === null) return [];
  const { engineSpeedRpm, wastegateShare } = peak;
  return wastegateShare < NEARLY_SHUT
    ? [finding('caution', 'gate-nearly-shut', { wastegateShare }, { engineSpeedRpm })]
    : [finding('note', 'wastegate-flow-fraction', { wastegateShare }, { engineSpeedRpm })];
}

/** What a flow coefficient may be off (common practice, no source). */
const COEFFICIENT_BAND = 0.2;

/** Whether the gate can pass what must go past the turbine; what it would have to, where its size is not entered. */
function openingFindings(points: readonly OperatingPoint[], input: MatchInput, turbine: TurbineInput): Finding[] {
  const { gateAreaM2: areaM2, hasGate } = turbine;
  if (hasGate === false) return [];
  const turbos = (input.turboCount ?? 1) > 1 ? input.turboCount : undefined;
  const needed = (p: OperatingPointSolved) => p.turbine?.gateAreaM2 ?? 0;
  const driven = points.filter((p) => p.status === 'ok' && needed(p) > 0) as OperatingPointSolved[];
  const furthest = driven.length === 0 ? null : worstOf(driven, needed);
  const area: Finding[] =
    furthest === null
      ? []
      : [
          finding(
            'note',
            'gate-area',
            { neededM2: needed(furthest), areaM2, turbos },
            { engineSpeedRpm: furthest.engineSpeedRpm },
          ),
        ];
  if (areaM2 === undefined || !Number.isFinite(areaM2)) return area;
  const opening = (p: OperatingPointSolved) => p.turbine?.gateOpening ?? 0;
  const over = (p: OperatingPointSolved) => p.turbine?.reachedShare ?? 1;
  const creeps = (p: OperatingPointSolved) => p.turbine?.heldBy === 'gate' && over(p) > 2 - AS_GOOD_AS_HELD;
  return [
    // The run that creeps farthest first: a verdict starts from it.
    ...overRuns(points, ['stop', 'gate-creep'], creeps, over, (worst) => {
      const neededM2 = worst.turbine?.gateAreaM2 ?? undefined;
      return { ...reached(worst, input), neededM2, areaM2, turbos };
    }).toSorted((a, b) => (b.values.reachedShare ?? 0) - (a.values.reachedShare ?? 0)),
    ...overRuns(
      points,
      ['caution', 'gate-nearly-open'],
      (p) => !creeps(p) && opening(p) * (1 + COEFFICIENT_BAND) > 1,
      opening,
      (worst) => ({ opening: opening(worst), neededM2: needed(worst), areaM2, turbos }),
    ),
    ...area,
  ];
}

/** The last expansion ratio that a sheet has points at. */
const lastRatio = memory<TurbineInput['capacity'], number>();

function capacityFindings(
  points: readonly OperatingPoint[],
  turbine: TurbineInput,
  limits: MatchInput['limits'],
): Finding[] {
  const { capacity } = turbine;
  const ratio = (p: OperatingPointSolved) => p.expansionRatio ?? 0;
  const last = lastRatio(capacity, [], () =>
    Math.max(...capacity.lines.flatMap((line) => line.points.map((point) => point.expansionRatio))),
  );
  const isExtended = (p: OperatingPointSolved) => p.turbine?.extended === true && capacity.from === 'sheet';
  const solved = points.filter((p) => p.status === 'ok' && p.turbine !== null);
  return [
    ...(solved.length > 0 && capacity.band > 0
      ? [finding('caution', 'turbine-estimated', { band: capacity.band })]
      : []),
    ...chokedFindings(points, turbine),
    ...overRuns(
      points,
      ['caution', 'turbine-extended'],
      (p) => isExtended(p) && ratio(p) > last,
      ratio,
      (worst) => ({ expansionRatio: ratio(worst), lastExpansionRatio: last }),
    ),
    // Toward an expansion ratio of 1 every capacity goes to zero: little can be wrong there.
    ...overRuns(
      points,
      ['note', 'turbine-extended'],
      (p) => isExtended(p) && ratio(p) <= last,
      (p) => -ratio(p),
      (worst) => ({ expansionRatio: ratio(worst) }),
    ),
    ...highestBackPressure(points, limits),
  ];
}

/** Where a gate takes what the turbine does not, choking is the usual state at high power: a note. */
function chokedFindings(points: readonly OperatingPoint[], turbine: TurbineInput): Finding[] {
  const isChoked = (p: OperatingPointSolved) => p.turbine?.choked === true;
  const needsGate = (p: OperatingPointSolved) => turbine.hasGate === false || p.turbine?.heldBy === 'turbine';
  const found = (severity: 'caution' | 'note', holds: (p: OperatingPointSolved) => boolean) =>
    overRuns(
      points,
      [severity, 'turbine-choked'],
      (p) => isChoked(p) && holds(p),
      (p) => p.expansionRatio ?? 0,
      (worst) => ({ expansionRatio: worst.expansionRatio ?? Number.NaN, ...pressure(worst) }),
    );
  return [...found('caution', needsGate), ...found('note', (p) => !needsGate(p))];
}

const pressure = (p: OperatingPointSolved) => ({ turbineInletPressurePa: p.turbineInletPressurePa ?? Number.NaN });

/** Over this a road engine fills badly, runs hot and knocks (common practice, no source). */
const USUAL_HIGHEST_RATIO = 2;

/** A caution where it is more than usual and no limit of the engine was entered. */
function highestBackPressure(points: readonly OperatingPoint[], limits: MatchInput['limits']): Finding[] {
  const known = points.filter((p) => p.status === 'ok' && p.backPressureRatio !== null);
  if (known.length === 0) return [];
  const worst = worstOf(known as OperatingPointSolved[], (p) => p.backPressureRatio ?? 0);
  const backPressureRatio = worst.backPressureRatio ?? Number.NaN;
  const isUnusual = backPressureRatio > USUAL_HIGHEST_RATIO && limits.backPressureRatio === undefined;
  const values = {
    ...pressure(worst),
    backPressureRatio,
    expansionRatio: worst.expansionRatio ?? Number.NaN,
    unusual: flag(isUnusual),
  };
  const severity = isUnusual ? 'caution' : 'note';
  return [finding(severity, 'peak-back-pressure', values, { engineSpeedRpm: worst.engineSpeedRpm })];
}

/** 950 degC: over this a turbine wheel and housing need a material made for it (common practice, no source). */
const USUAL_HIGHEST_K = 1223.15;

function heatFindings(points: readonly OperatingPoint[], input: MatchInput): Finding[] {
  const heat = (p: OperatingPointSolved) => p.turbine?.inletTemperatureK ?? 0;
  const estimated = points.flatMap((p) => (p.status === 'ok' && p.turbine?.temperatureEstimated ? [heat(p)] : []));
  const hot =
    input.limits.turbineInletTemperatureK !== undefined
      ? []
      : overRuns(
          points,
          ['caution', 'turbine-heat'],
          (p) => heat(p) > USUAL_HIGHEST_K,
          heat,
          (worst) => ({ temperatureK: heat(worst), estimated: flag(worst.turbine?.temperatureEstimated) }),
        );
  if (estimated.length === 0) return hot;
  const range = { lowestK: Math.min(...estimated), highestK: Math.max(...estimated) };
  return [...hot, finding('note', 'turbine-temperature-estimated', range)];
}
