import type { OperatingPoint, OperatingPointSolved } from '../types.ts';

/** From which engine speed the exhaust drives the goal. */
export type BoostThreshold =
  | {
      status: 'found';
      engineSpeedRpm: number;
      /** The turbine-limited points under it, in rising engine speed; engine speeds at which the exhaust drives no boost are not among them. */
      limited: readonly OperatingPointSolved[];
      /** First and last engine speed of the line under it. */
      rangeRpm: readonly [number, number];
      firstHeld: OperatingPointSolved;
    }
  /** The goal is held at the lowest engine speed that has a point: the threshold is there or below. */
  | { status: 'below'; engineSpeedRpm: number }
  /** No engine speed holds the goal: the threshold, if there is one, lies above. */
  | { status: 'never'; engineSpeedRpm: number; best: OperatingPointSolved | null };

/** The exhaust gives too little for the goal at this engine speed. */
export function isTurbineLimited(point: OperatingPoint): boolean {
  return point.status === 'ok' ? point.turbine?.heldBy === 'turbine' : point.status === 'turbine-too-weak';
}

/**
 * The boost threshold of a line. Engine speeds that say nothing of the turbine (no point for another reason, no compression asked for) are
 * passed over. It lies between the last turbine-limited point and the first one after it that holds the goal; there, what the former lacks
 * of the goal (1 - reachedShare) and what the latter lets past the turbine (its gate share) both go to zero, and the threshold divides the
 * step in the proportion of the two: a straight line between what is short and what is over. That is within a step of the engine speeds,
 * and moves without jumps. Under a point where the exhaust drives no boost at all, what is short is not known: the first point that holds.
 *
 * @param points of one line, in rising engine speed
 * @returns null where no point knows its turbine
 */
export function boostThreshold(points: readonly OperatingPoint[]): BoostThreshold | null {
  const told = points.filter((p) => isTurbineLimited(p) || (p.status === 'ok' && p.turbine !== null));
  const first = told[0];
  const last = told[told.length - 1];
  if (first === undefined || last === undefined) return null;
  const at = told.findIndex((p) => !isTurbineLimited(p));
  if (at === 0) return { status: 'below', engineSpeedRpm: first.engineSpeedRpm };
  const under = (at < 0 ? told : told.slice(0, at)).filter((p) => p.status === 'ok');
  const firstHeld = told[at];
  const before = told[at - 1];
  if (firstHeld?.status !== 'ok' || before === undefined) {
    return { status: 'never', engineSpeedRpm: last.engineSpeedRpm, best: nearest(under) };
  }
  return {
    status: 'found',
    engineSpeedRpm: between(before, firstHeld),
    limited: under,
    rangeRpm: [first.engineSpeedRpm, before.engineSpeedRpm],
    firstHeld,
  };
}

function between(before: OperatingPoint, held: OperatingPointSolved): number {
  if (before.status !== 'ok' || before.turbine === null) return held.engineSpeedRpm;
  const short = Math.max(0, 1 - before.turbine.reachedShare);
  const over = Math.max(0, held.wastegateShare ?? 0);
  const share = short + over > 0 ? short / (short + over) : 1;
  return before.engineSpeedRpm + share * (held.engineSpeedRpm - before.engineSpeedRpm);
}

function nearest(points: readonly OperatingPointSolved[]): OperatingPointSolved | null {
  let best: OperatingPointSolved | null = null;
  for (const p of points) if ((p.turbine?.reachedShare ?? 0) > (best?.turbine?.reachedShare ?? 0)) best = p;
  return best;
}
