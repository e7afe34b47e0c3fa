import type { IDBPTransaction } from 'idb';
import {
  arranged,
  type Build,
  buildToFile,
  type Candidate,
  changeCandidates,
  type MapDraft,
  sameContent,
  sharingMaps,
  uniqueName,
  type Workspace,
  withMapsOf,
} from '../build/index.ts';
import type { LuglineDatabase, LuglineSchema } from './database.ts';
import type { Known } from './load.ts';
import { revisionOf, type Snapshot, type StoredOrder, type StoredState } from './load.ts';

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

export type SaveResult = { ok: true; snapshot: Snapshot; wrote: boolean } | { ok: false; reason: 'changed-elsewhere' };

type Transaction = IDBPTransaction<LuglineSchema, ('builds' | 'maps' | 'meta')[], 'readwrite'>;

interface Changes<T> {
  changed: readonly T[];
  gone: readonly string[];
}

/**
 * Writes what changed since `snapshot`, in one transaction: all of it or nothing. Writes nothing when another window has saved
 * since, or the store was cleared: then the two have to be brought together first. Throws what the database throws (no room, closed).
 */
export async function saveState(
  database: LuglineDatabase,
  snapshot: Snapshot,
  state: StoredState,
  writer: string,
): Promise<SaveResult> {
  const next = nextSnapshot(snapshot, state, writer);
  if (next === snapshot) return { ok: true, snapshot, wrote: false };
  const transaction = database.transaction(['builds', 'maps', 'meta'], 'readwrite', { durability: 'relaxed' });
  // A failing request aborts the transaction; it is reported once, by the throw below.
  transaction.done.catch(() => undefined);
  try {
    const meta = transaction.objectStore('meta');
    const [revision, storeId = null] = await Promise.all([meta.get('revision'), meta.get('store id')]);
    const isKnown = revisionOf(revision) === snapshot.revision && storeId === snapshot.storeId;
    if (!isKnown) return { ok: false, reason: 'changed-elsewhere' };
    await runAll([...recordWrites(transaction, snapshot, next), ...metaWrites(transaction, snapshot, next)]);
  } catch (error) {
    // A record that cannot be stored must not leave half of the others written.
    abort(transaction);
    throw error;
  }
  await transaction.done;
  return { ok: true, snapshot: next, wrote: true };
}

/** What stands in the database when this state is written; the same snapshot when nothing changed. */
function nextSnapshot(snapshot: Snapshot, { workspace, drafts }: StoredState, writer: string): Snapshot {
  const order = orderOf(workspace, snapshot.order);
  const { settings } = workspace;
  const builds = changesOf(workspace.builds, snapshot.builds);
  const maps = changesOf(workspace.shelf, snapshot.maps);
  const touched = builds.changed.length + builds.gone.length + maps.changed.length + maps.gone.length > 0;
  const isSame = order === snapshot.order && settings === snapshot.settings && drafts === snapshot.drafts;
  if (!touched && isSame) return snapshot;
  const revision = snapshot.revision + 1;
  return {
    ...snapshot,
    revision,
    storeId: snapshot.storeId ?? `${writer}-${revision}`,
    writer,
    builds: withChanges('builds', snapshot, snapshot.builds, builds, revision),
    maps: withChanges('maps', snapshot, snapshot.maps, maps, revision),
    order,
    settings,
    drafts,
    unreadMeta: settings === snapshot.settings ? snapshot.unreadMeta : new Map(),
  };
}

/** What differs from what is known to be stored, and the ids of what is there no more. */
export function changesOf<T extends Build | MapDraft>(
  now: Readonly<Record<string, T>>,
  before: ReadonlyMap<string, { object: T }>,
): Changes<T> {
  return {
    changed: Object.values(now).filter((object) => before.get(object.id)?.object !== object),
    gone: [...before.keys()].filter((id) => !Object.hasOwn(now, id)),
  };
}

type Entries<T> = ReadonlyMap<string, Known<T>>;

function withChanges<T extends Build | MapDraft>(
  store: 'builds' | 'maps',
  snapshot: Snapshot,
  entries: Entries<T>,
  { changed, gone }: Changes<T>,
  revision: number,
): Entries<T> {
  const next = new Map(entries);
  for (const object of changed) next.set(object.id, { key: keyFor(store, object.id, snapshot), revision, object });
  for (const id of gone) next.delete(id);
  return next;
}

type Write = () => Promise<unknown>;

/** Begins every write before any has finished, so that they stay in one transaction. */
async function runAll(writes: readonly Write[]): Promise<void> {
  const begun: Promise<unknown>[] = [];
  for (const write of writes) {
    const running = write();
    // When a later one cannot even begin, nobody waits for this one any more: its abort is no news.
    running.catch(() => undefined);
    begun.push(running);
  }
  await Promise.all(begun);
}

function recordWrites(transaction: Transaction, before: Snapshot, next: Snapshot): Write[] {
  const builds = transaction.objectStore('builds');
  const maps = transaction.objectStore('maps');
  const { revision } = next;
  const isNew = (entry: { revision: number }) => entry.revision === revision;
  const newBuilds = [...next.builds.values()].filter(isNew);
  const newMaps = [...next.maps.values()].filter(isNew);
  return [
    ...newBuilds.map(
      ({ key, object }) =>
        () =>
          builds.put({ revision, file: buildToFile(object) }, key),
    ),
    ...newMaps.map(
      ({ key, object }) =>
        () =>
          maps.put({ revision, version: 1, draft: object }, key),
    ),
    ...goneKeys(before.builds, next.builds).map((key) => () => builds.delete(key)),
    ...goneKeys(before.maps, next.maps).map((key) => () => maps.delete(key)),
  ];
}

function goneKeys(before: Entries<unknown>, next: Entries<unknown>): string[] {
  return [...before].filter(([id]) => !next.has(id)).map(([, { key }]) => key);
}

function metaWrites(transaction: Transaction, before: Snapshot, next: Snapshot): Write[] {
  const meta = transaction.objectStore('meta');
  const values: [string, unknown][] = [
    ['revision', next.revision],
    ['writer', next.writer],
  ];
  if (next.storeId !== before.storeId) values.push(['store id', next.storeId]);
  if (next.settings !== before.settings) values.push(['settings', next.settings]);
  if (next.order !== before.order) values.push(['order', next.order]);
  if (next.drafts !== before.drafts) values.push(['drafts', next.drafts]);
  // What could not be read is copied beside before something readable takes its place.
  if (next.unreadMeta !== before.unreadMeta) {
    for (const [key, raw] of before.unreadMeta) values.push([`${key}, kept aside at revision ${next.revision}`, raw]);
  }
  return values.map(
    ([key, value]) =>
      () =>
        meta.put(value, key),
  );
}

function abort(transaction: Transaction): void {
  try {
    transaction.abort();
  } catch {
    // The error itself has ended it.
  }
}

/** The record's own key; beside it where an unreadable record stands under that key, which must not be touched. */
function keyFor(store: 'builds' | 'maps', id: string, snapshot: Snapshot): string {
  const known = snapshot[store].get(id)?.key;
  if (known !== undefined) return known;
  let key = id;
  for (let n = 2; snapshot.untouchable.has(`${store}/${key}`); n += 1) key = `${id} #${n}`;
  return key;
}

function orderOf({ buildOrder, activeBuildId, shelfOrder }: Workspace, known: StoredOrder | null): StoredOrder {
  const order = { buildOrder, activeBuildId, shelfOrder };
  return known !== null && sameContent(known, order) ? known : order;
}
