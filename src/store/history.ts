import { type Change, sameContent, type Workspace } from '../build/index.ts';

/** One step: the workspace before and after it. Both share what did not change. */
export interface HistoryEntry {
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
export const MERGE_WITHIN_MS = 1000;
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
