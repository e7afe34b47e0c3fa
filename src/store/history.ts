import { arranged, type Build, type Change, mapsOf, sameContent, type Workspace } from '../build/index.ts';

/** One step: the workspace before and after it. Both share what did not change. */
interface HistoryEntry {
  label: string;
  before: Workspace;
  after: Workspace;
  mergeKey: string | null;
  /** When the step was last added to, ms. */
  at: number;
}

export interface History {
  /** Oldest first. */
  past: readonly HistoryEntry[];
  /** The next to redo first. */
  future: readonly HistoryEntry[];
}

export const emptyHistory: History = { past: [], future: [] };

/** Pauses shorter than this belong to the same typing or the same drag. */
const MERGE_WITHIN_MS = 1000;
/** Steps share what did not change, so that this many cost a few megabytes at most. */
const MOST_STEPS = 500;

/** Runs a change; `mergeKey` in place of the change's own makes it join the step before it that has the same key. */
export function runChange(
  workspace: Workspace,
  history: History,
  change: Change,
  now: number,
  mergeKey: string | null = change.undo === 'merge' ? (change.mergeKey ?? null) : null,
): { workspace: Workspace; history: History } {
  const after = change.perform(workspace);
  if (after === workspace) return { workspace, history };
  if (change.undo === 'never') return { workspace: after, history };
  const last = history.past.at(-1);
  const joins =
    last !== undefined &&
    mergeKey !== null &&
    last.mergeKey === mergeKey &&
    history.future.length === 0 &&
    now - last.at < MERGE_WITHIN_MS;
  // Typed and taken back in one go ('12oo' over 900 comes back to 900): no step that would undo nothing.
  if (joins && sameContent(last.before, after))
    return { workspace: last.before, history: { past: history.past.slice(0, -1), future: [] } };
  const entry: HistoryEntry = {
    label: change.label,
    before: joins ? last.before : workspace,
    after,
    mergeKey,
    at: now,
  };
  const kept = joins ? history.past.slice(0, -1) : history.past.slice(-(MOST_STEPS - 1));
  return { workspace: after, history: { past: [...kept, entry], future: [] } };
}

/** One step back; null when there is none. Opens the build in which the step was made. */
export function undoStep(workspace: Workspace, history: History): { workspace: Workspace; history: History } | null {
  const entry = history.past.at(-1);
  if (entry === undefined) return null;
  return {
    workspace: withSettings(entry.before, workspace, entry),
    // Nothing joins a step that was undone and redone.
    history: { past: history.past.slice(0, -1), future: [{ ...entry, mergeKey: null }, ...history.future] },
  };
}

/** One step forward again; null when there is none. */
export function redoStep(workspace: Workspace, history: History): { workspace: Workspace; history: History } | null {
  const [entry, ...future] = history.future;
  if (entry === undefined) return null;
  return {
    workspace: withSettings(entry.after, workspace, entry),
    history: { past: [...history.past, entry], future },
  };
}

/** How things are shown stays as it is now, unless the step itself changed it (restoring a backup). */
function withSettings(target: Workspace, present: Workspace, entry: HistoryEntry): Workspace {
  const changedByStep = entry.before.settings !== entry.after.settings;
  return changedByStep || target.settings === present.settings ? target : { ...target, settings: present.settings };
}

type Records = 'builds' | 'shelf';

/**
 * The steps of undo after `to` has come from elsewhere in place of `from`: those that touch nothing that is different there, and no
 * step beyond the first one that does. What is different there stands in their workspaces, too, so that no step takes it back.
 */
export function rebased(history: History, from: Workspace, to: Workspace): History {
  const changed = { builds: changedIds(from.builds, to.builds), shelf: changedIds(from.shelf, to.shelf) };
  if (changed.builds.size + changed.shelf.size === 0) return history;
  // A build that was changed there carries its maps as they stand there.
  const carried = mapIdsOf([...changed.builds].map((id) => to.builds[id]));
  const fixed = { ...changed, shelf: new Set([...changed.shelf, ...carried]) };
  const move = (entry: HistoryEntry): HistoryEntry | null => {
    if (touches(entry, fixed)) return null;
    const [before, after] = [moved(entry.before, to, changed), moved(entry.after, to, changed)];
    return before === null || after === null ? null : { ...entry, before, after };
  };
  return {
    past: upToNull(history.past.toReversed().map(move)).toReversed(),
    future: upToNull(history.future.map(move)),
  };
}

function upToNull<T>(list: readonly (T | null)[]): T[] {
  const end = list.indexOf(null);
  return list.slice(0, end === -1 ? list.length : end).filter((item) => item !== null);
}

function changedIds<T>(from: Readonly<Record<string, T>>, to: Readonly<Record<string, T>>): ReadonlySet<string> {
  const ids = new Set([...Object.keys(from), ...Object.keys(to)]);
  return new Set([...ids].filter((id) => from[id] !== to[id] && !sameContent(from[id], to[id])));
}

type Changed = Readonly<Record<Records, ReadonlySet<string>>>;

/** Whether the step changes something that was changed elsewhere, or a build that carries a map that was. */
function touches({ before, after }: HistoryEntry, changed: Changed): boolean {
  const touched = <T>(a: Readonly<Record<string, T>>, b: Readonly<Record<string, T>>) =>
    [...new Set([...Object.keys(a), ...Object.keys(b)])].filter((id) => a[id] !== b[id]);
  const builds = touched(before.builds, after.builds);
  const carried = mapIdsOf(builds.flatMap((id) => [before.builds[id], after.builds[id]]));
  const maps = [...touched(before.shelf, after.shelf), ...carried];
  return builds.some((id) => changed.builds.has(id)) || maps.some((id) => changed.shelf.has(id));
}

function mapIdsOf(builds: readonly (Build | undefined)[]): string[] {
  return builds.flatMap((build) => build?.candidates.flatMap(mapsOf) ?? []).map(({ id }) => id);
}

/** The workspace with what is different in `to`; null where no build is left. */
function moved(workspace: Workspace, to: Workspace, changed: Changed): Workspace | null {
  const replace = <T>(
    objects: Readonly<Record<string, T>>,
    now: Readonly<Record<string, T>>,
    ids: ReadonlySet<string>,
  ) =>
    Object.fromEntries([
      ...Object.entries(objects).filter(([id]) => !ids.has(id) || now[id] !== undefined),
      ...[...ids].flatMap((id): [string, T][] => (now[id] === undefined ? [] : [[id, now[id]]])),
    ]);
  const builds = replace(workspace.builds, to.builds, changed.builds);
  if (Object.keys(builds).length === 0) return null;
  const shelf = replace(workspace.shelf, to.shelf, changed.shelf);
  const order = {
    buildOrder: [...workspace.buildOrder, ...to.buildOrder],
    shelfOrder: [...workspace.shelfOrder, ...to.shelfOrder],
  };
  return { ...workspace, ...arranged({ builds, shelf }, order, [workspace.activeBuildId]) };
}
