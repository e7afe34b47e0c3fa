// @vitest-environment jsdom
import { openDB } from 'idb';
import { afterEach, beforeEach, describe, expect, test, vi } from 'vitest';
import { newBuild, setBuildField, workspaceOf } from '../../src/build/index.ts';
import type { StoredState } from '../../src/storage/index.ts';
import { buildWithMap } from '../build/anyChange.ts';
import { BOUND_TO_COME, freshProfile, openWindow, storedNow, type Window } from '../storage/browserStorage.ts';
import { type Chance, chance, rounds, SEED, tell } from './chance.ts';

const start: StoredState = {
  workspace: workspaceOf([buildWithMap('first'), buildWithMap('second'), buildWithMap('third')]),
  drafts: {},
};

let open: Window[] = [];
async function page(answersWithinMs?: number): Promise<Window> {
  const window = await openWindow(answersWithinMs);
  open.push(window);
  return window;
}

let serial = 0;
/** An edit that can be told from every other; gives its text, and that which it knowingly writes over. */
function edit(window: Window, by: Chance): { text: string; over: string } {
  const { workspace, drafts } = window.shown ?? start;
  serial += 1;
  const text = String(100_000 + serial);
  const id = by.one(workspace.buildOrder as [string, ...string[]]);
  const over = workspace.builds[id]?.air.altitude.text ?? '';
  const inBuild = { ...workspace, activeBuildId: id };
  const change = setBuildField('air.altitude', { text, unit: 'm' });
  window.keeper.changed({ workspace: change.perform(inBuild), drafts });
  return { text, over };
}

const textsIn = (state: StoredState | null) =>
  new Set(Object.values(state?.workspace.builds ?? {}).map((build) => build.air.altitude.text));

beforeEach(() => {
  freshProfile();
  localStorage.clear();
});
afterEach(() => {
  for (const { keeper } of open.splice(0)) keeper.close();
  vi.restoreAllMocks();
});

/** What all windows have in common; each has its own build open. */
function common(state: StoredState | null) {
  const { activeBuildId: _, ...workspace } = state?.workspace ?? {};
  return { workspace, drafts: state?.drafts };
}

/** Until all windows show what is stored. */
async function settle(): Promise<void> {
  await vi.waitFor(async () => {
    for (let i = 0; i < 2; i += 1) {
      for (const { keeper } of open) await keeper.flush();
      const stored = common(await storedNow());
      for (const { shown } of open) expect(common(shown)).toEqual(stored);
    }
  }, BOUND_TO_COME);
}

describe('two windows at random', () => {
  const many = rounds(25, 500);

  test(`${many} rounds: every edit is stored that nobody wrote over who saw it, beside the other window's where both had one`, async () => {
    const by = chance(SEED);
    let both = 0;
    for (let round = 0; round < many; round += 1) {
      // A fresh profile now and then, or both versions of everything pile up.
      if (round % 10 === 0) {
        for (const { keeper } of open.splice(0)) keeper.close();
        freshProfile();
        const first = await page();
        first.keeper.changed(start);
        await first.keeper.flush();
        await page();
      }
      await settle();
      const wanted = new Set<string>();
      for (const window of open) {
        for (let i = by.below(4); i > 0; i -= 1) {
          const { text, over } = edit(window, by);
          wanted.delete(over);
          wanted.add(text);
          if (by.share() < 0.3) await new Promise((resolve) => setTimeout(resolve, by.below(5)));
        }
        if (by.share() < 0.5) void window.keeper.flush();
      }
      const before = open.flatMap(({ adopted }) => adopted).length;
      await settle();
      const stored = textsIn(await storedNow());
      for (const text of wanted) expect(stored, `round ${round}`).toContain(text);
      both += open
        .flatMap(({ adopted }) => adopted)
        .slice(before)
        .filter(({ keptBoth }) => keptBoth.length > 0).length;
    }
    tell(
      `${many} rounds of two windows, ${both} times both had edited the same build and both versions were kept and named`,
    );
  });
});

type Fault = (by: Chance) => Promise<() => Promise<void>>;

/** Each begins a fault and gives what ends it. */
const FAULTS: Readonly<Record<string, Fault>> = {
  full: async () => {
    const put = vi.spyOn(IDBObjectStore.prototype, 'put').mockImplementation(() => {
      throw new DOMException('full', 'QuotaExceededError');
    });
    return async () => put.mockRestore();
  },
  'some writes fail': async (by) => {
    const real = IDBObjectStore.prototype.put;
    const put = vi.spyOn(IDBObjectStore.prototype, 'put').mockImplementation(function (
      this: IDBObjectStore,
      value,
      key,
    ) {
      if (by.share() < 0.4) throw new DOMException('no', 'UnknownError');
      return real.call(this, value, key);
    });
    return async () => put.mockRestore();
  },
  'closed, and refused for a time': async () => {
    for (const { keeper } of open) keeper.database?.close();
    const refused = vi.spyOn(indexedDB, 'open').mockImplementation(() => {
      throw new DOMException('gone', 'UnknownError');
    });
    return async () => refused.mockRestore();
  },
  'an upgrade that is given up': async () => {
    const database = await openDB('lugline');
    database.close();
    const opening = openDB('lugline', database.version + 1, {
      upgrade(_database, _from, _to, transaction) {
        transaction.done.catch(() => undefined);
        transaction.abort();
      },
    });
    await opening.catch(() => undefined);
    return async () => undefined;
  },
  cleared: async () => {
    await new Promise((resolve) => indexedDB.deleteDatabase('lugline').addEventListener('success', resolve));
    return async () => undefined;
  },
  'emptied without a word': async () => {
    const database = await openDB('lugline');
    for (const store of database.objectStoreNames) await database.clear(store);
    database.close();
    return async () => undefined;
  },
  held: async () => {
    const database = await openDB('lugline');
    const transaction = database.transaction([...database.objectStoreNames], 'readwrite');
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
  },
};

describe('faults of the storage', () => {
  const many = rounds(21, 210);

  test(`${many} at random moments: everything typed is stored in the end, or found by the next page`, async () => {
    const by = chance(SEED + 1);
    const names = Object.keys(FAULTS) as [string, ...string[]];
    let left = 0;
    for (let round = 0; round < many; round += 1) {
      freshProfile();
      localStorage.clear();
      let window = await page();
      window.keeper.changed(start);
      await window.keeper.flush();
      const name = names[round % names.length] ?? names[0];
      edit(window, by);
      if (by.share() < 0.5) void window.keeper.flush();
      const end = await (FAULTS[name] as Fault)(by);
      for (let i = 1 + by.below(5); i > 0; i -= 1) {
        edit(window, by);
        if (by.share() < 0.5) void window.keeper.flush();
        if (by.share() < 0.5) await new Promise((resolve) => setTimeout(resolve, by.below(20)));
      }
      if (by.share() < 0.2)
        window.keeper.changed({
          ...(window.shown ?? start),
          workspace: newBuild(`new-${round}`).perform((window.shown ?? start).workspace),
        });
      const wanted = window.shown;
      // The page goes while the fault lasts, or lives on.
      if (by.share() < 0.5) {
        window.keeper.leave();
        window.keeper.close();
        left += 1;
        await end();
        window = await page();
      } else await end();
      await vi.waitFor(async () => {
        expect(common(window.shown), `round ${round}: ${name}`).toEqual(common(wanted));
        await window.keeper.flush();
        expect(common(await storedNow()), `round ${round}: ${name}`).toEqual(common(wanted));
      }, BOUND_TO_COME);
      expect(window.status).toMatchObject({ mode: 'stored', problem: null });
      window.keeper.close();
      open = [];
    }
    tell(`${many} faults of ${names.length} kinds, ${left} times the page was left while it lasted`);
  });
});
