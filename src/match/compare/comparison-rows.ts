import type { EstimateBand } from '../../compressor/types.ts';
import { boostThreshold, isShortOfGoal } from '../findings/boost-threshold.ts';
import { crossedLimit, heldLimits, studyLimits } from '../held-limits.ts';
import { LINE_RESULTS } from '../line-results.ts';
import type { ResultKey } from '../results.ts';
import { extremeOf } from '../results.ts';
import { lowestCrossing, speedsUnderThreshold } from '../studies/held-goal.ts';
import type { MatchInput, OperatingPoint, OperatingPointSolved } from '../types.ts';
import type { ComparedValue, ComparisonKey, SolvedCandidate } from './types.ts';

const NOT_KNOWN: ComparedValue = { value: null, engineSpeedRpm: null, bound: null };

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

interface RowKind {
  better: 'more' | 'less';
  /** A difference up to this is none (common practice, no source: about what reading a map off a sheet loses), in the row's SI unit ... */
  usual: number;
  /** ... or as a share of the first candidate's value. */
  isShare?: true;
  needsTurbine?: true;
  /** What a scaled map may be off, in the unit of `usual`. */
  ofMap?: (band: EstimateBand) => number;
  /** What an estimated turbine may be off; `highest` is the larger of the two values. */
  ofTurbine?: (band: number, highest: number) => number;
  /** Left out: the extreme of the line that LINE_RESULTS names. */
  value?: (candidate: SolvedCandidate, on: ComparedOn) => ComparedValue;
}

/** Kelvin of outlet temperature for a point of efficiency: a rise of 120 K at an efficiency of 0.72 changes by 1.7 K (hand calculation). */
const KELVIN_PER_EFFICIENCY = 170;
/** Metres of altitude for a share of shaft speed: pressure falls 12 % in 1,000 m, and speed follows about a third of that. */
const METRES_PER_SPEED_SHARE = 25_000;
/**
 * Air lost for a share more of p3/p_m: at a compression ratio of 9 and an exhaust gamma of 1.33 the ideal cycle loses
 * (1/1.33)/(9 - 1) = 0.094 of it (hand calculation; the relation of the breathing correction).
 */
const AIR_PER_BACK_PRESSURE = 0.094;
const airOfTurbine = (band: number) => AIR_PER_BACK_PRESSURE * band;

/** Every row in the order of the table; what weighs most stands first among gains and costs. */
export const COMPARISON_ROWS: Readonly<Record<ComparisonKey, RowKind>> = {
  'points-held': { better: 'more', usual: 0, value: pointsHeld },
  'power-at-goal': { better: 'more', usual: 0.01, isShare: true, ofTurbine: airOfTurbine },
  // What a gearbox feels, and where the pull is: power and torque peak at speeds of their own.
  'peak-torque': { better: 'more', usual: 0.01, isShare: true, ofTurbine: airOfTurbine },
  'air-at-same-boost': {
    better: 'more',
    usual: 0.005,
    isShare: true,
    needsTurbine: true,
    ofTurbine: airOfTurbine,
    value: (c, on) => at(c, on.sameBoostRpm, 'airMassFlowKgPerS'),
  },
  'power-at-ceiling': {
    better: 'more',
    usual: 0.01,
    isShare: true,
    ofMap: (band) => Math.max(band.chokeFlow, band.surgeFlow),
    ofTurbine: airOfTurbine,
    value: (c) => extreme(ceilingPoints(c), 'brakePowerW', 'highest'),
  },
  'boost-threshold': {
    better: 'less',
    usual: 100,
    needsTurbine: true,
    ofTurbine: (band, highest) => band * highest,
    value: threshold,
  },
  'speed-margin': { better: 'more', usual: 0.01, ofMap: (band) => band.correctedSpeed },
  'surge-margin': { better: 'more', usual: 0.02, ofMap: (band) => band.surgeFlow + band.pressureRatio },
  'choke-margin': { better: 'more', usual: 0.02, ofMap: (band) => band.chokeFlow },
  efficiency: {
    better: 'more',
    usual: 0.005,
    ofMap: (band) => band.efficiency,
    value: (c, on) => meanEfficiency(c, on.commonRpm),
  },
  'outlet-temperature': { better: 'less', usual: 3, ofMap: (band) => KELVIN_PER_EFFICIENCY * band.efficiency },
  // A cooler takes most of the difference.
  'manifold-temperature': { better: 'less', usual: 2, ofMap: (band) => 0.3 * KELVIN_PER_EFFICIENCY * band.efficiency },
  'compressor-power': {
    better: 'less',
    usual: 0.02,
    isShare: true,
    ofMap: (band) => 1.4 * band.efficiency,
    value: (c, on) => {
      const ofOne = at(c, on.peakRpm, 'compressorPowerW');
      return { ...ofOne, value: ofOne.value === null ? null : ofOne.value * turbosOf(c) };
    },
  },
  'back-pressure-ratio': {
    better: 'less',
    usual: 0.05,
    needsTurbine: true,
    ofTurbine: (band, highest) => band * highest,
    value: (c, on) => at(c, on.peakRpm, 'backPressureRatio'),
  },
  'wastegate-flow-fraction': {
    better: 'more',
    usual: 0.03,
    needsTurbine: true,
    ofTurbine: (band) => band,
    value: (c, on) => at(c, on.peakRpm, 'wastegateShare'),
  },
  'altitude-held': {
    better: 'more',
    usual: 100,
    ofMap: (band) => METRES_PER_SPEED_SHARE * band.correctedSpeed,
    value: (c, on) => altitudeHeld(c, on.heldByBothRpm),
  },
};

/** Turbos that a candidate has; what is held against another candidate is that of all of them together. */
export function turbosOf(candidate: SolvedCandidate | null): number {
  return candidate?.input.turboCount ?? 1;
}

/** The number of a row for one candidate. */
export function comparedValue(key: ComparisonKey, candidate: SolvedCandidate, on: ComparedOn): ComparedValue {
  const { value } = COMPARISON_ROWS[key];
  if (value !== undefined) return value(candidate, on);
  const { of, take } = LINE_RESULTS[key];
  return of === undefined || take === undefined ? NOT_KNOWN : extreme(solvedOf(candidate.points), of, take);
}

/** The points of a line that were solved. */
export function solvedOf(points: readonly OperatingPoint[]): OperatingPointSolved[] {
  return points.filter((point) => point.status === 'ok');
}

/** The points at the ceilings of the input's own place. */
export function ceilingPoints({ ceilings }: SolvedCandidate): OperatingPointSolved[] {
  return (ceilings?.cells[0] ?? []).flatMap((cell) => (cell.status === 'ok' ? [cell.point] : []));
}

function extreme(points: readonly OperatingPointSolved[], key: ResultKey, take: 'highest' | 'lowest'): ComparedValue {
  const found = extremeOf(points, key, take);
  return found === null ? NOT_KNOWN : { value: found.value, engineSpeedRpm: found.point.engineSpeedRpm, bound: null };
}

/** The value at one engine speed. */
function at({ points }: SolvedCandidate, engineSpeedRpm: number | null, key: ResultKey): ComparedValue {
  const there = solvedOf(points).filter((p) => p.engineSpeedRpm === engineSpeedRpm);
  return extreme(there, key, 'highest');
}

/** Where no engine speed holds the goal it lies above the highest, where the lowest does, there or below: bounds. */
function threshold({ points }: SolvedCandidate): ComparedValue {
  const found = boostThreshold(points.toSorted((a, b) => a.engineSpeedRpm - b.engineSpeedRpm));
  if (found === null) return NOT_KNOWN;
  const bound = { found: null, below: 'at-most', never: 'at-least' } as const;
  return { value: found.engineSpeedRpm, engineSpeedRpm: null, bound: bound[found.status] };
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
  const points = solvedOf(candidate.points).filter((p) => common.has(p.engineSpeedRpm));
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
  const first = lowestCrossing(asked);
  if (first !== null) {
    const bound = first.status === 'from-lowest' ? 'at-most' : null;
    return { value: first.altitudeM, engineSpeedRpm: first.engineSpeedRpm, bound };
  }
  const altitudes = held.places.flatMap((place) => place.altitudeM ?? []);
  if (altitudes.length === 0) return NOT_KNOWN;
  return { value: Math.max(...altitudes), engineSpeedRpm: null, bound: 'at-least' };
}

/**
 * The threshold of a row: the usual one, or the widest band of the two maps and turbines where that is more. A boost threshold is found
 * between engine speeds, and known to half their step.
 *
 * @param highest the larger of the two values, in the row's SI unit
 */
export function rowThreshold(
  key: ComparisonKey,
  a: MatchInput,
  b: MatchInput,
  highest: number,
): { value: number; isBand: boolean } {
  const { usual: least, ofMap, ofTurbine } = COMPARISON_ROWS[key];
  const maps = [a.compressor.estimate?.band, b.compressor.estimate?.band].filter((band) => band !== undefined);
  const turbines = [a.turbine?.capacity.band ?? 0, b.turbine?.capacity.band ?? 0];
  const usual = key === 'boost-threshold' ? Math.max(least, speedStep(a) / 2, speedStep(b) / 2) : least;
  const value = Math.max(
    usual,
    ...maps.map((band) => ofMap?.(band) ?? 0),
    ...turbines.map((band) => ofTurbine?.(band, highest) ?? 0),
  );
  return { value, isBand: value > usual };
}

/** Mean step of the engine speeds, rpm. */
function speedStep({ engineSpeedsRpm }: MatchInput): number {
  if (engineSpeedsRpm.length < 2) return 0;
  return (Math.max(...engineSpeedsRpm) - Math.min(...engineSpeedsRpm)) / (engineSpeedsRpm.length - 1);
}
