import {
  arranged,
  type Build,
  fileToBuild,
  type MapDraft,
  type Parsed,
  type Problem,
  parseBuildFile,
  parseSettings,
  parseStoredMap,
  readJsonText,
} from '../build/index.ts';
import { leavingNoteKeys, type Note, type NoteBase } from './leavingNote.ts';
import type { KeptAside, Snapshot, StoredState } from './load.ts';
import { textOf, textsOf } from './load.ts';
import { type MergeBase, mergeStates } from './merge.ts';

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
  const read = leavingNoteKeys().map((key) => ({ key, ...readNote(key) }));
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
