import {
  arranged,
  type Build,
  defaultBuild,
  defaultSettings,
  fileToBuild,
  type MapDraft,
  type Parsed,
  type Problem,
  type Settings,
  sameContent,
  sharingMaps,
  type Workspace,
} from '../build/index.ts';
import { whenIdle } from './browser.ts';
import type { BuildRecord, LuglineDatabase, MapRecord } from './database.ts';
import { SEALS, type Seals, sealOf, sealPassed, sealsIn } from './seals.ts';

/** What is kept between visits. */
export interface StoredState {
  workspace: Workspace;
  /** Unread texts of fields, by the field's place. */
  drafts: Readonly<Record<string, string>>;
}

/** A record that could not be read: left in the database as it is, and offered as a file. */
export interface KeptAside {
  store: 'builds' | 'maps' | 'meta' | 'note';
  key: string;
  /** Its name, where even that can be read. */
  name: string | null;
  problems: readonly Problem[];
  raw: unknown;
}

/** A stored object with the key that it stands under and the count of savings at which it was written. */
export interface Known<T> {
  key: string;
  revision: number;
  object: T;
}

/** What this page knows to stand in the database: changes are found by comparing objects with it. */
export interface Snapshot {
  revision: number;
  /** Made with the database: another one here means that it was cleared and made anew. null: stored before there were such ids. */
  storeId: string | null;
  /** The window that saved last. */
  writer: string | null;
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

export type StoredOrder = Pick<Workspace, 'buildOrder' | 'activeBuildId' | 'shelfOrder'>;

export const emptySnapshot: Snapshot = {
  revision: 0,
  storeId: null,
  writer: null,
  builds: new Map(),
  maps: new Map(),
  order: null,
  settings: null,
  drafts: null,
  untouchable: new Set(),
  unreadMeta: new Map(),
};

/** A state as if it were stored: of it, only what is changed is put down. */
export function asSnapshot({ workspace: { builds, shelf, settings }, drafts }: StoredState): Snapshot {
  const entries = <T>(objects: Readonly<Record<string, T>>) =>
    new Map(Object.entries(objects).map(([id, object]) => [id, { key: id, revision: 0, object }]));
  return { ...emptySnapshot, builds: entries(builds), maps: entries(shelf), settings, drafts };
}

/** False where the database was cleared since `known` was read. */
export function isSameStore(known: Snapshot, found: Pick<Snapshot, 'storeId' | 'revision'>): boolean {
  return known.storeId === null ? found.revision >= known.revision : found.storeId === known.storeId;
}

/** Whether nobody has saved since `known` was read. */
export function isKnown(known: Snapshot, loaded: Snapshot): boolean {
  return isSameStore(known, loaded) && known.revision === loaded.revision;
}

export interface LoadedState {
  /** null: nothing is stored yet. */
  state: StoredState | null;
  keptAside: readonly KeptAside[];
  snapshot: Snapshot;
}

/** Reads what no seal vouches for, through the parsers of the document. */
interface RecordGate {
  readBuild(record: unknown): Parsed<Build>;
  readMap(record: unknown): Parsed<MapDraft>;
  readSettings(record: unknown): Parsed<Settings>;
}

export interface LoadOptions {
  freshId: () => string;
  /** Asked only where there is something that no seal vouches for; what it throws, `loadState` throws. */
  gate: () => Promise<RecordGate>;
  /** Records that stand here at the same revision are not read again: they stay the same objects. */
  lastKnown?: Snapshot;
}

/**
 * Reads everything, each record by its seal or through the gate. What cannot be read stays where it is and is reported. What passed the
 * gate as it stands is sealed for the next visit.
 */
export async function loadState(
  database: LuglineDatabase,
  { freshId, gate, lastKnown = emptySnapshot }: LoadOptions,
): Promise<LoadedState> {
  const raw = await readAll(database);
  const revision = revisionOf(raw.meta.get('revision'));
  const storeId = textOf(raw.meta.get('store id'));
  const known = isSameStore(lastKnown, { revision, storeId }) ? lastKnown : emptySnapshot;
  const reading = { seals: sealsIn(raw.meta.get(SEALS)), passed: new Map<string, unknown>() };
  const keptAside: KeptAside[] = [];
  const builds = await readRecords('builds', raw.builds, known.builds, keptAside, (key, record) =>
    bySealOrGate(reading, `builds/${key}`, record, storedBuild, async () => (await gate()).readBuild(record)),
  );
  const maps = await readRecords('maps', raw.maps, known.maps, keptAside, (key, record) =>
    bySealOrGate(reading, `maps/${key}`, record, storedMap, async () => (await gate()).readMap(record)),
  );
  const order = readOrder(raw.meta.get('order'), known.order);
  const rawSettings = raw.meta.get('settings');
  const settings = !raw.meta.has('settings')
    ? null
    : await bySealOrGate(reading, 'meta/settings', rawSettings, storedSettings, async () =>
        (await gate()).readSettings(rawSettings),
      );
  const unreadMeta = new Map<string, unknown>();
  if (settings !== null && !settings.ok) {
    unreadMeta.set('settings', rawSettings);
    keptAside.push({
      store: 'meta',
      key: 'settings',
      name: 'Settings',
      problems: settings.problems,
      raw: rawSettings,
    });
  }
  if (reading.passed.size > 0) whenIdle(() => void sealPassed(database, reading.passed));
  const drafts = readDrafts(raw.meta.get('drafts'), known.drafts);
  const isEmpty = raw.builds.size === 0 && raw.maps.size === 0;
  const snapshot: Snapshot = {
    revision,
    storeId,
    writer: textOf(raw.meta.get('writer')),
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

interface Reading {
  seals: Seals;
  /** What the gate let through just as it stands: it may be sealed. */
  passed: Map<string, unknown>;
}

/** A record that its seal vouches for is taken `asStored`, any other one is shown to the gate. */
async function bySealOrGate<T>(
  { seals, passed }: Reading,
  place: string,
  record: unknown,
  asStored: (record: unknown) => T,
  throughGate: () => Promise<Parsed<T>>,
): Promise<Parsed<T>> {
  if (seals.get(place) === sealOf(place, record)) return { ok: true, value: asStored(record), notes: [] };
  const parsed = await throughGate();
  if (parsed.ok && sameContent(parsed.value, asStored(record))) passed.set(place, record);
  return parsed;
}

const storedBuild = (record: unknown): Build => fileToBuild((record as BuildRecord).file);
const storedMap = (record: unknown): MapDraft => (record as MapRecord).draft;
const storedSettings = (record: unknown): Settings => record as Settings;

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

async function readAll(database: LuglineDatabase): Promise<Record<'builds' | 'maps' | 'meta', Map<string, unknown>>> {
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

async function readRecords<T extends { id: string; name: string }>(
  store: 'builds' | 'maps',
  raw: ReadonlyMap<string, unknown>,
  known: ReadonlyMap<string, Known<T>>,
  keptAside: KeptAside[],
  read: (key: string, record: unknown) => Promise<Parsed<T>>,
) {
  const byKey = new Map([...known.values()].map((entry) => [entry.key, entry]));
  const found = new Map<string, Known<T>>();
  for (const [key, record] of raw) {
    const revision = revisionOf((record as { revision?: unknown } | null)?.revision);
    const before = byKey.get(key);
    if (before !== undefined && before.revision === revision) {
      found.set(before.object.id, before);
      continue;
    }
    const parsed = await read(key, record);
    if (parsed.ok && !found.has(parsed.value.id)) found.set(parsed.value.id, { key, revision, object: parsed.value });
    else {
      const problems = parsed.ok ? [{ path: 'id', message: 'Another record has the same id.' }] : parsed.problems;
      keptAside.push({ store, key, name: nameOf(record), problems, raw: record });
    }
  }
  return found;
}

function nameOf(record: unknown): string | null {
  const { file, draft } = (record ?? {}) as { file?: { name?: unknown } | null; draft?: { name?: unknown } | null };
  const name = file?.name ?? draft?.name;
  return typeof name === 'string' && name !== '' ? name : null;
}

export function textOf(value: unknown): string | null {
  return typeof value === 'string' ? value : null;
}

/** The count of savings, 0 where none can be read. */
export function revisionOf(value: unknown): number {
  return typeof value === 'number' && Number.isInteger(value) && value >= 0 && value < 2 ** 52 ? value : 0;
}

function readOrder(value: unknown, known: StoredOrder | null): StoredOrder | null {
  if (typeof value !== 'object' || value === null) return null;
  const { buildOrder, activeBuildId, shelfOrder } = value as Record<string, unknown>;
  const order: StoredOrder = {
    buildOrder: textsOf(buildOrder),
    activeBuildId: textOf(activeBuildId) ?? '',
    shelfOrder: textsOf(shelfOrder),
  };
  return known !== null && sameContent(known, order) ? known : order;
}

function readDrafts(value: unknown, known: Snapshot['drafts']): Snapshot['drafts'] {
  if (typeof value !== 'object' || value === null) return null;
  const texts = Object.entries(value).filter((entry): entry is [string, string] => typeof entry[1] === 'string');
  const drafts = Object.fromEntries(texts);
  return known !== null && sameContent(known, drafts) ? known : drafts;
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
  const order = snapshot.order ?? { buildOrder: [], activeBuildId: '', shelfOrder: [] };
  const workspace = arranged({ builds, shelf }, order, [order.activeBuildId]);
  return sharingMaps({ ...workspace, settings: snapshot.settings ?? defaultSettings }, freshId);
}

/** The texts of a list of whatever kind. */
export function textsOf(value: unknown): string[] {
  return Array.isArray(value) ? value.filter((text) => typeof text === 'string') : [];
}
