import { REASON_MESSAGES, shaftSpeedLimit } from './operating-line.ts';
import type { BindingLimit, LimitKey, StudyLimits } from './studies/types.ts';
import type { MatchInput, OperatingPoint, OperatingPointSolved } from './types.ts';

/** Share of the goal from which a shut gate counts as holding it: no gauge shows half a percent (common practice, no source). */
export const AS_GOOD_AS_HELD = 0.995;

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

/** One plain sentence each: why no boost at all holds. */
const NONE_HOLDS: Readonly<Record<LimitKey, string>> = {
  'shaft-speed': 'At no boost does the shaft stay under its limit here.',
  'surge-margin': 'At no boost does this compressor keep its surge margin here: the engine draws too little air.',
  'choke-margin': 'At no boost does this compressor keep its choke margin here: the engine draws too much air.',
  'outlet-temperature': 'At no boost does the compressor outlet stay under its temperature limit here.',
  'manifold-pressure': 'The limit of manifold pressure is below what the engine draws without the compressor.',
  'brake-power': 'The power limit is below what the engine gives at the lowest boost.',
  'top-line': 'At no boost does the compressor stay below the top line of its map here.',
  turbine: 'The exhaust drives no boost here: the engine gives this turbine too little gas.',
  'back-pressure':
    'At no boost does the back-pressure ratio stay under its limit here: the turbine swallows too little.',
  'turbine-temperature': 'At no boost does the exhaust enter the turbine below its temperature limit here.',
};

/** Plain words for a cell without a ceiling. */
export function noneHoldsMessage(binding: BindingLimit): string {
  if (binding in NONE_HOLDS) return NONE_HOLDS[binding as LimitKey];
  if (binding === 'right-of-map') return 'At no boost does this compressor pass the air that the engine draws here.';
  if (binding === 'left-of-map') return 'At no boost does this compressor work right of its surge line here.';
  if (binding === 'bad-input') return 'A number is missing or impossible.';
  return REASON_MESSAGES[binding as Exclude<BindingLimit, LimitKey | 'bad-input'>];
}

/** A goal set exactly at a limit must not be told off for the last digit. */
const ROUNDING = 1e-9;

/** The limit that a point crosses, or why there is no point. An engine that needs no compressor crosses nothing. */
export function crossedLimit(point: OperatingPoint, held: HeldLimits): BindingLimit | null {
  if (point.status === 'no-compression') return null;
  if (point.status !== 'ok') return point.status;
  const slacks = pointSlacks(point, held);
  return leastSlack(slacks) < -ROUNDING ? tightestLimit(slacks) : null;
}

/** How far a point is from the nearest limit, as a share; below 0 it is crossed, -1 where there is no point. */
export function limitSlack(point: OperatingPoint, held: HeldLimits): number {
  if (point.status === 'no-compression') return 1;
  return point.status === 'ok' ? Math.min(1, leastSlack(pointSlacks(point, held)) + ROUNDING) : -1;
}
