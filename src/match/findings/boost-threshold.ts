import { AS_GOOD_AS_HELD } from '../limits.ts';
import type { OperatingPoint, OperatingPointSolved } from '../types.ts';

/** From which engine speed the exhaust drives the goal. */
export type BoostThreshold =
  | {
      status: 'found';
      engineSpeedRpm: number;
      /** The points short of the goal under it, in rising engine speed; where the exhaust drives no boost at all there is none. */
      limited: readonly OperatingPointSolved[];
      /** First and last engine speed of the line under it that are short of the goal. */
      rangeRpm: readonly [number, number];
      firstHeld: OperatingPointSolved;
    }
  /** The goal is held at the lowest engine speed that has a point: the threshold is there or below. */
  | { status: 'below'; engineSpeedRpm: number }
  /** No engine speed holds the goal: the threshold, if there is one, lies above. */
  | { status: 'never'; engineSpeedRpm: number; best: OperatingPointSolved | null };

/**
 * Share of the pressure asked for that must have been held below for a run to be no matter of the threshold: where the goal is held
 * above it again, and where it is not, so that a goal that rises to the last engine speed is not called out of reach (common practice,
 * no source).
 */
const AS_MUCH = { heldAbove: 0.98, notAbove: 0.9 };

/** The exhaust gives too little for the goal at this engine speed, by more than anybody could read off a gauge. */
export function isShortOfGoal(point: OperatingPoint): boolean {
  if (point.status !== 'ok') return point.status === 'turbine-too-weak';
  return point.turbine?.heldBy === 'turbine' && point.turbine.reachedShare < AS_GOOD_AS_HELD;
}

/**
 * The boost threshold of a line: over it the exhaust drives the goal. Engine speeds that say nothing of the turbine (no point for another
 * reason, no compression asked for) are passed over. What lies under it is short of the goal, and no engine speed below holds
 * as much: on the rise of a goal curve a little boost may be held early. Short of the goal elsewhere is no matter of the threshold.
 *
 * Between the last point that is short and the next, which holds the goal, the wastegate flow fraction is carried on to 0 from the first two that hold,
 * as a straight line over 1/n: at one boost the turbine asks for one flow of exhaust, the engine gives one that goes with n, and the share
 * left over is near 1 - threshold/n. Never outside the step that it lies in. With one point that holds, or a share that does not rise, the
 * step is divided in the proportion of what the one lacks of the goal (1 - reachedShare) to what the other lets past. Over an engine
 * speed at which the exhaust drives no boost at all, what it lacks is not known: then the first point that holds.
 *
 * @param points of one line, in rising engine speed
 * @returns null where no point knows its turbine
 */
export function boostThreshold(points: readonly OperatingPoint[]): BoostThreshold | null {
  const judged = points.filter((p) => isShortOfGoal(p) || (p.status === 'ok' && p.turbine !== null));
  const first = judged[0];
  const last = judged[judged.length - 1];
  if (first === undefined || last === undefined) return null;
  const low = lowEnd(judged);
  const before = judged[low];
  const firstHeld = judged[low + 1];
  if (before === undefined) return { status: 'below', engineSpeedRpm: first.engineSpeedRpm };
  const short = judged.slice(0, low + 1).filter(isShortOfGoal);
  const limited = short.filter((p) => p.status === 'ok');
  if (firstHeld?.status !== 'ok') {
    return { status: 'never', engineSpeedRpm: last.engineSpeedRpm, best: nearest(limited) };
  }
  const after = judged[low + 2];
  return {
    status: 'found',
    engineSpeedRpm: carriedOn(before, firstHeld, after) ?? divided(before, firstHeld),
    limited,
    rangeRpm: [short[0]?.engineSpeedRpm ?? before.engineSpeedRpm, before.engineSpeedRpm],
    firstHeld,
  };
}

/** Index of the last point of the low end of a line; -1: it has none. A run of short points is of it or not as a whole. */
function lowEnd(judged: readonly OperatingPoint[]): number {
  let held = 0;
  let last = -1;
  for (let i = 0; i < judged.length; i++) {
    if (!isShortOfGoal(judged[i]!)) {
      held = Math.max(held, asked(judged[i]!));
      continue;
    }
    let end = i;
    while (end + 1 < judged.length && isShortOfGoal(judged[end + 1]!)) end += 1;
    const most = Math.max(...judged.slice(i, end + 1).map(asked));
    const asMuch = end + 1 < judged.length ? AS_MUCH.heldAbove : AS_MUCH.notAbove;
    if (held === 0 || held < asMuch * most) last = end;
    i = end;
  }
  return last;
}

/** Manifold pressure that the goal asks for; with a power goal as if power went with pressure. 0 where nothing is reached. */
function asked(point: OperatingPoint): number {
  return point.status === 'ok' ? point.manifoldPressurePa / (point.turbine?.reachedShare ?? 1) : 0;
}

/** Where the wastegate flow fraction of two points that hold the goal comes to 0, within the step below the first; null where it does not fall. */
function carriedOn(before: OperatingPoint, held: OperatingPointSolved, after: OperatingPoint | undefined) {
  if (after?.status !== 'ok' || isShortOfGoal(after)) return null;
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
