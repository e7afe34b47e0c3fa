import type { EstimateBand } from '../../compressor/types.ts';
import { boostThreshold, isShortOfGoal } from '../findings/boost-threshold.ts';
import { crossedLimit, heldLimits, studyLimits } from '../limits.ts';
import { speedsUnderThreshold } from '../studies/held-goal.ts';
import type { AltitudeCrossing, MatchInput, OperatingPointSolved } from '../types.ts';
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

/**
 * Differences up to these are no difference (common practice, no source): about what reading a map off a sheet loses. Powers as a share,
 * everything else in the row's SI unit.
 */
const USUAL: Readonly<Record<ComparisonKey, number>> = {
  'points-held': 0,
  'power-at-goal': 0.01,
  'power-at-ceiling': 0.01,
  'speed-margin': 0.01,
  'surge-margin': 0.02,
  'choke-margin': 0.02,
  efficiency: 0.005,
  'outlet-temperature': 3,
  'intake-temperature': 2,
  'compressor-power': 0.02,
  'boost-threshold': 100,
  'back-pressure-ratio': 0.05,
  'gate-share': 0.03,
  'air-at-same-boost': 0.005,
  'altitude-held': 100,
};

/** Rows whose threshold is a share of the first candidate's value. */
export const SHARE_ROWS: ReadonlySet<ComparisonKey> = new Set([
  'power-at-goal',
  'power-at-ceiling',
  'compressor-power',
  'air-at-same-boost',
]);

/** Rows that need a turbine. */
export const TURBINE_ROWS: ReadonlySet<ComparisonKey> = new Set([
  'boost-threshold',
  'back-pressure-ratio',
  'gate-share',
  'air-at-same-boost',
]);

/** Kelvin of outlet temperature for a point of efficiency: a rise of 120 K at an efficiency of 0.72 changes by 1.7 K (hand calculation). */
const KELVIN_PER_EFFICIENCY = 170;
/** Metres of altitude for a share of shaft speed: pressure falls 12 % in 1,000 m, and speed follows about a third of that. */
const METRES_PER_SPEED_SHARE = 25_000;

/** What a scaled map may be off in the unit of a row. */
function ofBand(key: ComparisonKey, band: EstimateBand): number {
  switch (key) {
    case 'speed-margin':
      return band.correctedSpeed;
    case 'surge-margin':
      return band.surgeFlow + band.pressureRatio;
    case 'choke-margin':
      return band.chokeFlow;
    case 'efficiency':
      return band.efficiency;
    case 'outlet-temperature':
      return KELVIN_PER_EFFICIENCY * band.efficiency;
    // A cooler takes most of the difference.
    case 'intake-temperature':
      return 0.3 * KELVIN_PER_EFFICIENCY * band.efficiency;
    case 'compressor-power':
      return 1.4 * band.efficiency;
    case 'power-at-ceiling':
      return Math.max(band.chokeFlow, band.surgeFlow);
    case 'altitude-held':
      return METRES_PER_SPEED_SHARE * band.correctedSpeed;
    default:
      return 0;
  }
}

/**
 * Air lost for a share more of p3/p_m: at a compression ratio of 9 and an exhaust gamma of 1.33 the ideal cycle loses
 * (1/1.33)/(9 - 1) = 0.094 of it (hand calculation; the relation of the breathing correction).
 */
const AIR_PER_BACK_PRESSURE = 0.094;

/** What an estimated turbine may be off: back-pressure, the exhaust that it takes and the engine speed that drives it go with its size. */
function ofTurbine(key: ComparisonKey, band: number, highest: number): number {
  switch (key) {
    case 'boost-threshold':
    case 'back-pressure-ratio':
      return band * highest;
    case 'gate-share':
      return band;
    case 'air-at-same-boost':
    case 'power-at-goal':
    case 'power-at-ceiling':
      return AIR_PER_BACK_PRESSURE * band;
    default:
      return 0;
  }
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
  const maps = [a.compressor.estimate?.band, b.compressor.estimate?.band].filter((band) => band !== undefined);
  const turbines = [a.turbine?.capacity.band ?? 0, b.turbine?.capacity.band ?? 0];
  const usual = key === 'boost-threshold' ? Math.max(USUAL[key], speedStep(a) / 2, speedStep(b) / 2) : USUAL[key];
  const value = Math.max(
    usual,
    ...maps.map((band) => ofBand(key, band)),
    ...turbines.map((band) => ofTurbine(key, band, highest)),
  );
  return { value, isBand: value > usual };
}

/** Mean step of the engine speeds, rpm. */
function speedStep({ engineSpeedsRpm }: MatchInput): number {
  if (engineSpeedsRpm.length < 2) return 0;
  return (Math.max(...engineSpeedsRpm) - Math.min(...engineSpeedsRpm)) / (engineSpeedsRpm.length - 1);
}
