// @vitest-environment jsdom
import { openDB } from 'idb';
import { afterEach, beforeEach, describe, expect, test, vi } from 'vitest';
import {
  type Change,
  newBuild,
  renameBuild,
  setBuildField,
  type Workspace,
  workspaceOf,
} from '../../src/build/index.ts';
import type { StoredState } from '../../src/storage/index.ts';
import { buildWithMap } from '../build/anyChange.ts';
import { BOUND_TO_COME, freshProfile, openWindow, storedNow, type Window } from './browserStorage.ts';

const start: StoredState = { workspace: workspaceOf([buildWithMap('first')]), drafts: {} };
const altitude = (text: string) => setBuildField('air.altitude', { text, unit: 'm' });

const open: Window[] = [];
async function page(answersWithinMs?: number): Promise<Window> {
  const window = await openWindow(answersWithinMs);
  open.push(window);
  return window;
}

function changedBy(state: StoredState | null, ...changes: Change[]): StoredState {
  const from = state ?? start;
  return { ...from, workspace: changes.reduce<Workspace>((w, change) => change.perform(w), from.workspace) };
}

function type(window: Window, ...changes: Change[]): StoredState {
  const state = changedBy(window.shown, ...changes);
  window.keeper.changed(state);
  return state;
}

/** A window in which `start` is shown and stored. */
async function storedPage(): Promise<Window> {
  const window = await page();
  window.keeper.changed(start);
  await window.keeper.flush();
  return window;
}

async function untilStored(state: StoredState): Promise<void> {
  await vi.waitFor(async () => expect(await storedNow()).toEqual(state), BOUND_TO_COME);
}

/** What a page does when it goes at once: it puts down what is not saved, and does nothing after that. */
function leave(window: Window): void {
  window.keeper.leave();
  window.keeper.close();
}

/** Another window begins to bring the database to a newer form and gives up. */
async function upgradeThatIsAborted(): Promise<void> {
  const opening = openDB('lugline', 4, {
    upgrade(_database, _from, _to, transaction) {
      transaction.done.catch(() => undefined);
      transaction.abort();
    },
  });
  await opening.catch(() => undefined);
}

/** Another window holds everything in one transaction until it is told to let go. */
async function holdStorage(): Promise<() => Promise<void>> {
  const database = await openDB('lugline');
  const transaction = database.transaction(['builds', 'maps', 'meta'], 'readwrite');
  let isHeld = true;
  const held = (async () => {
    while (isHeld) await transaction.objectStore('meta').get('revision');
    await transaction.done;
    database.close();
  })();
  return async () => {
    isHeld = false;
    await held;
  };
}

beforeEach(() => {
  freshProfile();
  localStorage.clear();
});
afterEach(() => {
  for (const { keeper } of open.splice(0)) keeper.close();
  vi.restoreAllMocks();
});

describe('a database that is lost', () => {
  test('is opened again after another window gave up an upgrade: what was typed before and after is stored', async () => {
    const window = await storedPage();
    await upgradeThatIsAborted();
    const end = type(window, altitude('1500'));
    await untilStored(end);
    expect(window.status).toMatchObject({ mode: 'stored', problem: null });
    expect(window.reports.some(({ problem }) => problem?.includes('newer form'))).toBe(true);
  });

  test('and a page that is left while it is lost: the next one finds everything', async () => {
    const window = await storedPage();
    window.keeper.database?.close();
    const refused = vi.spyOn(indexedDB, 'open').mockImplementation(() => {
      throw new DOMException('gone', 'UnknownError');
    });
    const end = type(window, altitude('1500'), newBuild('second', 'Second'));
    await window.keeper.flush();
    expect(window.status.mode).toBe('memory');
    leave(window);
    refused.mockRestore();
    expect((await page()).shown).toEqual(end);
  });

  test('a full disk: every edit made while it was full is stored by itself when there is room again', async () => {
    const window = await storedPage();
    const put = vi.spyOn(IDBObjectStore.prototype, 'put').mockImplementation(() => {
      throw new DOMException('full', 'QuotaExceededError');
    });
    for (let i = 0; i < 25; i += 1) type(window, altitude(String(i)));
    await window.keeper.flush();
    expect(window.status).toMatchObject({ mode: 'memory', problem: expect.stringContaining('no room left') });
    expect(window.keeper.mustAsk).toBe(true);
    put.mockRestore();
    // Nobody types any more.
    await untilStored(window.shown as StoredState);
    expect(window.status).toMatchObject({ mode: 'stored', problem: null });
    expect(window.keeper.mustAsk).toBe(false);
  });

  test('cleared while the page is open: what the page holds is written back, and said', async () => {
    const window = await storedPage();
    await new Promise((resolve) => indexedDB.deleteDatabase('lugline').addEventListener('success', resolve));
    await untilStored(start);
    expect(window.adopted.at(-1)).toMatchObject({ writtenBack: true, keptBoth: [], contentChanged: false });
    expect(window.reports.some(({ problem }) => problem?.includes('cleared'))).toBe(true);
    expect(window.status).toMatchObject({ mode: 'stored', problem: null });
  });

  test('emptied without a word: the next edit writes everything back', async () => {
    const window = await storedPage();
    const other = await openDB('lugline');
    for (const store of ['builds', 'maps', 'meta']) await other.clear(store);
    other.close();
    const end = type(window, altitude('7'));
    await window.keeper.flush();
    expect(await storedNow()).toEqual(end);
    expect(window.adopted.at(-1)?.writtenBack).toBe(true);
  });

  test('emptied without a word, and the page goes before it has noticed: the next one finds all of it, as it was arranged', async () => {
    const window = await storedPage();
    const two = type(window, newBuild('second', 'Second'), newBuild('third', 'Third'));
    await untilStored(two);
    const database = await openDB('lugline');
    for (const store of database.objectStoreNames) await database.clear(store);
    database.close();
    // The page is gone before anything is written.
    const put = vi.spyOn(IDBObjectStore.prototype, 'put').mockImplementation(() => {
      throw new DOMException('gone', 'AbortError');
    });
    const end = type(window, altitude('1500'));
    leave(window);
    await window.keeper.flush();
    put.mockRestore();
    expect((await page()).shown).toEqual(end);
    await untilStored(end);
  });

  test('cleared, and another window has begun anew in it: both are there afterwards', async () => {
    const window = await storedPage();
    const other = await openDB('lugline');
    for (const store of ['builds', 'maps', 'meta']) await other.clear(store);
    other.close();
    const fresh = await page();
    type(fresh, renameBuild('blank', 'Begun anew'));
    await fresh.keeper.flush();
    type(window, altitude('7'));
    await window.keeper.flush();
    const stored = await storedNow();
    expect(stored?.workspace.builds.first?.air.altitude.text).toBe('7');
    expect(stored?.workspace.builds.blank?.name).toBe('Begun anew');
  });
});

describe('a browser that does not answer', () => {
  test('a save that waits is said, with the time, and is done when the browser answers', async () => {
    const window = await page(30);
    window.keeper.changed(start);
    await window.keeper.flush();
    const letGo = await holdStorage();
    const before = Date.now();
    const end = type(window, altitude('12'));
    void window.keeper.flush();
    await vi.waitFor(() => expect(window.status.waitingSince).toBeGreaterThanOrEqual(before), BOUND_TO_COME);
    expect(window.keeper.mustAsk).toBe(true);
    const later = type(window, newBuild('second'));
    await letGo();
    await untilStored(later);
    expect(later.workspace.builds.first?.air.altitude.text).toBe(end.workspace.builds.first?.air.altitude.text);
    expect(window.status).toMatchObject({ mode: 'stored', waitingSince: null, problem: null });
  });

  test('a window opened meanwhile begins blank, takes up what is stored when it can, and keeps what was entered', async () => {
    await storedPage();
    const letGo = await holdStorage();
    const waiting = await page(30);
    expect(waiting.status).toMatchObject({ mode: 'memory', waitingSince: expect.any(Number) });
    expect(waiting.shown?.workspace.buildOrder).toEqual(['blank']);
    type(waiting, newBuild('entered', 'Entered while waiting'));
    await letGo();
    await vi.waitFor(() => expect(waiting.status.mode).toBe('stored'), BOUND_TO_COME);
    await waiting.keeper.flush();
    // The blank build goes; nothing was entered in it.
    expect(Object.keys(waiting.shown?.workspace.builds ?? {}).sort()).toEqual(['entered', 'first']);
    expect(Object.keys((await storedNow())?.workspace.builds ?? {}).sort()).toEqual(['entered', 'first']);
  });

  test('a window opened meanwhile shows what a page that was left has put down, and doubles nothing afterwards', async () => {
    const first = await storedPage();
    type(first, altitude('321'));
    const letGo = await holdStorage();
    leave(first);
    const waiting = await page(30);
    expect(waiting.shown?.workspace.builds.first?.air.altitude.text).toBe('321');
    type(waiting, altitude('322'));
    await letGo();
    await vi.waitFor(() => expect(waiting.status.mode).toBe('stored'), BOUND_TO_COME);
    await waiting.keeper.flush();
    const stored = await storedNow();
    expect(Object.values(stored?.workspace.builds ?? {}).map((build) => build.air.altitude.text)).toEqual(['322']);
    expect(Object.keys(localStorage)).toEqual([]);
  });

  test('two windows in a row without a database: the second note holds the first, and nothing is doubled', async () => {
    const first = await storedPage();
    type(first, altitude('321'));
    const letGo = await holdStorage();
    leave(first);
    const second = await page(30);
    type(second, altitude('322'));
    leave(second);
    expect(Object.keys(localStorage)).toHaveLength(2);
    await letGo();
    const third = await page();
    expect(Object.values(third.shown?.workspace.builds ?? {}).map((build) => build.air.altitude.text)).toEqual(['322']);
    await third.keeper.flush();
    expect(Object.keys(localStorage)).toEqual([]);
  });
});

describe('what the records themselves may hold', () => {
  async function put(key: string, value: unknown): Promise<void> {
    const database = await openDB('lugline');
    await database.put('meta', value, key);
    database.close();
  }

  test('an open build that is called as something of every object is not taken for one', async () => {
    (await storedPage()).keeper.close();
    await put('order', {
      buildOrder: ['constructor', 'first'],
      activeBuildId: 'constructor',
      shelfOrder: ['toString'],
    });
    const window = await page();
    expect(window.shown?.workspace).toMatchObject({ activeBuildId: 'first', buildOrder: ['first'] });
  });

  test.each(['x', -1, 1.5, Number.MAX_VALUE, null, {}])(
    'a count of savings of %j does not stop saving',
    async (value) => {
      (await storedPage()).keeper.close();
      await put('revision', value);
      const window = await page();
      const end = type(window, altitude('9'));
      await window.keeper.flush();
      expect(await storedNow()).toEqual(end);
      expect(window.status.problem).toBeNull();
    },
  );

  test('a note that cannot be read is reported and stays', async () => {
    localStorage.setItem('lugline-unsaved-x', '{"revision":1,"builds":[{"format":"lugline-build"}]}');
    const window = await page();
    expect(window.keptAside).toMatchObject([{ store: 'note', key: 'lugline-unsaved-x' }]);
    expect(Object.keys(localStorage)).toEqual(['lugline-unsaved-x']);
  });

  test('the build that is open here, with an entry that cannot be read yet, is kept when another window deletes it', async () => {
    const window = await storedPage();
    const two = type(window, newBuild('second'));
    const here: StoredState = { ...two, drafts: { 'second/air.altitude': '12o' } };
    window.keeper.changed(here);
    await window.keeper.flush();
    const other = await page();
    const { workspace, drafts } = other.shown as StoredState;
    const { second: _gone, ...builds } = workspace.builds;
    other.keeper.changed({
      drafts,
      workspace: { ...workspace, builds, buildOrder: ['first'], activeBuildId: 'first' },
    });
    await other.keeper.flush();
    await vi.waitFor(() => expect(window.adopted.at(-1)?.keptForDrafts).toHaveLength(1), BOUND_TO_COME);
    expect(window.shown?.workspace.builds.second).toBeDefined();
    expect(window.shown?.drafts).toEqual({ 'second/air.altitude': '12o' });
    await window.keeper.flush();
    expect((await storedNow())?.workspace.builds.second).toBeDefined();
  });
});
