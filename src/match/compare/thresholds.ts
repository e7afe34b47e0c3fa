import type { EstimateBand } from '../../compressor/types.ts';
import type { MatchInput } from '../types.ts';
import type { ComparisonKey } from './types.ts';

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
