import { checkEngineSpeed, checkInput } from './check-input.ts';
import { noHint, solveDriven } from './driven-loop.ts';
import type { ExhaustModel } from './exhaust-model.ts';
import { type LineModel, lineModel } from './line-model.ts';
import { type MapEdges, mapEdges, REASON_MESSAGES, sideOfMap } from './name-reason.ts';
import { type SpeedSolution, solveSpeed } from './solve-speed.ts';
import { drivenPoint, solvedPoint } from './solved-point.ts';
import { type SpeedModel, speedModel } from './speed-model.ts';
import { solveShut } from './turbine-limited.ts';
import type { MatchInput, OperatingPoint, OperatingPointMissing } from './types.ts';

/**
 * The full-load line: for every engine speed the closed loop of flow, losses, outlet pressure, efficiency and charge temperature,
 * solved to better than 1e-6 relative, with a turbine through the exhaust as well. Each speed is solved by itself: what stands beside it
 * changes nothing. It always ends and never throws.
 *
 * @param input all SI, see MatchInput
 * @returns one entry for each of `input.engineSpeedsRpm`, in their order: a point, or the named reason why there is none with one
 *   plain sentence and, where it is known, the flow and pressure ratio that the goal asked for (off the map they are worked out with
 *   an efficiency of 0.70, or with that at which the loop leaves the map, and with a turbine against a p3/p_m of 1.15: both move them by a
 *   few percent)
 */
export function solveOperatingLine(input: MatchInput): OperatingPoint[] {
  const problem = checkInput(input);
  if (problem !== null) return input.engineSpeedsRpm.map((rpm) => badInput(rpm, problem));
  const line = lineModel(input);
  if (line === null) return input.engineSpeedsRpm.map((rpm) => badInput(rpm, 'Humidity is impossible: check it.'));
  const edges = once(() => mapEdges(input.compressor));
  return input.engineSpeedsRpm.map((rpm) => pointAt(line, rpm, edges));
}

function pointAt(line: LineModel, engineSpeedRpm: number, edges: () => MapEdges): OperatingPoint {
  const problem = checkEngineSpeed(line.input, engineSpeedRpm);
  if (problem !== null) return badInput(engineSpeedRpm, problem);
  const made = speedModel(line, engineSpeedRpm);
  return made.ok ? solvePoint(line, made.speed, edges) : badInput(engineSpeedRpm, made.message);
}

/**
 * The point of one engine speed whose input has been checked, or the named reason why there is none. It starts from nothing: from a
 * neighbour's answer the digits, and near the edge of the map even the reason, would depend on which speeds were solved before.
 */
export function solvePoint(line: LineModel, speed: SpeedModel, edges: () => MapEdges): OperatingPoint {
  if (speed.exhaust !== null) return solveWithTurbine(line, speed, speed.exhaust, edges);
  const solution = solveSpeed(line, speed);
  return solution.ok ? solvedPoint(line, speed, solution) : missing(speed.engineSpeedRpm, solution, edges);
}

/**
 * A manifold pressure as if the exhaust drove it: for studies that look for the highest one that it does.
 * @param speed its goal a manifold pressure
 * @returns the point, its gate share below 0 where the turbine would need more exhaust than there is; or the named reason
 */
export function solveAtPressure(line: LineModel, speed: SpeedModel, edges: () => MapEdges): OperatingPoint {
  if (speed.exhaust === null) return solvePoint(line, speed, edges);
  const driven = solveDriven(line, speed, speed.exhaust, 'gate', noHint());
  if (!driven.ok) return missing(speed.engineSpeedRpm, driven, edges);
  return drivenPoint(line, speed, speed.exhaust, driven, 'goal');
}

/** Reasons that the goal has no point for which a lower boost may still be one that the exhaust drives. */
const MAY_BE_LOWER: ReadonlySet<string> = new Set([
  'off-map',
  'unreachable-goal',
  'not-converged',
  'exhaust-blocked',
  'inlet-exhausted',
]);

/** What is extended above the map's highest pressure ratio stays within this. */
const MAP_ROOM = 1.5;

/** The goal where the gate holds it; else what the shut gate reaches. */
function solveWithTurbine(
  line: LineModel,
  speed: SpeedModel,
  exhaust: ExhaustModel,
  edges: () => MapEdges,
): OperatingPoint {
  const hint = noHint();
  const atGoal = solveDriven(line, speed, exhaust, 'gate', hint);
  if (atGoal.ok && atGoal.wastegateShare >= 0) return drivenPoint(line, speed, exhaust, atGoal, 'goal');
  if (!atGoal.ok && !MAY_BE_LOWER.has(atGoal.reason)) return missing(speed.engineSpeedRpm, atGoal, edges);
  const state = atGoal.ok ? atGoal.solution.state : atGoal.state;
  // A power that no pressure reaches stopped the search somewhere: look from well above there. No goal is looked for far above the map.
  const topPa = MAP_ROOM * line.input.compressor.extent.maxPressureRatio * line.input.ambient.pressurePa;
  const wantedPa = state.manifoldPressurePa * (!atGoal.ok && atGoal.reason === 'unreachable-goal' ? 1.5 : 1);
  const fromPa = atGoal.ok ? wantedPa : Math.min(topPa, wantedPa);
  const shut = solveShut(line, speed, exhaust, fromPa, atGoal.ok, hint);
  if (shut.ok) return drivenPoint(line, speed, exhaust, shut.driven, 'turbine');
  const isTooWeak = atGoal.ok || shut.reason === 'too-weak';
  const failed = isTooWeak ? ({ ok: false, reason: 'turbine-too-weak', state } as const) : atGoal;
  return missing(speed.engineSpeedRpm, failed, edges);
}

function missing(
  engineSpeedRpm: number,
  solution: Extract<SpeedSolution, { ok: false }>,
  edges: () => MapEdges,
): OperatingPointMissing {
  const { correctedMassFlowKgPerS, pressureRatio } = solution.state;
  const known = Number.isFinite(correctedMassFlowKgPerS) && Number.isFinite(pressureRatio);
  const reason =
    solution.reason === 'off-map' ? sideOfMap(edges(), correctedMassFlowKgPerS, pressureRatio) : solution.reason;
  if (reason === 'bad-input') return badInput(engineSpeedRpm, 'A number is missing or impossible.');
  // In these two the state is where the search stopped, not what the goal asks for.
  const isDemand = known && reason !== 'inlet-exhausted' && reason !== 'unreachable-goal';
  const point = { engineSpeedRpm, status: reason, message: REASON_MESSAGES[reason] };
  return isDemand ? { ...point, demand: { correctedMassFlowKgPerS, pressureRatio } } : point;
}

function badInput(engineSpeedRpm: number, message: string): OperatingPointMissing {
  return { engineSpeedRpm, status: 'bad-input', message };
}

/** The edges cost a sixteenth of a line and are needed only for demands off the map. */
export function once<T>(make: () => T): () => T {
  let made: T | undefined;
  return () => {
    made ??= make();
    return made;
  };
}
