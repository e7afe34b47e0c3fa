import { checkEngineSpeed, checkInput } from './check-input.ts';
import { type LineModel, lineModel } from './line-model.ts';
import { type MapEdges, mapEdges, REASON_MESSAGES, sideOfMap } from './name-reason.ts';
import { type SpeedSolution, solveSpeed } from './solve-speed.ts';
import { solvedPoint } from './solved-point.ts';
import { type SpeedModel, speedModel } from './speed-model.ts';
import type { MatchInput, OperatingPoint, OperatingPointMissing } from './types.ts';

/**
 * The full-load line: for every engine speed the closed loop of flow, losses, outlet pressure, efficiency and charge temperature,
 * solved to better than 1e-6 relative. It always ends and never throws.
 *
 * @param input all SI, see MatchInput
 * @returns one entry for each of `input.engineSpeedsRpm`, in their order: a point, or the named reason why there is none with one
 *   plain sentence and, where it is known, the flow and pressure ratio that the goal asked for (off the map they are worked out with
 *   an efficiency of 0.70, or with that at which the loop leaves the map: it moves them by a few percent)
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
  const speed = speedModel(line, engineSpeedRpm);
  if (speed === null) return badInput(engineSpeedRpm, 'A curve has no points: enter at least one.');
  return solvePoint(line, speed, edges);
}

/** The point of one engine speed whose input has been checked, or the named reason why there is none. */
export function solvePoint(line: LineModel, speed: SpeedModel, edges: () => MapEdges): OperatingPoint {
  const solution = solveSpeed(line, speed);
  return solution.ok ? solvedPoint(line, speed, solution) : missing(speed.engineSpeedRpm, solution, edges);
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
