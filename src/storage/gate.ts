import {
  arranged,
  type Build,
  type Candidate,
  changeCandidates,
  fileToBuild,
  type MapDraft,
  type Parsed,
  type Problem,
  parseBuildFile,
  parseSettings,
  parseStoredMap,
  readJsonText,
  sameContent,
  sharingMaps,
  uniqueName,
  type Workspace,
  withMapsOf,
} from '../build/index.ts';
import { leavingNoteKeys, type Note, type NoteBase } from './leavingNote.ts';
import {
  asSnapshot,
  emptySnapshot,
  isSameStore,
  type KeptAside,
  type LoadedState,
  type Snapshot,
  type StoredState,
  textOf,
  textsOf,
} from './load.ts';

/*
 * What lets in what this program cannot vouch for (seals.ts): records of another version or damaged, what leaving pages put down, what
 * another window wrote meanwhile. A late part: the first picture waits for it only where there is something of the kind.
 */

/** A stored build, of any version so far. */
export function readBuild(record: unknown): Parsed<Build> {
  const parsed = parseBuildFile((record as { file?: unknown } | null)?.file);
  return parsed.ok ? { ...parsed, value: fileToBuild(parsed.value) } : parsed;
}

/** A stored map, of any version so far. */
export function readMap(record: unknown): Parsed<MapDraft> {
  const { version, draft } = (record ?? {}) as { version?: unknown; draft?: unknown };
  if (typeof version === 'number' && version > 1) {
    const message = `This map was stored by a newer Lugline (version ${version}). Open it with that one.`;
    return { ok: false, problems: [{ path: 'version', message }] };
  }
  return parseStoredMap(draft);
}

export const readSettings = parseSettings;

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

/** What both sides have grown from. */
export type MergeBase = Pick<Snapshot, 'settings' | 'drafts'> & {
  builds: ReadonlyMap<string, { object: Build }>;
  maps: ReadonlyMap<string, { object: MapDraft }>;
};

export interface Merged {
  state: StoredState;
  /** Names of builds and maps that both windows had changed: both versions are kept, this window's under that new name. */
  keptBoth: readonly string[];
}

/**
 * Brings together what this window has (`mine`) and what another has stored meanwhile (`theirs`), both grown from `base`. What only
 * one of them changed is taken from that one; what both changed is kept twice; a deletion gives way to a change.
 */
export function mergeStates(base: MergeBase, mine: StoredState, theirs: StoredState, freshId: () => string): Merged {
  const keptBoth: string[] = [];
  const maps = mergeRecords(base.maps, mine.workspace.shelf, theirs.workspace.shelf, freshId, keptBoth);
  const mineWithNewMaps = renamedIn(mine.workspace.builds, maps.copies, mine.workspace.shelf);
  const builds = mergeRecords(base.builds, mineWithNewMaps, theirs.workspace.builds, freshId, keptBoth);
  const active = mine.workspace.activeBuildId;
  const order = {
    buildOrder: [...mine.workspace.buildOrder, ...theirs.workspace.buildOrder],
    shelfOrder: [...mine.workspace.shelfOrder, ...theirs.workspace.shelfOrder],
  };
  const open = [builds.copies.get(active)?.id ?? active, theirs.workspace.activeBuildId];
  const workspace: Workspace = {
    ...arranged({ builds: builds.records, shelf: maps.records }, order, open),
    settings: mine.workspace.settings === base.settings ? theirs.workspace.settings : mine.workspace.settings,
  };
  const drafts = mergeDrafts(base.drafts ?? {}, mine.drafts, theirs.drafts);
  return { state: { workspace: sharingMaps(workspace, freshId), drafts }, keptBoth };
}

function mergeRecords<T extends Build | MapDraft>(
  base: ReadonlyMap<string, { object: T }>,
  mine: Readonly<Record<string, T>>,
  theirs: Readonly<Record<string, T>>,
  freshId: () => string,
  keptBoth: string[],
): { records: Record<string, T>; copies: Map<string, T> } {
  const records: Record<string, T> = {};
  const copies = new Map<string, T>();
  const names = new Set(Object.values(theirs).map((record) => record.name));
  for (const id of new Set([...Object.keys(theirs), ...Object.keys(mine)])) {
    const before = base.get(id)?.object;
    const here = mine[id];
    const there = theirs[id];
    if (
      here !== undefined &&
      there !== undefined &&
      differs(here, before) &&
      differs(there, before) &&
      differs(here, there)
    ) {
      const copy = { ...here, id: freshId(), name: uniqueName(here.name, names) };
      names.add(copy.name);
      keptBoth.push(copy.name);
      copies.set(id, copy);
      records[id] = there;
      records[copy.id] = copy;
      continue;
    }
    const survivor = settle(before, here, there);
    if (survivor !== undefined) records[id] = survivor;
  }
  return { records, copies };
}

/** A record deleted on one side lives on only when the other side changed it. */
function settle<T>(before: T | undefined, here: T | undefined, there: T | undefined): T | undefined {
  if (here === undefined) return differs(there, before) ? there : undefined;
  if (there === undefined) return differs(here, before) ? here : undefined;
  return differs(there, before) ? there : here;
}

/** By content: a record that was read once more is another object with the same content. */
function differs(a: unknown, b: unknown): boolean {
  return a !== b && (a === undefined || b === undefined || !sameContent(a, b));
}

/** This window's builds carry this window's version of a map that was kept twice. */
function renamedIn(
  builds: Readonly<Record<string, Build>>,
  copies: ReadonlyMap<string, MapDraft>,
  shelf: Readonly<Record<string, MapDraft>>,
): Record<string, Build> {
  const replace = (candidate: Candidate): Candidate =>
    withMapsOf(candidate, (map) => (shelf[map.id] === map ? copies.get(map.id) : undefined) ?? map);
  return Object.fromEntries(Object.entries(builds).map(([id, build]) => [id, changeCandidates(build, replace)]));
}

type Drafts = StoredState['drafts'];

/** Field by field: what this window changed stands, a text let go of included. */
function mergeDrafts(base: Drafts, mine: Drafts, theirs: Drafts): Drafts {
  const merged: Record<string, string> = {};
  for (const place of new Set([...Object.keys(mine), ...Object.keys(theirs)])) {
    const text = mine[place] === base[place] ? theirs[place] : mine[place];
    if (text !== undefined) merged[place] = text;
  }
  return merged;
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
