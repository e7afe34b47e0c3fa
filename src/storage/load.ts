import { type DBSchema, type IDBPDatabase, openDB } from 'idb';
import {
  type Build,
  type BuildFile,
  defaultBuild,
  defaultSettings,
  fileToBuild,
  type MapDraft,
  type Parsed,
  type Problem,
  parseBuildFile,
  parseSettings,
  parseStoredMap,
  type Settings,
  sameContent,
  sharingMaps,
  type Workspace,
} from '../build/index.ts';

export const DATABASE_NAME = 'lugline';
/** 2: pictures of sheets. */
const DATABASE_VERSION = 2;
/** A database that does not open in this time is taken for blocked; the page must not wait for ever. */
const OPEN_WITHIN_MS = 4000;

/** A stored build; `revision` is the count of savings at which it was last written. */
export interface BuildRecord {
  revision: number;
  file: BuildFile;
}

export interface MapRecord {
  revision: number;
  version: 1;
  draft: MapDraft;
}

/** A picture of a sheet; `unusedSince` in ms from when on no stored map was found to need it. */
export interface PictureRecord {
  bytes: Blob;
  unusedSince?: number | undefined;
}

export interface LuglineSchema extends DBSchema {
  builds: { key: string; value: BuildRecord };
  maps: { key: string; value: MapRecord };
  pictures: { key: string; value: PictureRecord };
  /** 'revision', 'order', 'settings', 'drafts', 'backup time', 'backup file'. */
  meta: { key: string; value: unknown };
}

export type LuglineDatabase = IDBPDatabase<LuglineSchema>;

export type OpenedDatabase = { ok: true; database: LuglineDatabase } | { ok: false; message: string };

export interface OpenOptions {
  name?: string;
  withinMs?: number;
  /** Called when this page must let go: a newer version wants the database, or the browser closed it. */
  onLost?: (message: string) => void;
}

/** Where site data is forbidden by policy, even asking for the name throws. */
function offersStorage(): boolean {
  try {
    return typeof indexedDB !== 'undefined';
  } catch {
    return false;
  }
}

/** Opens the browser's database, or says in plain words why nothing can be stored. Never throws and never hangs. */
export async function openDatabase(options: OpenOptions = {}): Promise<OpenedDatabase> {
  if (!offersStorage()) {
    return { ok: false, message: 'This browser offers no storage to the page (private window, or switched off).' };
  }
  let blocked = false;
  let timer: ReturnType<typeof setTimeout> | undefined;
  try {
    const opening = openDB<LuglineSchema>(options.name ?? DATABASE_NAME, DATABASE_VERSION, {
      upgrade(database, from) {
        if (from < 1) {
          database.createObjectStore('builds');
          database.createObjectStore('maps');
          database.createObjectStore('meta');
        }
        if (from < 2) database.createObjectStore('pictures');
      },
      blocked() {
        blocked = true;
      },
      blocking(_current, _wanted, event) {
        (event.target as IDBDatabase).close();
        options.onLost?.('A newer Lugline is open in another window. Reload this page to go on storing.');
      },
      terminated() {
        options.onLost?.('The browser closed the storage. Reload the page; save a file first if it was not saved.');
      },
    });
    const late = new Promise<null>((resolve) => {
      timer = setTimeout(() => resolve(null), options.withinMs ?? OPEN_WITHIN_MS);
    });
    const database = await Promise.race([opening, late]);
    if (database !== null) return { ok: true, database };
    // If it opens after all, let go of it: this page has gone on without.
    opening.then((lateDatabase) => lateDatabase.close()).catch(() => undefined);
    return { ok: false, message: lateMessage(blocked) };
  } catch (error) {
    return { ok: false, message: openMessage(error) };
  } finally {
    clearTimeout(timer);
  }
}

function lateMessage(blocked: boolean): string {
  return blocked
    ? 'Another window with an older Lugline holds the storage. Close it and reload this page.'
    : 'The browser does not answer when asked for storage. Reload the page, or restart the browser.';
}

function openMessage(error: unknown): string {
  const name = error instanceof Error ? error.name : '';
  if (name === 'VersionError') return 'The data was stored by a newer Lugline. Reload the page to get it.';
  if (name === 'QuotaExceededError') return 'The browser has no room left for this page.';
  return 'The browser does not let this page store anything (private window, or storage is switched off).';
}

/** What is kept between visits. */
export interface StoredState {
  workspace: Workspace;
  /** Unread texts of fields, by the field's place. */
  drafts: Readonly<Record<string, string>>;
}

/** A record that could not be read: left in the database as it is, and offered as a file. */
export interface KeptAside {
  store: 'builds' | 'maps' | 'meta';
  key: string;
  /** Its name, where even that can be read. */
  name: string | null;
  problems: readonly Problem[];
  raw: unknown;
}

interface Known<T> {
  key: string;
  revision: number;
  object: T;
}

/** What this page knows to stand in the database: changes are found by comparing objects with it. */
export interface Snapshot {
  revision: number;
  builds: ReadonlyMap<string, Known<Build>>;
  maps: ReadonlyMap<string, Known<MapDraft>>;
  order: StoredOrder | null;
  settings: Settings | null;
  drafts: Readonly<Record<string, string>> | null;
  /** Keys that hold something unreadable, as 'builds/<key>': never written and never deleted. */
  untouchable: ReadonlySet<string>;
  /** Unreadable meta records: copied beside before they are written. */
  unreadMeta: ReadonlyMap<string, unknown>;
}

export interface StoredOrder {
  buildOrder: readonly string[];
  activeBuildId: string;
  shelfOrder: readonly string[];
}

export const emptySnapshot: Snapshot = {
  revision: 0,
  builds: new Map(),
  maps: new Map(),
  order: null,
  settings: null,
  drafts: null,
  untouchable: new Set(),
  unreadMeta: new Map(),
};

export interface LoadedState {
  /** null: nothing is stored yet. */
  state: StoredState | null;
  keptAside: readonly KeptAside[];
  snapshot: Snapshot;
}

interface RawRecords {
  builds: Map<string, unknown>;
  maps: Map<string, unknown>;
  meta: Map<string, unknown>;
}

/**
 * Reads everything, each record through the parsers of the document. What cannot be read stays where it is and is reported.
 * Records that `known` already holds at the same revision are not read again: they stay the same objects.
 */
export async function loadState(
  database: LuglineDatabase,
  freshId: () => string,
  known: Snapshot = emptySnapshot,
): Promise<LoadedState> {
  const raw = await readAll(database);
  const keptAside: KeptAside[] = [];
  const builds = readRecords('builds', raw.builds, known.builds, readBuild, keptAside);
  const maps = readRecords('maps', raw.maps, known.maps, readMap, keptAside);
  const order = readOrder(raw.meta.get('order'), known.order);
  const settings = raw.meta.has('settings') ? parseSettings(raw.meta.get('settings')) : null;
  const unreadMeta = new Map<string, unknown>();
  if (settings !== null && !settings.ok) {
    unreadMeta.set('settings', raw.meta.get('settings'));
    keptAside.push({
      store: 'meta',
      key: 'settings',
      name: 'Settings',
      problems: settings.problems,
      raw: raw.meta.get('settings'),
    });
  }
  const drafts = readDrafts(raw.meta.get('drafts'), known.drafts);
  const isEmpty = raw.builds.size === 0 && raw.maps.size === 0;
  const snapshot: Snapshot = {
    revision: revisionOf(raw.meta.get('revision')),
    builds,
    maps,
    order,
    settings: settings?.ok ? settings.value : null,
    drafts,
    untouchable: new Set(keptAside.map((record) => `${record.store}/${record.key}`)),
    unreadMeta,
  };
  if (isEmpty) return { state: null, keptAside, snapshot };
  const workspace = assemble(snapshot, freshId);
  return { state: { workspace, drafts: drafts ?? {} }, keptAside, snapshot: sharingWith(workspace, snapshot) };
}

/** The snapshot with the very objects of the workspace where their content is what is stored: only changes are written later. */
function sharingWith(workspace: Workspace, snapshot: Snapshot): Snapshot {
  const builds = new Map(snapshot.builds);
  for (const [id, entry] of snapshot.builds) {
    const object = workspace.builds[id];
    if (object !== undefined && object !== entry.object && sameContent(object, entry.object))
      builds.set(id, { ...entry, object });
  }
  return { ...snapshot, builds };
}

async function readAll(database: LuglineDatabase): Promise<RawRecords> {
  const transaction = database.transaction(['builds', 'maps', 'meta'], 'readonly');
  const read = async (name: 'builds' | 'maps' | 'meta') => {
    const store = transaction.objectStore(name);
    const [keys, values] = await Promise.all([store.getAllKeys(), store.getAll()]);
    return new Map<string, unknown>(keys.map((key, i) => [key, values[i]]));
  };
  const [builds, maps, meta] = await Promise.all([read('builds'), read('maps'), read('meta')]);
  await transaction.done;
  return { builds, maps, meta };
}

function readRecords<T extends { id: string; name: string }>(
  store: 'builds' | 'maps',
  raw: ReadonlyMap<string, unknown>,
  known: ReadonlyMap<string, { key: string; revision: number; object: T }>,
  read: (record: unknown) => Parsed<T>,
  keptAside: KeptAside[],
) {
  const byKey = new Map([...known.values()].map((entry) => [entry.key, entry]));
  const found = new Map<string, { key: string; revision: number; object: T }>();
  for (const [key, record] of raw) {
    const revision = revisionOf((record as { revision?: unknown } | null)?.revision);
    const before = byKey.get(key);
    if (before !== undefined && before.revision === revision) {
      found.set(before.object.id, before);
      continue;
    }
    const parsed = read(record);
    if (parsed.ok && !found.has(parsed.value.id)) found.set(parsed.value.id, { key, revision, object: parsed.value });
    else {
      const problems = parsed.ok ? [{ path: 'id', message: 'Another record has the same id.' }] : parsed.problems;
      keptAside.push({ store, key, name: nameOf(record), problems, raw: record });
    }
  }
  return found;
}

function readBuild(record: unknown): Parsed<Build> {
  const parsed = parseBuildFile((record as { file?: unknown } | null)?.file);
  return parsed.ok ? { ...parsed, value: fileToBuild(parsed.value) } : parsed;
}

function readMap(record: unknown): Parsed<MapDraft> {
  const { version, draft } = (record ?? {}) as { version?: unknown; draft?: unknown };
  if (typeof version === 'number' && version > 1) {
    const message = `This map was stored by a newer Lugline (version ${version}). Open it with that one.`;
    return { ok: false, problems: [{ path: 'version', message }] };
  }
  return parseStoredMap(draft);
}

function nameOf(record: unknown): string | null {
  const { file, draft } = (record ?? {}) as { file?: { name?: unknown } | null; draft?: { name?: unknown } | null };
  const name = file?.name ?? draft?.name;
  return typeof name === 'string' && name !== '' ? name : null;
}

function revisionOf(value: unknown): number {
  return typeof value === 'number' && Number.isInteger(value) && value >= 0 ? value : 0;
}

function readOrder(value: unknown, known: StoredOrder | null): StoredOrder | null {
  if (typeof value !== 'object' || value === null) return null;
  const { buildOrder, activeBuildId, shelfOrder } = value as Record<string, unknown>;
  const texts = (list: unknown) => (Array.isArray(list) ? list.filter((id) => typeof id === 'string') : []);
  const order: StoredOrder = {
    buildOrder: texts(buildOrder),
    activeBuildId: typeof activeBuildId === 'string' ? activeBuildId : '',
    shelfOrder: texts(shelfOrder),
  };
  return known !== null && JSON.stringify(known) === JSON.stringify(order) ? known : order;
}

function readDrafts(value: unknown, known: Snapshot['drafts']): Snapshot['drafts'] {
  if (typeof value !== 'object' || value === null) return null;
  const texts = Object.entries(value).filter((entry): entry is [string, string] => typeof entry[1] === 'string');
  const drafts = Object.fromEntries(texts);
  return known !== null && JSON.stringify(known) === JSON.stringify(drafts) ? known : drafts;
}

/** Records and order to a workspace: what the order does not name stands at the end, what is not there is passed over. */
function assemble(snapshot: Snapshot, freshId: () => string): Workspace {
  const builds: Record<string, Build> = Object.fromEntries(
    [...snapshot.builds].map(([id, { object }]) => [id, object]),
  );
  const shelf = Object.fromEntries([...snapshot.maps].map(([id, { object }]) => [id, object]));
  if (Object.keys(builds).length === 0) {
    const id = freshId();
    builds[id] = defaultBuild(id);
  }
  const buildOrder = inOrder(snapshot.order?.buildOrder ?? [], Object.keys(builds));
  const active = snapshot.order?.activeBuildId ?? '';
  const workspace: Workspace = {
    builds,
    buildOrder,
    activeBuildId: builds[active] === undefined ? (buildOrder[0] ?? '') : active,
    shelf,
    shelfOrder: inOrder(snapshot.order?.shelfOrder ?? [], Object.keys(shelf)),
    settings: snapshot.settings ?? defaultSettings,
  };
  return sharingMaps(workspace, freshId);
}

function inOrder(order: readonly string[], ids: readonly string[]): string[] {
  const present = new Set(ids);
  const known = [...new Set(order)].filter((id) => present.has(id));
  const named = new Set(known);
  return [...known, ...ids.filter((id) => !named.has(id))];
}
