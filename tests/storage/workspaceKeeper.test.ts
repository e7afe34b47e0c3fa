import { openDB } from 'idb';
import { afterEach, beforeEach, describe, expect, test, vi } from 'vitest';
import type { Workspace } from '../../src/build/index.ts';
import {
  assignMap,
  type Change,
  changeSettings,
  deleteBuild,
  duplicateBuild,
  editMap,
  emptyMap,
  importMap,
  newBuild,
  renameBuild,
  setBuildField,
  workspaceOf,
} from '../../src/build/index.ts';
import type { StoredState } from '../../src/storage/index.ts';
import { buildWithMap } from '../build/anyChange.ts';
import { tinyDraft } from '../build/tinyMap.ts';
import { BOUND_TO_COME, freshProfile, openWindow, storedNow, type Window } from './browserStorage.ts';

const start: StoredState = { workspace: workspaceOf([buildWithMap('first')]), drafts: {} };
const altitude = (text: string) => setBuildField('air.altitude', { text, unit: 'm' });

const open: Window[] = [];
async function page(answersWithinMs?: number): Promise<Window> {
  const window = await openWindow(answersWithinMs);
  open.push(window);
  return window;
}

async function save(window: Window, state: StoredState): Promise<void> {
  window.keeper.changed(state);
  await window.keeper.flush();
}

function changedBy(state: StoredState, ...changes: Change[]): StoredState {
  return { ...state, workspace: changes.reduce<Workspace>((w, change) => change.perform(w), state.workspace) };
}

/** What all windows have in common; each has its own build open. */
function common(state: StoredState | null) {
  const { activeBuildId: _, ...workspace } = state?.workspace ?? {};
  return { workspace, drafts: state?.drafts };
}

/** Lets windows hear each other and finish what they began: until all of them show what is stored, and still do after another save of each. */
async function settle(): Promise<void> {
  await vi.waitFor(async () => {
    for (let round = 0; round < 2; round += 1) {
      for (const { keeper } of open) await keeper.flush();
      const stored = common(await storedNow());
      for (const { shown } of open) expect(common(shown)).toEqual(stored);
    }
  }, BOUND_TO_COME);
}

beforeEach(freshProfile);
afterEach(() => {
  for (const { keeper } of open.splice(0)) keeper.close();
  vi.restoreAllMocks();
});

async function raw(): Promise<Record<string, unknown[]>> {
  const database = await openDB('lugline');
  const result: Record<string, unknown[]> = {};
  for (const store of ['builds', 'maps', 'meta']) result[store] = await database.getAll(store);
  database.close();
  return result;
}

describe('between visits', () => {
  test('an empty profile has nothing stored; after saving, a reload restores everything', async () => {
    const first = await page();
    expect(first.loaded).toBeNull();
    const end = changedBy(
      { ...start, drafts: { 'first/air.altitude': '12x' } },
      newBuild('second', 'Second'),
      importMap(tinyDraft('spare-map', 'Spare'), 'unused'),
      assignMap('second-a', 'spare-map'),
      duplicateBuild('first', 'third'),
      altitude('2050'),
      changeSettings({ theme: 'dark', flowAxisUnit: 'cfm', resultUnits: { power: 'hp' } }),
    );
    await save(first, end);
    expect(first.status).toMatchObject({ mode: 'stored', problem: null, saving: false });
    const again = await page();
    expect(again.loaded).toEqual(end);
    expect(again.keptAside).toEqual([]);
  });

  test('after a reload candidates share the very map of the shelf, so that editing it edits them', async () => {
    await save(await page(), start);
    const { loaded } = await page();
    const workspace = loaded?.workspace as Workspace;
    const onShelf = workspace.shelf['first-map'];
    expect(onShelf).toBeDefined();
    for (const { map } of workspace.builds.first?.candidates ?? []) expect(map).toBe(onShelf);
    const edited = editMap('first-map', (map) => ({ ...map, source: 'read again' })).perform(workspace);
    expect(edited.builds.first?.candidates[1]?.map?.source).toBe('read again');
  });

  test('a map deleted from the shelf stays in the builds that use it, over a reload', async () => {
    const { [String('first-map')]: _gone, ...shelf } = start.workspace.shelf;
    await save(await page(), { ...start, workspace: { ...start.workspace, shelf, shelfOrder: [] } });
    const { loaded } = await page();
    expect(loaded?.workspace.shelf).toEqual({});
    expect(loaded?.workspace.builds.first?.candidates[0]?.map?.name).toBe('Tiny test map');
  });

  test('only what changed is written', async () => {
    const window = await page();
    await save(window, changedBy(start, newBuild('second')));
    const reloaded = await page();
    const before = await raw();
    const put = vi.spyOn(IDBObjectStore.prototype, 'put');
    await save(reloaded, changedBy(reloaded.loaded as StoredState, altitude('1')));
    const written = put.mock.contexts.map((store) => (store as IDBObjectStore).name);
    expect(written.filter((name) => name === 'builds')).toHaveLength(1);
    expect(written.filter((name) => name === 'maps')).toHaveLength(0);
    expect((await raw()).builds).toHaveLength(before.builds?.length ?? 0);
    put.mockClear();
    await reloaded.keeper.flush();
    expect(put).not.toHaveBeenCalled();
  });

  test('a deleted build is gone after a reload', async () => {
    const window = await page();
    const two = changedBy(start, newBuild('second'));
    await save(window, two);
    await save(window, changedBy(two, deleteBuild('first', 'spare')));
    expect(Object.keys((await page()).loaded?.workspace.builds ?? {})).toEqual(['second']);
  });
});

describe('timing', () => {
  beforeEach(() => void vi.useFakeTimers({ toFake: ['setTimeout', 'clearTimeout', 'Date'] }));
  afterEach(() => void vi.useRealTimers());

  test('a change is saved within a second, also when typing does not stop', async () => {
    const window = await page();
    let state = start;
    window.keeper.changed(state);
    const startedAt = Date.now();
    const saving = () => window.reports.filter((report) => report.saving === true).length;
    for (let i = 0; saving() === 0; i += 1) {
      state = changedBy(state, altitude(String(i)));
      window.keeper.changed(state);
      await vi.advanceTimersByTimeAsync(50);
      expect(Date.now() - startedAt).toBeLessThan(1000);
    }
    expect(Date.now() - startedAt).toBeGreaterThan(500);
  });

  test('a single change is saved after a short quiet, and not before', async () => {
    const window = await page();
    window.keeper.changed(start);
    await vi.advanceTimersByTimeAsync(250);
    expect(window.reports.some((report) => report.saving === true)).toBe(false);
    await vi.advanceTimersByTimeAsync(100);
    expect(window.reports.some((report) => report.saving === true)).toBe(true);
  });
});

describe('damage and trouble', () => {
  async function damage(store: string, key: string, value: unknown): Promise<void> {
    const database = await openDB('lugline');
    await database.put(store, value, key);
    database.close();
  }

  test('a damaged build is reported, offered and never overwritten or deleted; the rest opens', async () => {
    await save(await page(), changedBy(start, newBuild('second')));
    const broken = {
      revision: 1,
      file: { format: 'lugline-build', version: 1, id: 'second', name: 'Second', engine: 7 },
    };
    await damage('builds', 'second', broken);
    const window = await page();
    expect(window.loaded?.workspace.buildOrder).toEqual(['first']);
    expect(window.keptAside).toHaveLength(1);
    expect(window.keptAside[0]).toMatchObject({ store: 'builds', key: 'second', name: 'Second', raw: broken });
  });

  test('an id that an unreadable record holds is stored beside it', async () => {
    await save(await page(), start);
    const broken = { revision: 9, version: 2, draft: { from: 'a later version' } };
    await damage('maps', 'first-map', broken);
    const window = await page();
    expect(window.keptAside[0]?.problems[0]?.message).toContain('newer Lugline');
    const state = changedBy(window.loaded as StoredState, importMap(tinyDraft('first-map'), 'fresh'));
    await save(window, state);
    const stored = (await raw()).maps;
    expect(stored).toContainEqual(broken);
    expect(stored).toHaveLength(2);
    const again = await page();
    expect(again.loaded?.workspace.shelf['first-map']).toEqual(tinyDraft('first-map'));
    expect(again.keptAside).toHaveLength(1);
  });

  test('unreadable settings give the usual ones and are copied before they are written over', async () => {
    await save(await page(), start);
    await damage('meta', 'settings', { theme: 'neon' });
    const window = await page();
    expect(window.keptAside[0]).toMatchObject({ store: 'meta', key: 'settings' });
    expect(window.loaded?.workspace.settings.theme).toBe('system');
    await save(window, changedBy(window.loaded as StoredState, changeSettings({ theme: 'dark' })));
    expect((await raw()).meta).toContainEqual({ theme: 'neon' });
    expect((await page()).loaded?.workspace.settings.theme).toBe('dark');
  });

  test('with every build unreadable a new one is opened and the old ones stay', async () => {
    await save(await page(), start);
    await damage('builds', 'first', 'nonsense');
    const window = await page();
    expect(window.loaded?.workspace.buildOrder).toHaveLength(1);
    await save(window, changedBy(window.loaded as StoredState, altitude('5')));
    expect((await raw()).builds).toContain('nonsense');
  });

  test('with no room left it goes on in memory, says so, and stores again when there is room', async () => {
    const window = await page();
    await save(window, start);
    const put = vi.spyOn(IDBObjectStore.prototype, 'put').mockImplementation(() => {
      throw new DOMException('full', 'QuotaExceededError');
    });
    const changed = changedBy(start, altitude('5'));
    await save(window, changed);
    expect(window.status.mode).toBe('memory');
    expect(window.status.problem).toContain('no room left');
    put.mockRestore();
    expect((await page()).loaded).toEqual(start);
    const more = changedBy(changed, altitude('6'));
    await save(window, more);
    expect(window.status).toMatchObject({ mode: 'stored', problem: null });
    expect((await page()).loaded).toEqual(more);
  });

  test('a save that fails half way leaves what was stored before, whole', async () => {
    const window = await page();
    await save(window, start);
    const real = IDBObjectStore.prototype.put;
    let calls = 0;
    vi.spyOn(IDBObjectStore.prototype, 'put').mockImplementation(function (this: IDBObjectStore, value, key) {
      calls += 1;
      if (calls === 2) throw new DOMException('no', 'DataCloneError');
      return real.call(this, value, key);
    });
    await save(window, changedBy(start, altitude('5'), newBuild('second'), renameBuild('first', 'Other')));
    expect(window.status.mode).toBe('memory');
    vi.restoreAllMocks();
    expect((await page()).loaded).toEqual(start);
  });

  test('without storage, with storage refused, or blocked by another window it opens in memory and says why', async () => {
    const real = globalThis.indexedDB;
    // A browser without storage.
    Reflect.set(globalThis, 'indexedDB', undefined);
    const none = await page();
    expect(none.status).toMatchObject({ mode: 'memory' });
    expect(none.status.problem).toContain('private window');
    globalThis.indexedDB = real;
    vi.spyOn(indexedDB, 'open').mockImplementationOnce(() => {
      throw new DOMException('denied', 'SecurityError');
    });
    expect((await page()).status).toMatchObject({ mode: 'memory' });
    const holder = await openDB('lugline', 1);
    const deletion = indexedDB.deleteDatabase('lugline');
    const hanging = await page(50);
    expect(hanging.status).toMatchObject({ mode: 'memory', waitingSince: expect.any(Number) });
    expect(hanging.loaded).toBeNull();
    hanging.keeper.changed(start);
    holder.close();
    await new Promise((resolve) => deletion.addEventListener('success', resolve));
    await hanging.keeper.flush();
    expect(hanging.status).toMatchObject({ mode: 'stored', waitingSince: null });
    expect(await storedNow()).toEqual(start);
  });

  test('a database of a newer program is left alone', async () => {
    const newer = await openDB('lugline', 7);
    newer.close();
    const window = await page();
    expect(window.status.mode).toBe('memory');
    expect(window.status.problem).toContain('newer Lugline');
  });
});

describe('several windows', () => {
  test('what one window saves the other shows, and its steps of undo are kept when only the order differs', async () => {
    const a = await page();
    await save(a, start);
    const b = await page();
    const higher = changedBy(start, altitude('1234'));
    await save(a, higher);
    await settle();
    expect(b.adopted).toHaveLength(1);
    expect(b.adopted[0]?.state.workspace.builds.first?.air.altitude.text).toBe('1234');
    expect(b.adopted[0]?.contentChanged).toBe(true);
    await save(a, changedBy(higher, changeSettings({ theme: 'light' })));
    await settle();
    expect(b.adopted.at(-1)).toMatchObject({ contentChanged: false });
  });

  test('different builds changed in two windows: both changes stand', async () => {
    const two = changedBy(start, newBuild('second'));
    const a = await page();
    await save(a, two);
    const b = await page();
    const mine = b.loaded as StoredState;
    b.keeper.changed(changedBy(mine, renameBuild('second', 'Renamed in B')));
    await save(a, changedBy(two, renameBuild('first', 'Renamed in A')));
    await settle();
    const { loaded } = await page();
    expect(loaded?.workspace.builds.first?.name).toBe('Renamed in A');
    expect(loaded?.workspace.builds.second?.name).toBe('Renamed in B');
    expect(b.adopted.at(-1)?.keptBoth).toEqual([]);
  });

  test('the same build changed in two windows: both versions are kept and named', async () => {
    const a = await page();
    await save(a, start);
    const b = await page();
    b.keeper.changed(changedBy(b.loaded as StoredState, altitude('222')));
    await save(a, changedBy(start, altitude('111')));
    await settle();
    const { loaded } = await page();
    const altitudes = Object.values(loaded?.workspace.builds ?? {}).map((build) => build.air.altitude.text);
    expect(altitudes.sort()).toEqual(['111', '222']);
    // Told once, whichever of the two noticed first.
    expect(b.adopted.flatMap(({ keptBoth }) => keptBoth)).toEqual(['Build first (2)']);
    // The window that wrote second goes on with its own version.
    expect(
      b.adopted.at(-1)?.state.workspace.builds[b.adopted.at(-1)?.state.workspace.activeBuildId ?? '']?.air.altitude
        .text,
    ).toBe('222');
  });

  test('deleted in one window, changed in the other: the change is kept', async () => {
    const two = changedBy(start, newBuild('second'));
    const a = await page();
    await save(a, two);
    const b = await page();
    b.keeper.changed(changedBy(b.loaded as StoredState, renameBuild('second', 'Still wanted')));
    await save(a, changedBy(two, deleteBuild('second', 'spare')));
    await settle();
    expect((await page()).loaded?.workspace.builds.second?.name).toBe('Still wanted');
  });

  test('the same map edited in two windows: both maps are kept, each build with its own', async () => {
    const a = await page();
    await save(a, start);
    const b = await page();
    const source = (text: string) => editMap('first-map', (map) => ({ ...map, source: text }));
    b.keeper.changed(changedBy(b.loaded as StoredState, source('from B')));
    await save(a, changedBy(start, source('from A')));
    await settle();
    const { loaded } = await page();
    const sources = Object.values(loaded?.workspace.shelf ?? {}).map((map) => map.source);
    expect(sources.sort()).toEqual(['from A', 'from B']);
    for (const build of Object.values(loaded?.workspace.builds ?? {})) {
      const map = build.candidates[0]?.map;
      expect(map).toBe(loaded?.workspace.shelf[map?.id ?? '']);
    }
  });

  test('two windows that both start on an empty profile do not double what they both begin with', async () => {
    const [a, b] = [await page(), await page()];
    a.keeper.changed(start);
    b.keeper.changed({ ...start, workspace: structuredClone(start.workspace) });
    await Promise.all([a.keeper.flush(), b.keeper.flush()]);
    await settle();
    expect((await page()).loaded?.workspace.buildOrder).toEqual(['first']);
  });
});

test('an empty map with nothing entered survives a reload', async () => {
  const state = changedBy(start, importMap(emptyMap('bare'), 'x'));
  await save(await page(), state);
  expect((await page()).loaded?.workspace.shelf.bare).toEqual(emptyMap('bare'));
});
