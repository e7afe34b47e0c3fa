import { crossedLimit, type HeldLimits, heldLimits, studyLimits } from './held-limits.ts';
import type { MatchInput, OperatingPoint } from './types.ts';

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
