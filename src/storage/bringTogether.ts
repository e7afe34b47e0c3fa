import type { Workspace } from '../build/index.ts';
import { asSnapshot, emptySnapshot, isSameStore, type LoadedState, type Snapshot, type StoredState } from './load.ts';
import { type MergeBase, type Merged, mergeStates } from './merge.ts';
import { type TakenNotes, takeLeavingNotes } from './takeNotes.ts';

/** What this window has: `began` is what it began with while nothing could be read, null once the store was read. */
interface Mine {
  state: StoredState;
  known: Snapshot;
  began: StoredState | null;
}

export interface Joined extends Merged {
  /** What earlier pages had put down, where that is in it. */
  notes: TakenNotes | null;
  /** The store had been cleared while this page held work. */
  wasCleared: boolean;
  keptForDrafts: readonly string[];
}

/** What this window has and what was found in the store, brought together. */
export function join(
  { state: mine, known, began }: Mine,
  loaded: LoadedState,
  freshId: () => string,
  freshState: () => StoredState,
): Joined {
  const wasCleared = began === null && !isSameStore(known, loaded.snapshot);
  const base: MergeBase = began !== null ? asSnapshot(began) : wasCleared ? emptySnapshot : known;
  const notes = began === null ? null : takeLeavingNotes(loaded.state, loaded.snapshot, freshId);
  const { state: theirs, names } = keepDrafted(mine, notes === null ? loaded.state : notes.state);
  const alone = mine === began && notes?.base === null ? freshState() : mine;
  const merged = theirs === null ? { state: alone, keptBoth: [] } : mergeStates(base, mine, theirs, freshId);
  const keptBoth = [...(notes?.keptBoth ?? []), ...merged.keptBoth];
  return { state: merged.state, keptBoth, notes, wasCleared, keptForDrafts: names };
}

/** The build that is open in `mine` stays open. */
export function withOpenBuild(state: StoredState, mine: StoredState): StoredState {
  const { activeBuildId } = mine.workspace;
  if (!Object.hasOwn(state.workspace.builds, activeBuildId)) return state;
  const workspace: Workspace = { ...state.workspace, activeBuildId };
  return { ...state, workspace };
}

/** Another window deleted the build that is open here while a text stands in it that cannot be read yet: it is kept. */
export function keepDrafted<T extends StoredState | null>(
  mine: StoredState,
  theirs: T,
): { state: T; names: readonly string[] } {
  const { activeBuildId: id, builds } = mine.workspace;
  const build = builds[id];
  const hasDraft = Object.keys(mine.drafts).some((place) => place.startsWith(`${id}/`));
  if (theirs === null || build === undefined || !hasDraft || Object.hasOwn(theirs.workspace.builds, id))
    return { state: theirs, names: [] };
  const { workspace } = theirs;
  const state = {
    drafts: { ...mine.drafts, ...theirs.drafts },
    workspace: {
      ...workspace,
      builds: { ...workspace.builds, [id]: build },
      buildOrder: [...workspace.buildOrder, id],
    },
  };
  return { state: { ...theirs, ...state }, names: [build.name] };
}

export function sameObjects(a: Snapshot, b: Snapshot): boolean {
  return (['builds', 'maps'] as const).every(
    (store) =>
      a[store].size === b[store].size && [...a[store]].every(([id, { object }]) => b[store].get(id)?.object === object),
  );
}
