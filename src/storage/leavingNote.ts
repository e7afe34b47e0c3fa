import { type BuildFile, buildToFile, type MapDraft, type Settings } from '../build/index.ts';
import type { Snapshot, StoredState } from './load.ts';
import { changesOf } from './save.ts';

/*
 * A page that is reloaded or closed may not wait for the database: what it begins to write there while leaving is dropped, and the
 * database may be lost. What is not saved yet is therefore put down at once in localStorage, and the next page that opens takes it
 * from there through the same parsers and merges it as if another window had changed it.
 */

const PREFIX = 'lugline-unsaved-';

/** What the changes of a note grew from. */
export interface NoteBase {
  /** The count of savings. */
  revision: number;
  storeId: string | null;
  goneBuilds: readonly string[];
  goneMaps: readonly string[];
}

export interface Note extends NoteBase {
  /** The window that wrote it. */
  owner: string;
  writtenAt: number;
  /** Earlier notes whose content is in this one. */
  supersedes: readonly string[];
  builds: readonly BuildFile[];
  maps: readonly MapDraft[];
  /** What the window had not changed: wanted only where the store was cleared since. */
  spareBuilds: readonly BuildFile[];
  spareMaps: readonly MapDraft[];
  buildOrder: readonly string[];
  activeBuildId: string;
  shelfOrder: readonly string[];
  settings: Settings;
  drafts: Readonly<Record<string, string>>;
}

export interface Leaving {
  owner: string;
  state: StoredState;
  /** What is known to stand in the database; where it was `wasRead` everything is put down: nobody knows whether it still stands there. */
  snapshot: Snapshot;
  wasRead: boolean;
  /** Where the page began with earlier notes and without a database: what those grew from, and their keys. */
  grewFrom: { base: NoteBase; keys: readonly string[] } | null;
  now: number;
}

/** Puts down what `state` has that is not saved, and where there is room all that it has. False where the browser gives no place for it. */
export function writeLeavingNote({ owner, state, snapshot, wasRead, grewFrom, now }: Leaving): boolean {
  const { workspace, drafts } = state;
  const builds = changesOf(workspace.builds, snapshot.builds);
  const maps = changesOf(workspace.shelf, snapshot.maps);
  const spare = <T>(present: Readonly<Record<string, T>>, { changed }: { changed: readonly T[] }) =>
    wasRead ? Object.values(present).filter((object) => !changed.includes(object)) : [];
  const stillGone = (ids: readonly string[] = [], present: object) => ids.filter((id) => !Object.hasOwn(present, id));
  const note: Note = {
    owner,
    writtenAt: now,
    supersedes: grewFrom?.keys ?? [],
    revision: grewFrom?.base.revision ?? snapshot.revision,
    storeId: grewFrom?.base.storeId ?? snapshot.storeId,
    builds: builds.changed.map(buildToFile),
    maps: maps.changed,
    spareBuilds: spare(workspace.builds, builds).map(buildToFile),
    spareMaps: spare(workspace.shelf, maps),
    goneBuilds: [...builds.gone, ...stillGone(grewFrom?.base.goneBuilds, workspace.builds)],
    goneMaps: [...maps.gone, ...stillGone(grewFrom?.base.goneMaps, workspace.shelf)],
    buildOrder: workspace.buildOrder,
    activeBuildId: workspace.activeBuildId,
    shelfOrder: workspace.shelfOrder,
    settings: workspace.settings,
    drafts,
  };
  return put(owner, note) || (wasRead && put(owner, { ...note, spareBuilds: [], spareMaps: [] }));
}

function put(owner: string, note: Note): boolean {
  try {
    localStorage.setItem(PREFIX + owner, JSON.stringify(note));
    return true;
  } catch {
    return false;
  }
}

/** Takes notes away: everything in them is saved. */
export function removeLeavingNotes(keys: readonly string[]): void {
  for (const key of keys) {
    try {
      localStorage.removeItem(key);
    } catch {
      // Nothing to take away where nothing can be kept.
    }
  }
}

export function leavingNoteKey(owner: string): string {
  return PREFIX + owner;
}

/** Where earlier pages have put something down. */
export function leavingNoteKeys(): string[] {
  try {
    return Object.keys(localStorage).filter((key) => key.startsWith(PREFIX));
  } catch {
    return [];
  }
}

/**
 * Calls `flush` when the page is hidden or left: the last moment at which a browser on a phone lets a page write. `mustAsk` is asked
 * when the page is to be closed or reloaded: true makes the browser ask the person first.
 */
export function flushOnLeave(flush: () => void, mustAsk: () => boolean): () => void {
  const onHidden = () => {
    if (document.visibilityState === 'hidden') flush();
  };
  const beforeUnload = (event: BeforeUnloadEvent) => {
    flush();
    if (mustAsk()) event.preventDefault();
  };
  document.addEventListener('visibilitychange', onHidden);
  window.addEventListener('pagehide', flush);
  window.addEventListener('beforeunload', beforeUnload);
  return () => {
    document.removeEventListener('visibilitychange', onHidden);
    window.removeEventListener('pagehide', flush);
    window.removeEventListener('beforeunload', beforeUnload);
  };
}
