import { checkEngineSpeed, checkInput } from '../check-input.ts';
import { lineModel } from '../line-model.ts';
import { type MapEdges, mapEdges } from '../name-reason.ts';
import { once } from '../operating-line.ts';
import { speedModel } from '../speed-model.ts';
import type { MatchInput } from '../types.ts';
import { BoostPath } from './boost-path.ts';
import { ceilingOf } from './ceiling-of.ts';
import { heldLimits, studyLimits } from './limit-slacks.ts';
import { inputAt } from './places.ts';
import { type MapReach, mapReach, pressureRange } from './pressure-range.ts';
import type { Ceiling, CeilingTable, Place, StudyLimits } from './types.ts';

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

function ceilingsAt(
  here: MatchInput,
  engineSpeedsRpm: readonly number[],
  limits: StudyLimits,
  edges: () => MapEdges,
  reach: () => MapReach,
): Ceiling[] {
  // Any pressure will do as a goal: the ceiling looks for its own.
  const goal = { kind: 'manifold-pressure', curve: [{ engineSpeedRpm: 1000, value: 1e5 }] } as const;
  const input: MatchInput = { ...here, goal };
  const problem = checkInput(input);
  const line = problem === null ? lineModel(input) : null;
  const message = problem ?? 'Humidity is impossible: check it.';
  if (line === null) return engineSpeedsRpm.map((rpm) => badCeiling(rpm, message));
  const held = heldLimits(input, limits);
  return engineSpeedsRpm.map((rpm) => {
    const wrong = checkEngineSpeed(input, rpm);
    if (wrong !== null) return badCeiling(rpm, wrong);
    const made = speedModel(line, rpm);
    if (!made.ok) return badCeiling(rpm, made.message);
    const { speed } = made;
    const path = new BoostPath(line, speed, held, edges);
    const range = pressureRange(line, speed, reach());
    return ceilingOf(path, rpm, range, held.manifoldPressurePa, input.ambient.pressurePa);
  });
}

function badCeiling(engineSpeedRpm: number, message: string): Ceiling {
  return { engineSpeedRpm, status: 'bad-input', binding: 'bad-input', message };
}
