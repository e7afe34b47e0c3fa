import type { Shown } from './figures.ts';
import { type OfSeveral, type ResultKey, titleWithOwner } from './results.ts';
import type { ComparisonKey } from './types.ts';

/** A number of a whole line or a candidate. */
export interface LineResult {
  title: string;
  short?: string;
  shown: Shown;
  /** The title where there are several turbos; left out: as of the result that it is of. */
  ofSeveral?: string;
  /** It is the highest or the lowest of this result along the line. */
  of?: ResultKey;
  take?: 'highest' | 'lowest';
}

export type LineResultKey = ComparisonKey | 'peak-wheel-power' | 'top-shaft-speed';

export const LINE_RESULTS: Readonly<Record<LineResultKey, LineResult>> = {
  'peak-wheel-power': {
    title: 'Peak wheel power',
    short: 'Wheel power',
    shown: 'power',
    of: 'wheelPowerW',
    take: 'highest',
  },
  'peak-torque': { title: 'Peak torque', short: 'Torque', shown: 'torque', of: 'torqueNm', take: 'highest' },
  'top-shaft-speed': {
    title: 'Top shaft speed',
    short: 'Shaft speed',
    shown: 'shaft-speed',
    of: 'shaftSpeedRpm',
    take: 'highest',
  },
  'points-held': { title: 'Engine speeds that hold the goal', shown: 'whole-share' },
  'power-at-goal': { title: 'Crank power at the goal', shown: 'power', of: 'brakePowerW', take: 'highest' },
  'air-at-same-boost': {
    title: 'Air at the same boost',
    ofSeveral: 'Engine air at the same boost',
    shown: 'air-flow',
  },
  'power-at-ceiling': { title: 'Crank power at the ceiling', shown: 'power' },
  'boost-threshold': { title: 'Boost threshold', shown: 'threshold-speed' },
  'speed-margin': { title: 'Least speed margin', shown: 'margin', of: 'speedMargin', take: 'lowest' },
  'surge-margin': {
    title: 'Least surge margin',
    short: 'Surge margin',
    shown: 'margin',
    of: 'surgeMargin',
    take: 'lowest',
  },
  'choke-margin': { title: 'Least choke margin', shown: 'margin', of: 'chokeMargin', take: 'lowest' },
  efficiency: { title: 'Mean efficiency', shown: 'share' },
  'outlet-temperature': {
    title: 'Highest outlet temperature',
    shown: 'temperature',
    of: 'compressorOutletTemperatureK',
    take: 'highest',
  },
  'manifold-temperature': {
    title: 'Highest manifold temperature',
    shown: 'temperature',
    of: 'manifoldTemperatureK',
    take: 'highest',
  },
  // Of all turbos: of one, two small would seem to need half of what one large does.
  'compressor-power': {
    title: 'Power the turbine must give',
    ofSeveral: 'Power all turbines must give',
    shown: 'power',
  },
  'back-pressure-ratio': { title: 'Back-pressure ratio p3/p_m', shown: 'pressure-ratio' },
  'wastegate-flow-fraction': { title: 'Wastegate flow fraction', shown: 'share' },
  'altitude-held': { title: 'Holds the goal up to', shown: 'altitude' },
};

/** Name of a number of a line, in full or short: 'Top shaft speed', 'Surge margin'; with several turbos 'Top shaft speed per turbo'. */
export function lineTitle(key: LineResultKey, units: OfSeveral, room: 'full' | 'short' = 'full'): string {
  const { title, short, ofSeveral, of } = LINE_RESULTS[key];
  if (units.several && ofSeveral !== undefined) return ofSeveral;
  return titleWithOwner(room === 'short' ? (short ?? title) : title, of, units);
}
