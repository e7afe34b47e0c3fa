import { solveOperatingLine } from '../operating-line.ts';
import type { MatchInput } from '../types.ts';
import { firstCrossing, solveCrossings } from './altitude-crossings.ts';
import { crossedLimit } from './crossed-limit.ts';
import { heldLimits, studyLimits } from './limit-slacks.ts';
import { inputAt } from './places.ts';
import type { HeldGoal, HoldOptions } from './types.ts';

/**
 * Holds the goal of an input at every place: the operating points, which limit is crossed where, and the altitude at which holding it
 * first crosses one. A gauge goal is held against each place's own ambient pressure, an absolute or a power goal as it stands. One call a
 * candidate.
 *
 * @param input all SI; its ambient is replaced by each place's, an air-cooled cooler keeping its rise over ambient
 * @param options `altitude` asks for the crossings, exact to a metre; two crossings less than 250 m apart may pass unseen
 * @returns `cells[place][engine speed]`; never NaN, never throws
 */
export function holdGoal(input: MatchInput, options: HoldOptions): HeldGoal {
  const { places, altitude } = options;
  const engineSpeedsRpm = options.engineSpeedsRpm ?? input.engineSpeedsRpm;
  const limits = studyLimits(input, options.limits);
  const held = heldLimits(input, limits);
  const study: MatchInput = { ...input, limits, engineSpeedsRpm };
  const cells = places.map((place) =>
    solveOperatingLine(inputAt(study, place.ambient)).map((point) => ({ point, crossed: crossedLimit(point, held) })),
  );
  const crossings = altitude === undefined ? [] : solveCrossings(study, held, altitude);
  return {
    goal: input.goal,
    places,
    engineSpeedsRpm,
    limits,
    cells,
    crossings,
    firstCrossing: firstCrossing(crossings),
  };
}
