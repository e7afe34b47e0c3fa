import type { IDBPTransaction } from 'idb';
import { type Build, buildToFile, type MapDraft, sameContent, type Workspace } from '../build/index.ts';
import type { BuildRecord, LuglineDatabase, LuglineSchema, MapRecord } from './database.ts';
import type { Known } from './load.ts';
import { revisionOf, type Snapshot, type StoredOrder, type StoredState } from './load.ts';
import { resealed, SEALS, sealOf } from './seals.ts';

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
  const records = newRecords(next);
  const seals = newSeals(records, snapshot, next);
  const transaction = database.transaction(['builds', 'maps', 'meta'], 'readwrite', { durability: 'relaxed' });
  // A failing request aborts the transaction; it is reported once, by the throw below.
  transaction.done.catch(() => undefined);
  try {
    const meta = transaction.objectStore('meta');
    const [revision, storeId = null, stored] = await Promise.all(
      ['revision', 'store id', SEALS].map((key) => meta.get(key)),
    );
    const isKnown = revisionOf(revision) === snapshot.revision && storeId === snapshot.storeId;
    if (!isKnown) return { ok: false, reason: 'changed-elsewhere' };
    await runAll([
      ...recordWrites(transaction, records, snapshot, next),
      ...metaWrites(transaction, snapshot, next),
      () => meta.put(resealed(stored, seals.made, seals.gone), SEALS),
    ]);
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

/** The records that are new in `next`, each with its store and key. */
function newRecords({ builds, maps, revision }: Snapshot) {
  const isNew = (entry: { revision: number }) => entry.revision === revision;
  return {
    builds: [...builds.values()]
      .filter(isNew)
      .map(({ key, object }): [string, BuildRecord] => [key, { revision, file: buildToFile(object) }]),
    maps: [...maps.values()]
      .filter(isNew)
      .map(({ key, object }): [string, MapRecord] => [key, { revision, version: 1, draft: object }]),
  };
}

function recordWrites(
  transaction: Transaction,
  { builds, maps }: ReturnType<typeof newRecords>,
  before: Snapshot,
  next: Snapshot,
): Write[] {
  const buildStore = transaction.objectStore('builds');
  const mapStore = transaction.objectStore('maps');
  return [
    ...builds.map(
      ([key, record]) =>
        () =>
          buildStore.put(record, key),
    ),
    ...maps.map(
      ([key, record]) =>
        () =>
          mapStore.put(record, key),
    ),
    ...goneKeys(before.builds, next.builds).map((key) => () => buildStore.delete(key)),
    ...goneKeys(before.maps, next.maps).map((key) => () => mapStore.delete(key)),
  ];
}

/** Seals of what is written, and the places of what goes. */
function newSeals({ builds, maps }: ReturnType<typeof newRecords>, before: Snapshot, next: Snapshot) {
  const written: [place: string, record: unknown][] = [
    ...builds.map(([key, record]): [string, unknown] => [`builds/${key}`, record]),
    ...maps.map(([key, record]): [string, unknown] => [`maps/${key}`, record]),
    ...(next.settings === before.settings ? [] : [['meta/settings', next.settings] as [string, unknown]]),
  ];
  return {
    made: written.map(([place, record]) => [place, sealOf(place, record)] as const),
    gone: [
      ...goneKeys(before.builds, next.builds).map((key) => `builds/${key}`),
      ...goneKeys(before.maps, next.maps).map((key) => `maps/${key}`),
    ],
  };
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
