import { AS_GOOD_AS_HELD } from '../as-good-as-held.ts';
import { shaftSpeedLimit } from '../operating-line.ts';
import type { MatchInput, OperatingPointSolved } from '../types.ts';
import type { LimitKey, StudyLimits } from './types.ts';

/** The order in which slacks stand. */
export const LIMIT_KEYS: readonly LimitKey[] = [
  'shaft-speed',
  'surge-margin',
  'choke-margin',
  'outlet-temperature',
  'manifold-pressure',
  'brake-power',
  'top-line',
  'turbine',
  'back-pressure',
  'turbine-temperature',
];

/** How far each limit is from being reached, as a share, in the order of LIMIT_KEYS: below 0 it is crossed; Infinity: not chosen. */
export type Slacks = readonly number[];

/** What a limit reads of a point. */
export type Limited = Pick<
  OperatingPointSolved,
  | 'shaftSpeedRpm'
  | 'correctedSpeedRpm'
  | 'region'
  | 'surgeMargin'
  | 'chokeMargin'
  | 'compressorOutletTemperatureK'
  | 'manifoldPressurePa'
  | 'brakePowerW'
>;

/** What the turbine's limits read of a point. */
export interface DrivenLimits {
  /** Below 0: the turbine would need more exhaust than there is. */
  wastegateShare: number;
  /** 1 where the goal is held. */
  reachedShare: number;
  backPressureRatio: number;
  inletTemperatureK: number;
}

/** The limits of a study with the numbers that a point is held against. */
export interface HeldLimits {
  shaftSpeedRpm: number;
  surgeMargin: number;
  chokeMargin: number;
  compressorOutletTemperatureK: number;
  manifoldPressurePa: number;
  brakePowerW: number;
  correctedSpeedRpm: number;
  backPressureRatio: number;
  turbineInletTemperatureK: number;
}

/** The input's own limits where none are given for the study; without a maximum shaft speed the one on the map's sheet. */
export function studyLimits(input: MatchInput, limits: StudyLimits | undefined): StudyLimits {
  const chosen = limits ?? input.limits;
  const shaftSpeedRpm = chosen.shaftSpeedRpm ?? shaftSpeedLimit(input);
  return shaftSpeedRpm === undefined ? chosen : { ...chosen, shaftSpeedRpm };
}

export function heldLimits(input: MatchInput, limits: StudyLimits): HeldLimits {
  const none = Number.POSITIVE_INFINITY;
  return {
    shaftSpeedRpm:
      limits.shaftSpeedRpm === undefined ? none : limits.shaftSpeedRpm * (1 - (limits.shaftSpeedReserve ?? 0)),
    surgeMargin: limits.surgeMargin ?? 0,
    chokeMargin: limits.chokeMargin ?? 0,
    compressorOutletTemperatureK: limits.compressorOutletTemperatureK ?? none,
    manifoldPressurePa: limits.manifoldPressurePa ?? none,
    brakePowerW: limits.brakePowerW ?? none,
    correctedSpeedRpm: limits.stayBelowTopLine === true ? input.compressor.highestLineRpm : none,
    backPressureRatio: limits.backPressureRatio ?? none,
    turbineInletTemperatureK: limits.turbineInletTemperatureK ?? none,
  };
}

/** @param driven null: no turbine is known, and its limits do not count */
export function slacksOf(point: Limited, driven: DrivenLimits | null, held: HeldLimits): Slacks {
  const none = Number.POSITIVE_INFINITY;
  return [
    1 - point.shaftSpeedRpm / held.shaftSpeedRpm,
    marginSlack(point.surgeMargin, held.surgeMargin, point.region === 'left-of-surge'),
    marginSlack(point.chokeMargin, held.chokeMargin, point.region === 'right-of-choke'),
    1 - point.compressorOutletTemperatureK / held.compressorOutletTemperatureK,
    1 - point.manifoldPressurePa / held.manifoldPressurePa,
    1 - point.brakePowerW / held.brakePowerW,
    1 - point.correctedSpeedRpm / held.correctedSpeedRpm,
    driven === null ? none : turbineSlack(driven),
    driven === null ? none : 1 - driven.backPressureRatio / held.backPressureRatio,
    driven === null ? none : 1 - driven.inletTemperatureK / held.turbineInletTemperatureK,
  ];
}

/** What the gate has left; with the gate shut short of the goal by how much it is missed. */
function turbineSlack({ reachedShare, wastegateShare }: DrivenLimits): number {
  return reachedShare < 1 ? reachedShare - AS_GOOD_AS_HELD : wastegateShare;
}

/** The slacks of an operating point. */
export function pointSlacks(point: OperatingPointSolved, held: HeldLimits): Slacks {
  const { turbine, wastegateShare, backPressureRatio } = point;
  if (turbine === null || wastegateShare === null || backPressureRatio === null) return slacksOf(point, null, held);
  const { reachedShare, inletTemperatureK } = turbine;
  return slacksOf(point, { wastegateShare, reachedShare, backPressureRatio, inletTemperatureK }, held);
}

/** What the map calls beyond its edge is beyond it, also where the margin, measured along the speed line, is a hair above 0. */
function marginSlack(margin: number | null, least: number, beyond: boolean): number {
  const slack = margin === null ? Number.POSITIVE_INFINITY : margin - least;
  return beyond ? Math.min(slack, -1e-6) : slack;
}

export function leastSlack(slacks: Slacks): number {
  let least = Number.POSITIVE_INFINITY;
  for (const slack of slacks) {
    // One that is not a number must not pass for one that holds.
    if (Number.isNaN(slack)) return slack;
    if (slack < least) least = slack;
  }
  return least;
}

/** The limit that is crossed furthest, or is nearest to it. */
export function tightestLimit(slacks: Slacks): LimitKey {
  let worst = 0;
  for (let i = 1; i < slacks.length; i++) if (slacks[i]! < slacks[worst]!) worst = i;
  return LIMIT_KEYS[worst] as LimitKey;
}
