import { noneHoldsMessage } from '../bindings.ts';
import { checkEngineSpeed, checkInput } from '../check-input.ts';
import { likeOf } from '../driven-loop.ts';
import { crossedLimit, heldLimits, heldNumber, leastSlack, studyLimits, tightestLimit } from '../held-limits.ts';
import { LIMIT_KEYS, type StudyLimits } from '../limits.ts';
import { lineModel, speedModel, unboostedPressure } from '../line-model.ts';
import { type MapEdges, mapEdges, once, solveOperatingLine } from '../operating-line.ts';
import type { Goal, MatchInput, OperatingPointSolved } from '../types.ts';
import { BoostPath, holds, type MapReach, mapReach, type PathSample, pressureRange } from './boost-path.ts';
import { type CeilingSearch, lowestHolding, SCAN_STEPS, searchCeiling } from './ceiling-search.ts';
import { inputAt } from './places.ts';
import type { BindingLimit, Ceiling, CeilingFound, CeilingTable, LeftByOpenGate, Place } from './types.ts';

/** How often the top of the search is raised when everything still holds there. */
const MOST_RAISES = 12;

interface Confirmed {
  point: OperatingPointSolved;
  binding: BindingLimit;
}

/**
 * The ceiling of one path. The search runs on the quick solver; what it finds is confirmed with the whole solve of the operating line,
 * on both sides. Where the two do not agree (a map that jumps), the search is done again with the whole solve.
 *
 * @param limitPa the limit of manifold pressure; Infinity: none
 */
export function ceilingOf(
  path: BoostPath,
  engineSpeedRpm: number,
  range: { lowPa: number; topPa: number },
  limitPa: number,
  ambientPa: number,
): Ceiling {
  if (limitPa < range.lowPa) return missing(engineSpeedRpm, 'manifold-pressure');
  const quick = searched((pressurePa) => path.quick(pressurePa), range, limitPa);
  const confirmed = confirm(path, quick);
  if (confirmed !== null) return found(engineSpeedRpm, confirmed, ambientPa);
  if (!quick.found && quick.nearest.slacks !== null) {
    const others = searched((pressurePa) => withoutGate(path.quick(pressurePa)), range, limitPa);
    return missing(engineSpeedRpm, others.found ? 'gate' : tightestLimit(quick.nearest.slacks));
  }
  const exact = searched((pressurePa) => path.exact(pressurePa), range, limitPa);
  const second = confirm(path, exact);
  if (second !== null) return found(engineSpeedRpm, second, ambientPa);
  const nearest = exact.found ? path.exact(exact.holdsPa) : exact.nearest;
  if (nearest.slacks !== null) return missing(engineSpeedRpm, tightestLimit(nearest.slacks));
  const { status } = path.point(range.lowPa + 0.05 * (range.topPa - range.lowPa));
  return missing(engineSpeedRpm, status === 'ok' ? 'not-converged' : status);
}

/** Where something would hold but for what the open gate leaves, it is the gate that stands in the way. */
function withoutGate({ pressurePa, slacks }: PathSample): PathSample {
  return {
    pressurePa,
    slacks:
      slacks === null ? null : slacks.map((slack, i) => (LIMIT_KEYS[i] === 'gate' ? Number.POSITIVE_INFINITY : slack)),
  };
}

function searched(
  sample: (pressurePa: number) => PathSample,
  range: { lowPa: number; topPa: number },
  limitPa: number,
): CeilingSearch {
  let top = sample(Math.min(range.topPa, limitPa));
  for (let i = 0; i < MOST_RAISES && top.pressurePa < limitPa && holds(top); i++) {
    top = sample(Math.min(top.pressurePa * 1.15, limitPa));
  }
  return searchCeiling(sample, range.lowPa, top);
}

/** Null when the whole solve does not bear out what the search found. */
function confirm(path: BoostPath, search: CeilingSearch): Confirmed | null {
  if (!search.found) return null;
  const point = heldPoint(path, search.holdsPa);
  if (point === null) return null;
  if (search.above === null) return { point, binding: 'manifold-pressure' };
  if (search.above.slacks !== null) return { point, binding: tightestLimit(search.above.slacks) };
  const beyond = path.point(search.above.pressurePa);
  if (beyond.status !== 'ok') return { point, binding: beyond.status };
  const sample = path.exact(search.above.pressurePa);
  return holds(sample) || sample.slacks === null ? null : { point, binding: tightestLimit(sample.slacks) };
}

/** The point just found or a few pascals below it: the quick solver and the whole one differ in the ninth digit. */
function heldPoint(path: BoostPath, pressurePa: number): OperatingPointSolved | null {
  for (let i = 0; i < 4; i++) {
    const point = path.point(pressurePa - i);
    const slacks = path.slacks(point);
    if (point.status === 'ok' && slacks !== null && leastSlack(slacks) >= 0) return point;
  }
  return null;
}

function found(engineSpeedRpm: number, { point, binding }: Confirmed, ambientPa: number): Ceiling {
  const { manifoldPressurePa } = point;
  return {
    engineSpeedRpm,
    status: 'ok',
    manifoldPressurePa,
    gaugeBoostPa: manifoldPressurePa - ambientPa,
    binding,
    point,
  };
}

function missing(engineSpeedRpm: number, binding: BindingLimit): Ceiling {
  return { engineSpeedRpm, status: 'none-holds', binding, message: noneHoldsMessage(binding) };
}

/**
 * Ceilings: for every place and engine speed the highest manifold pressure at which every chosen limit holds, what binds just above
 * it, and the whole operating point there. The goal of the input plays no part. The pressure is exact to a few pascals, and every limit
 * holds when it is fed back through `solveOperatingLine`. Places are independent of each other, so that the work can be split by place;
 * `joinCeilings` puts the parts together.
 *
 * @param input all SI; its ambient is replaced by each place's
 * @param places where
 * @param engineSpeedsRpm left out: those of the input
 * @param limits left out: those of the input; the maximum shaft speed is that of the map's sheet where none is given
 * @returns `cells[place][engine speed]`, each a ceiling or the named reason why nothing holds; never NaN, never throws
 */
export function solveCeilings(
  input: MatchInput,
  places: readonly Place[],
  engineSpeedsRpm: readonly number[] = input.engineSpeedsRpm,
  limits?: StudyLimits,
): CeilingTable {
  const chosen = studyLimits(input, limits);
  const edges = once(() => mapEdges(input.compressor));
  const reach = once(() => mapReach(input.compressor));
  const cells = places.map((place) =>
    ceilingsAt({ ...inputAt(input, place.ambient), limits: chosen }, engineSpeedsRpm, chosen, edges, reach),
  );
  return { places, engineSpeedsRpm, limits: chosen, cells };
}

/** One table of parts that were solved for different places with the same engine speeds and limits; null for no parts. */
export function joinCeilings(parts: readonly CeilingTable[]): CeilingTable | null {
  const first = parts[0];
  if (first === undefined) return null;
  return {
    ...first,
    places: parts.flatMap((part) => part.places),
    cells: parts.flatMap((part) => part.cells),
  };
}

/** Any pressure will do as a goal: ceilings look for their own. */
const ANY_GOAL = { kind: 'manifold-pressure', curve: [{ engineSpeedRpm: 1000, value: 1e5 }] } as const;

function ceilingsAt(
  here: MatchInput,
  engineSpeedsRpm: readonly number[],
  limits: StudyLimits,
  edges: () => MapEdges,
  reach: () => MapReach,
): Ceiling[] {
  const solver = placeSolver(here, limits, edges, reach);
  return engineSpeedsRpm.map((rpm) => solver.ceiling(rpm));
}

/** One place, asked engine speed by engine speed. */
export interface PlaceSolver {
  /** As `solveCeilings` gives it. */
  ceiling(engineSpeedRpm: number): Ceiling;
  /** The limit that is crossed with a manifold pressure held, Pa absolute, by the whole solve; null: every limit holds. */
  crossed(engineSpeedRpm: number, manifoldPressurePa: number): BindingLimit | null;
}

/** @param here at the place, with the limits in it; its goal plays no part */
export function placeSolver(
  here: MatchInput,
  limits: StudyLimits,
  edges: () => MapEdges,
  reach: () => MapReach,
): PlaceSolver {
  const input: MatchInput = { ...here, goal: ANY_GOAL };
  const problem = checkInput(input);
  const line = problem === null ? lineModel(input) : null;
  if (line === null) {
    const message = problem ?? 'Humidity is impossible: check it.';
    return { ceiling: (rpm) => badCeiling(rpm, message), crossed: () => 'bad-input' };
  }
  const held = heldLimits(input, limits);
  const pathAt = (rpm: number) => {
    const wrong = checkEngineSpeed(input, rpm);
    const made = wrong === null ? speedModel(line, rpm) : { ok: false as const, message: wrong };
    return made.ok ? { ...made, path: new BoostPath(line, made.speed, held, edges) } : made;
  };
  return {
    ceiling(rpm) {
      const made = pathAt(rpm);
      if (!made.ok) return badCeiling(rpm, made.message);
      const range = pressureRange(line, made.speed, reach());
      return ceilingOf(made.path, rpm, range, heldNumber(held, 'manifold-pressure'), input.ambient.pressurePa);
    },
    crossed(rpm, pressurePa) {
      const made = pathAt(rpm);
      return made.ok ? crossedLimit(made.path.point(pressurePa), held) : 'bad-input';
    },
  };
}

/**
 * The pressure from which up every limit holds without a break to a ceiling of `solveCeilings`, to 50 Pa: less boost than that is left of
 * surge or past choke, and a table that is rounded down must not go below it. Solved for one cell when somebody asks.
 *
 * @param input that the ceiling was solved from, all SI
 * @param limits of the table
 * @param notBelowPa where to stop looking; left out: pressure ratio 1
 * @returns Pa absolute, at most the ceiling
 */
export function lowestHeldPressure(
  input: MatchInput,
  limits: StudyLimits,
  place: Place,
  ceiling: CeilingFound,
  notBelowPa = 0,
): number {
  const { engineSpeedRpm, manifoldPressurePa, point } = ceiling;
  const here: MatchInput = { ...inputAt(input, place.ambient), limits, goal: ANY_GOAL };
  const line = lineModel(here);
  const made = line === null ? null : speedModel(line, engineSpeedRpm);
  if (line === null || !made?.ok) return manifoldPressurePa;
  const edges = once(() => mapEdges(here.compressor));
  const path = new BoostPath(line, made.speed, heldLimits(here, limits), edges);
  path.startFrom(manifoldPressurePa, point.compressorOutletTemperatureK, likeOf(point));
  const lowPa = unboostedPressure(line, made.speed, here.ambient.pressurePa) ?? 0;
  const stepPa = (2 * (manifoldPressurePa - lowPa)) / SCAN_STEPS;
  return lowestHolding((p) => path.quick(p), manifoldPressurePa, Math.max(lowPa, notBelowPa), stepPa);
}

/** As low a goal as can be set: the control lets the gate open all the way. */
const NO_BOOST: Goal = { kind: 'gauge-boost', curve: [{ engineSpeedRpm: 1000, value: 0 }] };

/**
 * The boost that is left with the wastegate wide open, whatever the goal: the lowest that can be held. Below it the boost creeps.
 *
 * @param input all SI; its goal plays no part
 * @returns `[place][engine speed]`; null where there is no gate, or no size of it is known
 */
export function lowestWithGateOpen(
  input: MatchInput,
  places: readonly Place[],
  engineSpeedsRpm: readonly number[],
): readonly (readonly LeftByOpenGate[])[] | null {
  const { turbine } = input;
  if (turbine?.gateAreaM2 === undefined || turbine.hasGate === false) return null;
  return places.map(({ ambient }) =>
    solveOperatingLine({ ...inputAt(input, ambient), engineSpeedsRpm, goal: NO_BOOST }).map((point) => {
      if (point.status !== 'ok') return point.status === 'no-compression' ? 'none' : null;
      return point.turbine?.heldBy === 'gate' ? point.manifoldPressurePa : 'none';
    }),
  );
}

function badCeiling(engineSpeedRpm: number, message: string): Ceiling {
  return { engineSpeedRpm, status: 'bad-input', binding: 'bad-input', message };
}
