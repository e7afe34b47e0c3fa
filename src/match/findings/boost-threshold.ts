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
 * passed over. It lies between the last turbine-limited point and the first one after it that holds the goal. There the gate share is
 * carried on to 0 from the first two that hold it, as a straight line over 1/n: at one boost the turbine asks for one flow of exhaust, the
 * engine gives one that goes with n, and the share left over is near 1 - threshold/n. Never outside the step that it lies in. With one
 * point that holds, or a share that does not rise, the step is divided in the proportion of what the one lacks of the goal
 * (1 - reachedShare) to what the other lets past. Under a point where the exhaust drives no boost
 * at all, what it lacks is not known: then the first point that holds.
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
  const after = told[at + 1];
  return {
    status: 'found',
    engineSpeedRpm: carriedOn(before, firstHeld, after) ?? divided(before, firstHeld),
    limited: under,
    rangeRpm: [first.engineSpeedRpm, before.engineSpeedRpm],
    firstHeld,
  };
}

/** Where the gate share of two points that hold the goal comes to 0, within the step below the first; null where it does not fall. */
function carriedOn(before: OperatingPoint, held: OperatingPointSolved, after: OperatingPoint | undefined) {
  if (after?.status !== 'ok' || isTurbineLimited(after)) return null;
  const slowness = (p: OperatingPoint) => 1 / p.engineSpeedRpm;
  const share = held.wastegateShare ?? 0;
  const fall = ((after.wastegateShare ?? 0) - share) / (slowness(held) - slowness(after));
  if (!(fall > 0) || share < 0) return null;
  return Math.max(before.engineSpeedRpm, 1 / (slowness(held) + share / fall));
}

function divided(before: OperatingPoint, held: OperatingPointSolved): number {
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
