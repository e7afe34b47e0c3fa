import { type DrivenLimits, LIMIT_KEYS, LIMITS, type LimitedPoint, type LimitKey, type StudyLimits } from './limits.ts';
import { shaftSpeedLimit } from './operating-line.ts';
import type { BindingLimit, MatchInput, OperatingPoint, OperatingPointSolved } from './types.ts';

/* How points stand to the limits that are asked for. */

const ENTRIES = Object.values(LIMITS);

/** How far each limit is from being reached, as a share, in the order of LIMIT_KEYS: below 0 it is crossed; Infinity: not chosen. */
export type Slacks = readonly number[];

/** The numbers that a point is held against, in the order of LIMIT_KEYS. */
export type HeldLimits = readonly number[];

/** The input's own limits where none are given for the study; without a maximum shaft speed the one on the map's sheet. */
export function studyLimits(input: MatchInput, limits: StudyLimits | undefined): StudyLimits {
  const chosen = limits ?? input.limits;
  const shaftSpeedRpm = chosen.shaftSpeedRpm ?? shaftSpeedLimit(input);
  return shaftSpeedRpm === undefined ? chosen : { ...chosen, shaftSpeedRpm };
}

export function heldLimits(input: MatchInput, limits: StudyLimits): HeldLimits {
  return ENTRIES.map(({ held, asked }) => held?.(limits, input) ?? asked(limits, input) ?? Number.POSITIVE_INFINITY);
}

/** The number of one limit; Infinity where it is not asked for. */
export function heldNumber(held: HeldLimits, key: LimitKey): number {
  return held[LIMIT_KEYS.indexOf(key)]!;
}

/** @param driven null: no turbine is known, and its limits do not count */
export function slacksOf(point: LimitedPoint, driven: DrivenLimits | null, held: HeldLimits): Slacks {
  const slacks = new Array<number>(ENTRIES.length);
  for (let i = 0; i < slacks.length; i++) {
    const { slack, needsTurbine } = ENTRIES[i]!;
    const isOut = needsTurbine === true && driven === null;
    slacks[i] = isOut ? Number.POSITIVE_INFINITY : slack(point, held[i]!, driven ?? UNDRIVEN);
  }
  return slacks;
}

/** Stands in where no limit reads it. */
const UNDRIVEN: DrivenLimits = {
  wastegateShare: 0,
  reachedShare: 1,
  gateOpening: null,
  backPressureRatio: 0,
  inletTemperatureK: 0,
};

/** The slacks of an operating point. */
export function pointSlacks(point: OperatingPointSolved, held: HeldLimits): Slacks {
  const { turbine, wastegateShare, backPressureRatio } = point;
  if (turbine === null || wastegateShare === null || backPressureRatio === null) return slacksOf(point, null, held);
  // By name: spreading the whole state cost more than all limits together.
  const { reachedShare, gateOpening, inletTemperatureK } = turbine;
  return slacksOf(point, { wastegateShare, reachedShare, gateOpening, backPressureRatio, inletTemperatureK }, held);
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

/**
 * What holds the boost at an operating point. 'goal': the goal is held, and every limit with it. 'turbine': the gate is shut and the
 * goal is not reached. 'creep': the gate is wide open and the boost lies over the goal. 'ceiling': the goal is held, but a limit of the build is crossed there: the ceiling lies below the goal.
 */
export type LinePart = 'goal' | 'turbine' | 'creep' | 'ceiling';

/**
 * The part that a point belongs to, by the same rule as ceilings and held goals; null where there is no point. A turbine-limited point
 * that crosses a limit besides stays turbine-limited: its boost is the turbine's, and a finding says what is crossed. So does one that creeps.
 */
export function linePart(point: OperatingPoint, held: HeldLimits): LinePart | null {
  if (point.status !== 'ok') return null;
  if (point.turbine?.heldBy === 'turbine') return 'turbine';
  if (point.turbine?.heldBy === 'gate') return 'creep';
  return crossedLimit(point, held) === null ? 'goal' : 'ceiling';
}

/** The part of every point of a line, in its order, held against the limits of the input. */
export function lineParts(points: readonly OperatingPoint[], input: MatchInput): (LinePart | null)[] {
  const held = heldLimits(input, studyLimits(input, undefined));
  return points.map((point) => linePart(point, held));
}
