import { boostThreshold, isShortOfGoal } from '../findings/boost-threshold.ts';
import { crossedLimit } from '../studies/crossed-limit.ts';
import { speedsUnderThreshold } from '../studies/held-goal.ts';
import { heldLimits, studyLimits } from '../studies/limit-slacks.ts';
import type { AltitudeCrossing, OperatingPointSolved } from '../types.ts';
import type { ComparedValue, ComparisonKey, SolvedCandidate } from './types.ts';

const NOT_KNOWN: ComparedValue = { value: null, engineSpeedRpm: null, bound: null };

const solved = (c: SolvedCandidate) => c.points.filter((p) => p.status === 'ok');

/** Engine speeds that rows are taken on, the same for both candidates. */
export interface ComparedOn {
  /** Both have a point. */
  commonRpm: readonly number[];
  /** Where the first one's power peaks among them. */
  peakRpm: number | null;
  /** Where the first one's power peaks among those at which both hold the same manifold pressure. */
  sameBoostRpm: number | null;
  /** Both hold the goal at the lowest altitude studied. */
  heldByBothRpm: ReadonlySet<number>;
}

/** The number of a row for one candidate. */
export function comparedValue(key: ComparisonKey, candidate: SolvedCandidate, on: ComparedOn): ComparedValue {
  switch (key) {
    case 'points-held':
      return pointsHeld(candidate);
    case 'power-at-goal':
      return extreme(solved(candidate), (p) => p.brakePowerW, 'highest');
    case 'power-at-ceiling':
      return extreme(ceilingPoints(candidate), (p) => p.brakePowerW, 'highest');
    case 'speed-margin':
      return extreme(solved(candidate), (p) => p.speedMargin, 'lowest');
    case 'surge-margin':
      return extreme(solved(candidate), (p) => p.surgeMargin, 'lowest');
    case 'choke-margin':
      return extreme(solved(candidate), (p) => p.chokeMargin, 'lowest');
    case 'efficiency':
      return meanEfficiency(candidate, on.commonRpm);
    case 'outlet-temperature':
      return extreme(solved(candidate), (p) => p.compressorOutletTemperatureK, 'highest');
    case 'intake-temperature':
      return extreme(solved(candidate), (p) => p.manifoldTemperatureK, 'highest');
    case 'compressor-power':
      return at(candidate, on.peakRpm, (p) => p.compressorPowerW);
    case 'boost-threshold':
      return threshold(candidate);
    case 'back-pressure-ratio':
      return at(candidate, on.peakRpm, (p) => p.backPressureRatio);
    case 'gate-share':
      return at(candidate, on.peakRpm, (p) => p.wastegateShare);
    case 'air-at-same-boost':
      return at(candidate, on.sameBoostRpm, (p) => p.airMassFlowKgPerS);
    case 'altitude-held':
      return altitudeHeld(candidate, on.heldByBothRpm);
  }
}

/** The value at one engine speed. */
function at(
  candidate: SolvedCandidate,
  engineSpeedRpm: number | null,
  read: (point: OperatingPointSolved) => number | null,
): ComparedValue {
  const points = solved(candidate).filter((p) => p.engineSpeedRpm === engineSpeedRpm);
  return extreme(points, read, 'highest');
}

/** Where no engine speed holds the goal it lies above the highest, where the lowest does, there or below: bounds. */
function threshold({ points }: SolvedCandidate): ComparedValue {
  const found = boostThreshold(points.toSorted((a, b) => a.engineSpeedRpm - b.engineSpeedRpm));
  if (found === null) return NOT_KNOWN;
  const bound = { found: null, below: 'at-most', never: 'at-least' } as const;
  return { value: found.engineSpeedRpm, engineSpeedRpm: null, bound: bound[found.status] };
}

function ceilingPoints({ ceilings }: SolvedCandidate): OperatingPointSolved[] {
  return (ceilings?.cells[0] ?? []).flatMap((cell) => (cell.status === 'ok' ? [cell.point] : []));
}

/** The end of the line where a value is worst or best; a point without the value is passed over. */
function extreme(
  points: readonly OperatingPointSolved[],
  read: (point: OperatingPointSolved) => number | null,
  which: 'highest' | 'lowest',
): ComparedValue {
  const sign = which === 'highest' ? 1 : -1;
  let found = NOT_KNOWN;
  for (const point of points) {
    const value = read(point);
    if (value === null) continue;
    if (found.value === null || sign * value > sign * found.value) {
      found = { value, engineSpeedRpm: point.engineSpeedRpm, bound: null };
    }
  }
  return found;
}

/**
 * Share of the engine speeds at which the goal has a point that crosses no limit; one that needs no compressor holds, one that the exhaust
 * does not drive up to the goal does not.
 */
function pointsHeld({ input, points }: SolvedCandidate): ComparedValue {
  if (points.length === 0) return NOT_KNOWN;
  const held = heldLimits(input, studyLimits(input, undefined));
  const good = points.filter((p) => !isShortOfGoal(p) && crossedLimit(p, held) === null);
  return { value: good.length / points.length, engineSpeedRpm: null, bound: null };
}

function meanEfficiency(candidate: SolvedCandidate, commonSpeedsRpm: readonly number[]): ComparedValue {
  const common = new Set(commonSpeedsRpm);
  const points = solved(candidate).filter((p) => common.has(p.engineSpeedRpm));
  if (points.length === 0 || points.some((p) => p.efficiencyAssumed)) return NOT_KNOWN;
  return { value: points.reduce((sum, p) => sum + p.efficiency, 0) / points.length, engineSpeedRpm: null, bound: null };
}

/**
 * Where the car first meets a limit, over the engine speeds given: those at which both hold the goal at the lowest altitude, so that what
 * is out of reach anyway does not hide the rest. Where the boost begins is the row of the threshold, not this one. A bound where no
 * limit is met up to the highest altitude, or one at the lowest.
 */
function altitudeHeld({ held }: SolvedCandidate, speedsRpm: ReadonlySet<number>): ComparedValue {
  if (held === null || held.crossings.length === 0) return NOT_KNOWN;
  const under = speedsUnderThreshold(held.crossings);
  const asked = held.crossings.filter(
    ({ engineSpeedRpm: rpm }) => (speedsRpm.size === 0 || speedsRpm.has(rpm)) && !under.has(rpm),
  );
  if (asked.length === 0) return NOT_KNOWN;
  let first: AltitudeCrossing | null = null;
  for (const crossing of asked) {
    if (crossing.altitudeM !== null && crossing.altitudeM < (first?.altitudeM ?? Number.POSITIVE_INFINITY)) {
      first = crossing;
    }
  }
  if (first !== null) {
    const bound = first.status === 'from-lowest' ? 'at-most' : null;
    return { value: first.altitudeM, engineSpeedRpm: first.engineSpeedRpm, bound };
  }
  const altitudes = held.places.flatMap((place) => place.altitudeM ?? []);
  if (altitudes.length === 0) return NOT_KNOWN;
  return { value: Math.max(...altitudes), engineSpeedRpm: null, bound: 'at-least' };
}
