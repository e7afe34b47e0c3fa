import { findRoot } from '../numerics/index.ts';
import {
  type Driven,
  type DrivenHint,
  type DrivenSolution,
  type DrivenTolerance,
  EXACT,
  solveDriven,
} from './driven-loop.ts';
import type { ExhaustModel } from './exhaust-model.ts';
import type { LineModel, SpeedModel } from './line-model.ts';
import { gasState, unboostedPressure } from './line-model.ts';
import { coldGuesses } from './solve-speed.ts';

/** Shares of the way from no boost to the goal at which the shut gate is tried, from the goal down. */
const SCAN = [0.7, 0.4, 0.2, 0.08, 0.02, 0.005];
/** Halvings towards the edge of the map, where only one of two neighbours has an answer: the balance may lie just before it. */
const HALVINGS = 12;
/** Of the manifold pressure, relative. */
const FINEST = 1e-11;
/** Of the surplus: the first is three times what the solve leaves in it, the second ten times finer than balances are asked for. */
const SETTLED = 1e-8;
const ACCEPTED = 1e-7;

interface Tried {
  pressurePa: number;
  driven: Driven | null;
  /** Power given over power taken, as a balanced share -1..1: above 0 the shaft speeds up. NaN: no answer. */
  surplus: number;
}

/**
 * The boost that the exhaust drives with the gate shut: the highest manifold pressure below one that it does not hold at which the power
 * of the turbine is that of compressor and bearing. A little more boost and the turbine gives too little, a little less and it gives more:
 * the shaft comes to rest there.
 *
 * @param fromPa manifold pressure to look below
 * @param knownToFail the turbine is known to give too little at `fromPa`
 * @returns the balance, or why there is none
 */
export function solveShut(
  line: LineModel,
  speed: SpeedModel,
  exhaust: ExhaustModel,
  fromPa: number,
  knownToFail: boolean,
  hint: DrivenHint,
): ShutSearch {
  const lowPa = unboostedPressure(line, speed, fromPa);
  if (lowPa === null) return { ok: false, reason: 'no-answer' };
  const trialsOf = (tolerance: DrivenTolerance) => trials(line, speed, exhaust, hint, tolerance);
  const quick = searchShut(trialsOf(ROUGH), trialsOf(NEAR), lowPa, fromPa, knownToFail);
  const isOpen = !quick.ok && (quick.reason === 'unfinished' || (quick.reason === 'no-answer' && knownToFail));
  if (!isOpen) return quick;
  return searchShut(trialsOf(EXACT), trialsOf(EXACT), lowPa, fromPa, knownToFail);
}

export type ShutSearch =
  | { ok: true; driven: Driven }
  /**
   * 'too-weak': the turbine gives too little at every pressure tried that the map answers for. 'beyond-map': it gives enough up to where
   * the map ends. 'no-answer': the map answers for no pressure tried. 'unfinished': a balance was not found between two signs.
   */
  | { ok: false; reason: 'too-weak' | 'beyond-map' | 'no-answer' | 'unfinished' };

const NEAR: DrivenTolerance = { ...EXACT, nearOnly: true };
/** For the sign of the surplus. */
const ROUGH: DrivenTolerance = { temperature: 3e-5, backPressure: 1e-4, nearOnly: true };

type Trials = (pressurePa: number) => Tried;

function searchShut(roughly: Trials, exactly: Trials, lowPa: number, fromPa: number, knownToFail: boolean): ShutSearch {
  // What stands above the pressure that is looked at, the nearest last: one that fails, or those without an answer.
  let above: Tried[] = [{ pressurePa: fromPa, driven: null, surplus: knownToFail ? -1 : Number.NaN }];
  let reason: 'too-weak' | 'no-answer' = 'no-answer';
  for (const share of SCAN) {
    const tried = roughly(lowPa + (fromPa - lowPa) * share);
    const nearest = above[above.length - 1]!;
    // So little boost lies off the map (right of choke, or below its lowest answers); just before its edge the turbine may give enough.
    const leaves = Number.isNaN(tried.surplus) && nearest.surplus < 0;
    const edge = leaves ? towardsEdge(roughly, nearest, tried) : tried;
    const here = Number.isNaN(edge.surplus) ? tried : edge;
    if (here.surplus >= 0) {
      let [low, high] = [here, nearest];
      for (let i = above.length - 1; i >= 0 && !(high.surplus < 0); i--) {
        // What had no answer from nothing may have one from nearby.
        high = above[i]!.surplus < 0 ? above[i]! : towardsEdge(roughly, low, above[i]!);
        if (Number.isNaN(high.surplus)) return { ok: false, reason: 'beyond-map' };
        if (high.surplus >= 0) low = high;
      }
      if (!(high.surplus < 0)) return { ok: false, reason: 'beyond-map' };
      const driven = stepped(roughly, exactly, low, high) ?? balanced(exactly, low, high);
      return driven === null ? { ok: false, reason: 'unfinished' } : { ok: true, driven };
    }
    if (here.surplus < 0) reason = 'too-weak';
    above = here.surplus < 0 ? [here] : [...above, here];
  }
  return { ok: false, reason };
}

/** Change of the surplus with the pressure as a share of it, where nothing is known of it: measured on turbines of the usual sizes. */
const USUAL_SHUT_SLOPE = -0.8;

/**
 * The same from a neighbour's answer, by a secant: for studies that solve thousands of neighbours.
 * @returns null where it does not settle near: `solveShut` decides then
 */
export function solveShutNear(
  line: LineModel,
  speed: SpeedModel,
  exhaust: ExhaustModel,
  fromPa: number,
  hint: DrivenHint,
  tolerance: DrivenTolerance,
): Driven | null {
  const tryAt = trials(line, speed, exhaust, hint, tolerance);
  let pressurePa = fromPa;
  let last: Tried | null = null;
  for (let i = 0; i < 8; i++) {
    const here = tryAt(pressurePa);
    if (here.driven === null) return null;
    if (Math.abs(here.surplus) < 6 * tolerance.temperature) return here.driven;
    const slope: number =
      last === null
        ? USUAL_SHUT_SLOPE / pressurePa
        : (here.surplus - last.surplus) / (here.pressurePa - last.pressurePa);
    // A rising surplus is the balance from which the shaft runs away, not the one at which it rests.
    if (!(slope < 0)) return null;
    last = here;
    pressurePa -= here.surplus / slope;
    if (Math.abs(pressurePa / fromPa - 1) > 0.2) return null;
  }
  return null;
}

function trials(
  line: LineModel,
  speed: SpeedModel,
  exhaust: ExhaustModel,
  hint: DrivenHint,
  tolerance: DrivenTolerance,
): (pressurePa: number) => Tried {
  const T01 = line.inletTemperatureK;
  let last: { pressurePa: number; riseK: number } | null = null;
  return (pressurePa) => {
    // The rise is nearly linear in the logarithm of pressure.
    if (last !== null)
      hint.outletTemperatureK = T01 + last.riseK * Math.max(0.05, 1 + 1.5 * (pressurePa / last.pressurePa - 1));
    const at: SpeedModel = { ...speed, goal: { kind: 'pressure', manifoldPressurePa: pressurePa } };
    const driven = tolerance.nearOnly
      ? nearOrCold(line, at, exhaust, hint, tolerance)
      : solveDriven(line, at, exhaust, 'shut', hint, tolerance);
    if (!driven.ok) {
      // Without compression there is nothing to drive.
      const surplus = driven.reason === 'no-compression' ? 1 : Number.NaN;
      return { pressurePa, driven: null, surplus };
    }
    last = { pressurePa, riseK: driven.solution.state.outletTemperatureK - T01 };
    const { powerW } = driven.expansion;
    const surplus = (powerW - driven.neededPowerW) / (Math.abs(powerW) + driven.neededPowerW);
    return { pressurePa, driven, surplus };
  };
}

/** From the last answer; else from the outlet temperatures that usual efficiencies would give. */
function nearOrCold(
  line: LineModel,
  speed: SpeedModel,
  exhaust: ExhaustModel,
  hint: DrivenHint,
  tolerance: DrivenTolerance,
): DrivenSolution {
  if (hint.outletTemperatureK > 0) {
    const near = solveDriven(line, speed, exhaust, 'shut', hint, tolerance);
    if (near.ok) return near;
  }
  let last: DrivenSolution | null = null;
  for (const guessK of coldGuesses(line, speed)) {
    hint.outletTemperatureK = guessK;
    last = solveDriven(line, speed, exhaust, 'shut', hint, tolerance);
    if (last.ok) return last;
  }
  return last ?? { ok: false, reason: 'no-compression', state: gasState(line, speed, line.inletTemperatureK) };
}

/**
 * Between a pressure that the map answers for and one off the map: the first on the way to the edge with a surplus of the other sign; the one
 * beyond, asked for again, where all on the way have an answer of the same sign; else one without.
 */
function towardsEdge(tryAt: Trials, on: Tried, off: Tried): Tried {
  let inside = on.pressurePa;
  let outside = off;
  for (let i = 0; i < HALVINGS; i++) {
    const here = tryAt((inside + outside.pressurePa) / 2);
    if (Number.isNaN(here.surplus)) outside = here;
    else if (here.surplus < 0 === on.surplus < 0) inside = here.pressurePa;
    else return here;
  }
  return outside === off ? tryAt(off.pressurePa) : outside;
}

/** By secant steps within the bracket; null where they leave it, or a surplus does not fall. */
function stepped(roughly: Trials, exactly: Trials, low: Tried, high: Tried): Driven | null {
  // Where the upper end is only known to fail, a usual slope says how far up.
  const slope =
    high.driven === null
      ? USUAL_SHUT_SLOPE / low.pressurePa
      : (high.surplus - low.surplus) / (high.pressurePa - low.pressurePa);
  let before: Tried | null = null;
  let last = low;
  let pressurePa = Math.min(low.pressurePa - low.surplus / slope, (low.pressurePa + 3 * high.pressurePa) / 4);
  for (let i = 0; i < 8; i++) {
    if (!(pressurePa > low.pressurePa && pressurePa < high.pressurePa)) return null;
    const here = i === 0 ? roughly(pressurePa) : exactly(pressurePa);
    if (here.driven === null) return null;
    if (i > 0 && Math.abs(here.surplus) < SETTLED) return here.driven;
    const measured = (here.surplus - last.surplus) / (here.pressurePa - last.pressurePa);
    if (!(measured < 0)) return null;
    const curved = before === null ? Number.NaN : interpolated(before, last, here);
    before = last;
    last = here;
    pressurePa = Number.isFinite(curved) ? curved : pressurePa - here.surplus / measured;
  }
  return null;
}

/** The pressure without surplus by inverse quadratic interpolation. */
function interpolated(a: Tried, b: Tried, c: Tried): number {
  const [f, g, h] = [a.surplus, b.surplus, c.surplus];
  const share = (x: number, y: number, z: number) => (y * z) / ((x - y) * (x - z));
  return a.pressurePa * share(f, g, h) + b.pressurePa * share(g, h, f) + c.pressurePa * share(h, f, g);
}

function balanced(tryAt: Trials, low: Tried, high: Tried): Driven | null {
  let best: Tried | null = null;
  const surplus = (pressurePa: number) => {
    if (pressurePa === low.pressurePa) return low.surplus;
    if (pressurePa === high.pressurePa) return high.surplus;
    const here = tryAt(pressurePa);
    if (here.driven !== null && (best === null || Math.abs(here.surplus) <= Math.abs(best.surplus))) best = here;
    return here.surplus;
  };
  findRoot(surplus, low.pressurePa, high.pressurePa, { fTolerance: SETTLED, xTolerance: FINEST * high.pressurePa });
  const found = best as Tried | null;
  return found !== null && Math.abs(found.surplus) < ACCEPTED ? found.driven : null;
}
