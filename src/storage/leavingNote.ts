import {
  arranged,
  type Build,
  type BuildFile,
  buildToFile,
  fileToBuild,
  type MapDraft,
  type Parsed,
  type Problem,
  parseBuildFile,
  parseSettings,
  parseStoredMap,
  readJsonText,
  type Settings,
} from '../build/index.ts';
import type { KeptAside, Snapshot, StoredState } from './load.ts';
import { textOf, textsOf } from './load.ts';
import { changesOf, type MergeBase, mergeStates } from './save.ts';

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

interface Note extends NoteBase {
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
  /** What is known to stand in the database; `storeIsLost`: nobody knows whether it still does, so that everything is put down. */
  snapshot: Snapshot;
  storeIsLost: boolean;
  /** Where the page began with earlier notes and without a database: what those grew from, and their keys. */
  grewFrom: { base: NoteBase; keys: readonly string[] } | null;
  now: number;
}

/** Puts down what `state` has that is not saved. False where the browser gives no place for it. */
export function writeLeavingNote({ owner, state, snapshot, storeIsLost, grewFrom, now }: Leaving): boolean {
  const { workspace, drafts } = state;
  const builds = changesOf(workspace.builds, snapshot.builds);
  const maps = changesOf(workspace.shelf, snapshot.maps);
  const spare = <T>(present: Readonly<Record<string, T>>, { changed }: { changed: readonly T[] }) =>
    storeIsLost ? Object.values(present).filter((object) => !changed.includes(object)) : [];
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
  return put(owner, note) || (storeIsLost && put(owner, { ...note, spareBuilds: [], spareMaps: [] }));
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

export interface TakenNotes {
  state: StoredState | null;
  /** To be removed once the result is saved. */
  keys: readonly string[];
  /** Names of what a note and the store, or two notes, had both changed: both versions are kept. */
  keptBoth: readonly string[];
  /** What all of them grew from; null without a note. */
  base: NoteBase | null;
  /** Notes that cannot be read: they stay where they are. */
  unreadable: readonly KeptAside[];
}

/** What earlier pages put down while leaving, merged into what is stored. */
export function takeLeavingNotes(stored: StoredState | null, snapshot: Snapshot, freshId: () => string): TakenNotes {
  const read = noteKeys().map((key) => ({ key, ...readNote(key) }));
  const unreadable = read.flatMap(({ key, note, raw }): KeptAside[] =>
    note.ok
      ? []
      : [{ store: 'note', key, name: 'Unsaved work of a page that was closed', problems: note.problems, raw }],
  );
  const notes = read.flatMap(({ key, note }) => (note.ok ? [{ key, note: note.value }] : []));
  const superseded = new Set(notes.flatMap(({ note }) => note.supersedes));
  const keptBoth: string[] = [];
  let state = stored;
  const taken = notes.filter(({ key }) => !superseded.has(key)).sort((a, b) => a.note.writtenAt - b.note.writtenAt);
  const keys = notes.map(({ key }) => key).filter((key) => superseded.has(key));
  for (const { key, note } of taken) {
    const mine = withNote(stored, note, snapshot);
    // A note without a build to go with it waits for one.
    if (mine === null) continue;
    keys.push(key);
    const merged = mergeStates(baseOfNote(stored, note, snapshot), mine, state ?? mine, freshId);
    keptBoth.push(...merged.keptBoth);
    state = merged.state;
  }
  return { state, keys, keptBoth, base: commonBase(taken.map(({ note }) => note)), unreadable };
}

function commonBase(notes: readonly Note[]): NoteBase | null {
  const [first] = notes;
  if (first === undefined) return null;
  return {
    revision: Math.min(...notes.map(({ revision }) => revision)),
    storeId: first.storeId,
    goneBuilds: notes.flatMap(({ goneBuilds }) => goneBuilds),
    goneMaps: notes.flatMap(({ goneMaps }) => goneMaps),
  };
}

function noteKeys(): string[] {
  try {
    return Object.keys(localStorage).filter((key) => key.startsWith(PREFIX));
  } catch {
    return [];
  }
}

function readNote(key: string): { note: Parsed<Note>; raw: string } {
  const raw = localStorage.getItem(key) ?? '';
  return { note: parseNote(raw), raw };
}

function parseNote(text: string): Parsed<Note> {
  const json = readJsonText(text);
  if (!json.ok) return json;
  const raw = (json.value ?? {}) as Record<string, unknown>;
  const problems: Problem[] = [];
  const values = <T>(list: unknown, parse: (item: unknown) => Parsed<T>): T[] =>
    (Array.isArray(list) ? list : []).flatMap((item) => {
      const parsed = parse(item);
      if (parsed.ok) return [parsed.value];
      problems.push(...parsed.problems);
      return [];
    });
  const settings = parseSettings(raw.settings);
  if (!settings.ok) problems.push(...settings.problems);
  if (typeof raw.revision !== 'number' || typeof raw.drafts !== 'object')
    problems.push({ path: '', message: 'What an unsaved page put down is damaged.' });
  const note = {
    owner: textOf(raw.owner) ?? '',
    writtenAt: typeof raw.writtenAt === 'number' ? raw.writtenAt : 0,
    supersedes: textsOf(raw.supersedes),
    revision: Number(raw.revision),
    storeId: textOf(raw.storeId),
    builds: values(raw.builds, parseBuildFile),
    maps: values(raw.maps, parseStoredMap),
    spareBuilds: values(raw.spareBuilds, parseBuildFile),
    spareMaps: values(raw.spareMaps, parseStoredMap),
    goneBuilds: textsOf(raw.goneBuilds),
    goneMaps: textsOf(raw.goneMaps),
    buildOrder: textsOf(raw.buildOrder),
    activeBuildId: textOf(raw.activeBuildId) ?? '',
    shelfOrder: textsOf(raw.shelfOrder),
    drafts: Object.fromEntries(Object.entries(raw.drafts ?? {}).filter(([, text]) => typeof text === 'string')),
  };
  if (!settings.ok || problems.length > 0) return { ok: false, problems };
  return { ok: true, value: { ...note, settings: settings.value }, notes: [] };
}

/** What is stored with the changes of a note on it; null where that leaves no build. */
function withNote(stored: StoredState | null, note: Note, snapshot: Snapshot): StoredState | null {
  const wasCleared = stored === null || note.storeId !== snapshot.storeId;
  const here: Partial<StoredState['workspace']> = stored?.workspace ?? {};
  const spare = <T>(list: readonly T[]) => (wasCleared ? list : []);
  const builds = records(
    here.builds ?? {},
    [...spare(note.spareBuilds), ...note.builds].map(fileToBuild),
    note.goneBuilds,
  );
  const shelf = records(here.shelf ?? {}, [...spare(note.spareMaps), ...note.maps], note.goneMaps);
  if (Object.keys(builds).length === 0) return null;
  const workspace = arranged({ builds, shelf }, note, [note.activeBuildId]);
  return { workspace: { ...workspace, settings: note.settings }, drafts: note.drafts };
}

/** What is stored as it was when the note was written: the base from which both sides have grown. */
function baseOfNote(stored: StoredState | null, note: Note, snapshot: Snapshot): MergeBase {
  const sameStore = note.storeId === snapshot.storeId;
  // The save that was under way when the page went may have come through: the note has grown from that, too.
  const itsOwn = snapshot.writer === note.owner && snapshot.revision === note.revision + 1;
  const revision = itsOwn ? snapshot.revision : note.revision;
  const touched = new Set([...note.builds, ...note.maps].map(({ id }) => id).concat(note.goneBuilds, note.goneMaps));
  const before = <T>(entries: ReadonlyMap<string, { revision: number }>, objects: Readonly<Record<string, T>> = {}) =>
    new Map(
      Object.entries(objects)
        .filter(([id]) => sameStore && (!touched.has(id) || (entries.get(id)?.revision ?? Infinity) <= revision))
        .map(([id, object]) => [id, { object }]),
    );
  return {
    settings: null,
    drafts: stored !== null && sameStore && snapshot.revision === revision ? stored.drafts : null,
    builds: before(snapshot.builds, stored?.workspace.builds),
    maps: before(snapshot.maps, stored?.workspace.shelf),
  };
}

function records<T extends Build | MapDraft>(
  stored: Readonly<Record<string, T>>,
  changed: readonly T[],
  gone: readonly string[],
): Record<string, T> {
  const kept = Object.entries(stored).filter(([id]) => !gone.includes(id));
  return Object.fromEntries([...kept, ...changed.map((record): [string, T] => [record.id, record])]);
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
