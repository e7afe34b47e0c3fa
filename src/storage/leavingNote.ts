import {
  type Build,
  type BuildFile,
  buildToFile,
  fileToBuild,
  type MapDraft,
  parseBuildFile,
  parseSettings,
  parseStoredMap,
  readJsonText,
  type Settings,
} from '../build/index.ts';
import type { Snapshot, StoredState } from './load.ts';
import { type MergeBase, mergeStates } from './save.ts';

/*
 * A page that is reloaded or closed may not wait for the database: what it begins to write there while leaving is dropped. What is
 * not saved yet is therefore put down at once in localStorage, and the next page that opens takes it from there through the same
 * parsers and merges it as if another window had changed it.
 */

const PREFIX = 'lugline-unsaved-';

interface Note {
  /** The count of savings that the changes grew from. */
  revision: number;
  builds: readonly BuildFile[];
  maps: readonly MapDraft[];
  goneBuilds: readonly string[];
  goneMaps: readonly string[];
  buildOrder: readonly string[];
  activeBuildId: string;
  shelfOrder: readonly string[];
  settings: Settings;
  drafts: Readonly<Record<string, string>>;
}

/** Puts down what `state` has that is not saved. False where the browser gives no place for it. */
export function writeLeavingNote(owner: string, snapshot: Snapshot, { workspace, drafts }: StoredState): boolean {
  const changed = <T extends { id: string }>(
    now: Readonly<Record<string, T>>,
    saved: ReadonlyMap<string, { object: T }>,
  ) => Object.values(now).filter((object) => saved.get(object.id)?.object !== object);
  const note: Note = {
    revision: snapshot.revision,
    builds: changed(workspace.builds, snapshot.builds).map(buildToFile),
    maps: changed(workspace.shelf, snapshot.maps),
    goneBuilds: [...snapshot.builds.keys()].filter((id) => workspace.builds[id] === undefined),
    goneMaps: [...snapshot.maps.keys()].filter((id) => workspace.shelf[id] === undefined),
    buildOrder: workspace.buildOrder,
    activeBuildId: workspace.activeBuildId,
    shelfOrder: workspace.shelfOrder,
    settings: workspace.settings,
    drafts,
  };
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

/**
 * What earlier pages put down while leaving, merged into what is stored. `keys` are to be removed once the result is saved. A note
 * that cannot be read stays where it is.
 */
export function takeLeavingNotes(
  stored: StoredState | null,
  snapshot: Snapshot,
  freshId: () => string,
): { state: StoredState | null; keys: readonly string[] } {
  let state = stored;
  const keys: string[] = [];
  for (const key of noteKeys()) {
    const note = readNote(key);
    if (note === null) continue;
    const next = withNote(state, note, snapshot, freshId);
    if (next === null) continue;
    state = next;
    keys.push(key);
  }
  return { state, keys };
}

function noteKeys(): string[] {
  try {
    return Object.keys(localStorage).filter((key) => key.startsWith(PREFIX));
  } catch {
    return [];
  }
}

function readNote(key: string): Note | null {
  const json = readJsonText(localStorage.getItem(key) ?? '');
  if (!json.ok || typeof json.value !== 'object' || json.value === null) return null;
  const raw = json.value as Record<string, unknown>;
  const builds = list(raw.builds).map(parseBuildFile);
  const maps = list(raw.maps).map(parseStoredMap);
  const settings = parseSettings(raw.settings);
  const isWhole = builds.every((build) => build.ok) && maps.every((map) => map.ok) && settings.ok;
  if (!isWhole || typeof raw.revision !== 'number' || typeof raw.drafts !== 'object') return null;
  return {
    revision: raw.revision,
    builds: builds.flatMap((build) => (build.ok ? [build.value] : [])),
    maps: maps.flatMap((map) => (map.ok ? [map.value] : [])),
    goneBuilds: texts(raw.goneBuilds),
    goneMaps: texts(raw.goneMaps),
    buildOrder: texts(raw.buildOrder),
    activeBuildId: typeof raw.activeBuildId === 'string' ? raw.activeBuildId : '',
    shelfOrder: texts(raw.shelfOrder),
    settings: settings.value,
    drafts: Object.fromEntries(Object.entries(raw.drafts ?? {}).filter(([, text]) => typeof text === 'string')),
  };
}

function withNote(
  stored: StoredState | null,
  note: Note,
  snapshot: Snapshot,
  freshId: () => string,
): StoredState | null {
  const builds = records(stored?.workspace.builds ?? {}, note.builds.map(fileToBuild), note.goneBuilds);
  const shelf = records(stored?.workspace.shelf ?? {}, note.maps, note.goneMaps);
  if (Object.keys(builds).length === 0) return null;
  const buildOrder = ordered(note.buildOrder, builds);
  const mine: StoredState = {
    workspace: {
      builds,
      buildOrder,
      activeBuildId: builds[note.activeBuildId] === undefined ? (buildOrder[0] ?? '') : note.activeBuildId,
      shelf,
      shelfOrder: ordered(note.shelfOrder, shelf),
      settings: note.settings,
    },
    drafts: note.drafts,
  };
  if (stored === null) return mergeStates(EMPTY, mine, mine, freshId).state;
  return mergeStates(unchangedSince(note.revision, snapshot, stored), mine, stored, freshId).state;
}

const EMPTY: MergeBase = { settings: null, drafts: null, builds: new Map(), maps: new Map() };

/** What is stored as it was when the note was written: the base from which both sides have grown. */
function unchangedSince(revision: number, snapshot: Snapshot, stored: StoredState): MergeBase {
  const { builds, shelf } = stored.workspace;
  const unchanged = <T>(entries: ReadonlyMap<string, { revision: number }>, objects: Readonly<Record<string, T>>) =>
    new Map(
      Object.entries(objects)
        .filter(([id]) => (entries.get(id)?.revision ?? Number.POSITIVE_INFINITY) <= revision)
        .map(([id, object]) => [id, { object }]),
    );
  const drafts = snapshot.revision === revision ? stored.drafts : null;
  return { settings: null, drafts, builds: unchanged(snapshot.builds, builds), maps: unchanged(snapshot.maps, shelf) };
}

function records<T extends Build | MapDraft>(
  stored: Readonly<Record<string, T>>,
  changed: readonly T[],
  gone: readonly string[],
): Record<string, T> {
  const kept = Object.entries(stored).filter(([id]) => !gone.includes(id));
  return Object.fromEntries([...kept, ...changed.map((record): [string, T] => [record.id, record])]);
}

function ordered(order: readonly string[], objects: Readonly<Record<string, unknown>>): string[] {
  return [...new Set([...order, ...Object.keys(objects)])].filter((id) => objects[id] !== undefined);
}

function list(value: unknown): readonly unknown[] {
  return Array.isArray(value) ? value : [];
}

function texts(value: unknown): string[] {
  return list(value).filter((text): text is string => typeof text === 'string');
}

/** Calls `flush` when the page is hidden or left: the last moment at which a browser on a phone lets a page write. */
export function flushOnLeave(flush: () => void): () => void {
  const onHidden = () => {
    if (document.visibilityState === 'hidden') flush();
  };
  document.addEventListener('visibilitychange', onHidden);
  window.addEventListener('pagehide', flush);
  return () => {
    document.removeEventListener('visibilitychange', onHidden);
    window.removeEventListener('pagehide', flush);
  };
}
