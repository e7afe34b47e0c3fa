import { findRoot } from '../numerics/index.ts';
import { openingFor } from '../turbine/index.ts';
import {
  type Driven,
  type DrivenHint,
  type DrivenSolution,
  type DrivenTolerance,
  EXACT,
  solveDriven,
} from './driven-loop.ts';
import type { ExhaustModel } from './exhaust-model.ts';
import { type GasState, highestPressure, type LineModel, type SpeedModel, unboostedPressure } from './line-model.ts';
import { coldGuesses } from './solve-speed.ts';

/*
 * The wastegate as an opening of a known size. Where it cannot pass what must go past the turbine, the turbine gets more exhaust than the
 * goal takes: the boost creeps up until the open gate passes the rest. Both balances are those of 'gate' mode; the manifold pressure is
 * the one at which the area that the gate needs is the one that it has.
 */

/** Effective area, m2, that the gate must open for what goes past the turbine; below 0 as that share is. */
export function gateArea({ rootRT }: ExhaustModel, driven: Driven): number {
  const { wastegateShare, exhaustFlowKgPerS, inletPressurePa, expansion } = driven;
  return openingFor(wastegateShare * exhaustFlowKgPerS, rootRT, inletPressurePa, expansion.ratio);
}

/** An area needed over the area that there is; null: none is entered, or there is no gate. */
export function openingOf({ turbine }: ExhaustModel, neededM2: number | null): number | null {
  const { gateAreaM2, hasGate } = turbine;
  return gateAreaM2 === undefined || hasGate === false || neededM2 === null ? null : neededM2 / gateAreaM2;
}

export function gateOpening(exhaust: ExhaustModel, driven: Driven): number | null {
  // Of what is not entered nothing is worked out: studies ask thousands of times.
  return exhaust.turbine.gateAreaM2 === undefined ? null : openingOf(exhaust, gateArea(exhaust, driven));
}

/** The gate would have to open further than it can. */
export function isOverOpen(exhaust: ExhaustModel, driven: Driven): boolean {
  return (gateOpening(exhaust, driven) ?? 0) > 1;
}

export type OpenSearch = { ok: true; driven: Driven } | { ok: false; reason: 'gate-too-small'; state: GasState };

interface Tried {
  /** ln of the manifold pressure. */
  x: number;
  /** Share of the exhaust that must go past the turbine less what the open gate passes: above 0 the boost creeps on. */
  excess: number;
  driven: Driven;
}

/** Steps of ln p: no crossing is passed over in the longest, and the shortest is worth a solve. */
const SHORTEST = 0.004;
const LONGEST = 0.08;
/** Where the map has no answer at the goal, it is looked for in these steps. */
const LOOKING = 0.03;
/** A step goes a little past where the slope puts the crossing, so that it brackets it. */
const BEYOND = 1.1;
const MOST_STEPS = 60;
const HALVINGS = 8;
/** Of the exhaust: the first is what the balances leave in it, the second ten times finer than they are asked for. */
const SETTLED = 1e-9;
const ACCEPTED = 1e-7;

/**
 * The boost with the gate wide open: the lowest manifold pressure from the goal's up at which the gate passes what must go past the
 * turbine. A little more boost and the gate has some of its opening left, a little less and it has too little: the boost comes to rest there.
 *
 * @param atGoal the balance of the goal; or that it asks for no compression, or for so little that it lies right of the map
 * @returns the balance; null where the gate is large enough, as far as the map answers; or that the boost creeps off the map
 */
export function solveOpen(
  line: LineModel,
  speed: SpeedModel,
  exhaust: ExhaustModel,
  atGoal: DrivenSolution,
  hint: DrivenHint,
): OpenSearch | null {
  const { gateAreaM2, hasGate } = exhaust.turbine;
  if (gateAreaM2 === undefined || hasGate === false) return null;
  const tryAt = trials(line, speed, exhaust, hint);
  const top = Math.log(highestPressure(line));
  const start = atGoal.ok ? triedOf(exhaust, atGoal) : firstAnswer(line, speed, exhaust, atGoal.state, hint, top);
  if (start === null || start.excess <= 0) return null;
  let low: Tried = start;
  let step = SHORTEST;
  for (let i = 0; i < MOST_STEPS && low.x < top; i++) {
    const here: Tried | null = tryAt(low.x + step) ?? towardsEdge(tryAt, low, low.x + step);
    if (here === null) break;
    if (here.excess <= 0) {
      const driven = balanced(tryAt, low, here);
      if (driven !== null) return { ok: true, driven };
      break;
    }
    const slope = (here.excess - low.excess) / (here.x - low.x);
    const wanted = slope < 0 ? (BEYOND * here.excess) / -slope : LONGEST;
    step = Math.min(LONGEST, Math.max(SHORTEST, wanted));
    low = here;
  }
  return { ok: false, reason: 'gate-too-small', state: low.driven.solution.state };
}

/** The lowest manifold pressure above a goal that the map has no answer for, at which it has one; from nothing each. */
function firstAnswer(
  line: LineModel,
  speed: SpeedModel,
  exhaust: ExhaustModel,
  { manifoldPressurePa }: GasState,
  hint: DrivenHint,
  top: number,
): Tried | null {
  const lowest = unboostedPressure(line, speed, Math.exp(top)) ?? manifoldPressurePa;
  for (let x = Math.log(Math.max(lowest, manifoldPressurePa)) + SHORTEST; x < top; x += LOOKING) {
    const at = speedAt(speed, x);
    for (const outletTemperatureK of coldGuesses(line, at)) {
      hint.outletTemperatureK = outletTemperatureK;
      const driven = solveDriven(line, at, exhaust, 'gate', hint, { ...EXACT, nearOnly: true });
      if (driven.ok) return triedOf(exhaust, driven);
    }
  }
  return null;
}

/** The same from a neighbour's answer, by a secant, for studies; null where it does not settle near: the whole solve decides then. */
export function solveOpenNear(
  line: LineModel,
  speed: SpeedModel,
  exhaust: ExhaustModel,
  fromPa: number,
  hint: DrivenHint,
  tolerance: DrivenTolerance,
): Driven | null {
  const tryAt = trials(line, speed, exhaust, hint, tolerance);
  let last: Tried | null = null;
  let x = Math.log(fromPa);
  for (let i = 0; i < 8; i++) {
    const here = tryAt(x);
    if (here === null) return null;
    if (Math.abs(here.excess) < tolerance.backPressure) return here.driven;
    const slope: number = last === null ? USUAL_SLOPE : (here.excess - last.excess) / (here.x - last.x);
    if (!(slope < 0)) return null;
    last = here;
    x -= here.excess / slope;
    if (Math.abs(x - Math.log(fromPa)) > 0.2) return null;
  }
  return null;
}

/** Of the excess over ln p, where nothing is known of it (measured on turbines of the usual sizes). */
const USUAL_SLOPE = -0.8;

type Trials = (x: number) => Tried | null;

function speedAt(speed: SpeedModel, x: number): SpeedModel {
  return { ...speed, goal: { kind: 'pressure', manifoldPressurePa: Math.exp(x) } };
}

function trials(
  line: LineModel,
  speed: SpeedModel,
  exhaust: ExhaustModel,
  hint: DrivenHint,
  tolerance: DrivenTolerance = EXACT,
): Trials {
  return (x) => {
    const at = speedAt(speed, x);
    const near = solveDriven(line, at, exhaust, 'gate', hint, { ...tolerance, nearOnly: true });
    const driven = near.ok || tolerance.nearOnly ? near : solveDriven(line, at, exhaust, 'gate', hint, tolerance);
    return driven.ok ? triedOf(exhaust, driven) : null;
  };
}

function triedOf(exhaust: ExhaustModel, driven: Driven): Tried {
  const { inletPressurePa, expansion, exhaustFlowKgPerS, wastegateShare, solution } = driven;
  // What the open gate passes is to all exhaust as its area to the one that would pass it all.
  const ofAll = openingFor(exhaustFlowKgPerS, exhaust.rootRT, inletPressurePa, expansion.ratio);
  const x = Math.log(solution.state.manifoldPressurePa);
  return { x, excess: wastegateShare - (exhaust.turbine.gateAreaM2 ?? Number.POSITIVE_INFINITY) / ofAll, driven };
}

/** Between a pressure that the map answers for and one off the map: the first at which the gate opens far enough. */
function towardsEdge(tryAt: Trials, on: Tried, off: number): Tried | null {
  let [inside, outside] = [on.x, off];
  for (let i = 0; i < HALVINGS; i++) {
    const here = tryAt((inside + outside) / 2);
    if (here === null) outside = (inside + outside) / 2;
    else if (here.excess > 0) inside = here.x;
    else return here;
  }
  return null;
}

function balanced(tryAt: Trials, low: Tried, high: Tried): Driven | null {
  let best = high;
  const known = new Map([low, high].map((end) => [end.x, end]));
  const residual = (x: number) => {
    const here = known.get(x) ?? tryAt(x);
    if (here === null) return Number.NaN;
    if (Math.abs(here.excess) <= Math.abs(best.excess)) best = here;
    return here.excess;
  };
  findRoot(residual, low.x, high.x, { fTolerance: SETTLED, xTolerance: 1e-13 });
  return Math.abs(best.excess) < ACCEPTED ? best.driven : null;
}
