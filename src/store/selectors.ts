import {
  type Build,
  type Candidate,
  type DayAirReading,
  type DraftFit,
  dayAir,
  findMap,
  fitDraft,
  type MapDraft,
} from '../build/index.ts';
import { type MatchInput, type OperatingPoint, solveOperatingLine } from '../match/index.ts';
import { memory } from '../numerics/index.ts';
import { type CandidateResults, candidateResults } from './candidateResults.ts';
import type { LuglineState } from './state.ts';

/** The open build. */
export function selectActiveBuild(state: LuglineState): Build {
  const { workspace } = state;
  const build = workspace.builds[workspace.activeBuildId];
  if (build === undefined) throw new Error('No build is open: this is a fault of the program.');
  return build;
}

/** All builds in the order of the list. */
export function selectBuilds(state: LuglineState): readonly Build[] {
  return inOrder(state.workspace.buildOrder, state.workspace.builds);
}

type BuildName = Pick<Build, 'id' | 'name' | 'invented'>;
let lastNames: readonly BuildName[] = [];

/** What the list of builds shows of each; the same list while a change of a build is none of these. */
export function selectBuildNames(state: LuglineState): readonly BuildName[] {
  const builds = selectBuilds(state);
  const isLast = ({ id, name, invented }: Build, i: number) =>
    id === lastNames[i]?.id && name === lastNames[i].name && invented === lastNames[i].invented;
  if (builds.length !== lastNames.length || !builds.every(isLast)) lastNames = builds;
  return lastNames;
}

/** The shelf in the order of the list. */
export function selectShelf(state: LuglineState): readonly MapDraft[] {
  return inOrder(state.workspace.shelfOrder, state.workspace.shelf);
}

export function selectCandidates(state: LuglineState): readonly Candidate[] {
  return selectActiveBuild(state).candidates;
}

/** Results of a candidate of the open build; null when there is none of that index. The same object while nothing changed. */
export function selectCandidateResults(state: LuglineState, index: number): CandidateResults | null {
  return candidateResults(selectActiveBuild(state), index, state.fitter);
}

/** The air of the day of the open build; needs no engine and no map. */
export function selectDayAir(state: LuglineState): DayAirReading {
  return rememberedDayAir(selectActiveBuild(state));
}

/** The candidate that the Match view shows; null when the build has none. */
export function selectShownCandidate(state: LuglineState): number | null {
  const last = selectActiveBuild(state).candidates.length - 1;
  return last < 0 ? null : Math.min(state.workspace.settings.shownCandidate, last);
}

/** A map by its id, from the shelf or from a build that still carries it. */
export function selectMap(state: LuglineState, mapId: string): MapDraft | null {
  return findMap(state.workspace, mapId);
}

/** Sheet, surface and findings of a map; remembered while its tables are the same. null when there is no such map. */
export function selectMapFit(state: LuglineState, mapId: string): DraftFit | null {
  const map = findMap(state.workspace, mapId);
  return map === null ? null : fitDraft(map, state.fitter);
}

/** In the words of the undo button: 'change altitude'; null when there is nothing to undo. */
export function selectUndoLabel(state: LuglineState): string | null {
  return state.history.past.at(-1)?.label ?? null;
}

export function selectRedoLabel(state: LuglineState): string | null {
  return state.history.future[0]?.label ?? null;
}

const lists = memory<object, readonly unknown[]>();

/** The same list while records and order are the same objects: a selector must not give a new one at every call. */
function inOrder<T extends object>(order: readonly string[], records: Readonly<Record<string, T>>): readonly T[] {
  return lists(records, [order], () => order.flatMap((id) => records[id] ?? [])) as readonly T[];
}

const known = memory<Build['air'], DayAirReading>();

/** The air of the day, the same object while air and inlet entries are the same. */
function rememberedDayAir(build: Build): DayAirReading {
  return known(build.air, [build.inletPath], () => dayAir(build));
}

/** The operating point of any one engine speed, also between those of the line. @param engineSpeedRpm above 0 */
export function pointAt(input: MatchInput, engineSpeedRpm: number): OperatingPoint | null {
  return solveOperatingLine({ ...input, engineSpeedsRpm: [engineSpeedRpm] })[0] ?? null;
}
