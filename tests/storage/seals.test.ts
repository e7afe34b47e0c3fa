// @vitest-environment jsdom
import fc from 'fast-check';
import { openDB } from 'idb';
import { afterEach, beforeEach, describe, expect, test, vi } from 'vitest';
import {
  assignMap,
  buildToFile,
  type Change,
  changeSettings,
  importMap,
  newBuild,
  sameContent,
  setBuildField,
  type Workspace,
  workspaceOf,
} from '../../src/build/index.ts';
import { readBuild, readMap, readSettings } from '../../src/storage/gate.ts';
import { loadGate, type StoredState } from '../../src/storage/index.ts';
import { sealOf } from '../../src/storage/seals.ts';
import { anyChange, buildWithMap } from '../build/anyChange.ts';
import { tinyDraft } from '../build/tinyMap.ts';
import { BOUND_TO_COME, freshProfile, openWindow, storedNow, type Window } from './browserStorage.ts';

const open: Window[] = [];
let asked = 0;

/** A page that counts how often the gate is asked for. */
async function page(fetchGate: typeof loadGate = loadGate, answersWithinMs?: number): Promise<Window> {
  asked = 0;
  const window = await openWindow(answersWithinMs, () => {
    asked += 1;
    return fetchGate();
  });
  open.push(window);
  return window;
}

const missing: typeof loadGate = () => Promise.reject(new TypeError('Failed to fetch dynamically imported module'));

const altitude = (text: string) => setBuildField('air.altitude', { text, unit: 'm' });
const onCandidate = (change: (candidateId: string) => Change): Pick<Change, 'perform'> => ({
  perform: (now) => change(now.builds[now.activeBuildId]?.candidates[0]?.id ?? '').perform(now),
});
const whole: StoredState = {
  workspace: [
    newBuild('second', 'Second'),
    altitude('1234'),
    importMap(tinyDraft('spare', 'Spare'), 'unused'),
    onCandidate((id) => assignMap(id, 'spare')),
    changeSettings({ speedLabels: 'corrected' }),
  ].reduce<Workspace>((now, change) => change.perform(now), workspaceOf([buildWithMap('first')])),
  drafts: { 'second/air.altitude': '12x' },
};

async function saved(state = whole): Promise<void> {
  const window = await page();
  window.keeper.changed(state);
  await window.keeper.flush();
  window.keeper.close();
}

type Store = 'builds' | 'maps' | 'meta';

async function inStore<T>(work: (database: Awaited<ReturnType<typeof openDB>>) => Promise<T>): Promise<T> {
  const database = await openDB('lugline');
  try {
    return await work(database);
  } finally {
    database.close();
  }
}

const put = (store: Store, key: string, value: unknown) => inStore((database) => database.put(store, value, key));
const get = (store: Store, key: string) => inStore((database) => database.get(store, key));
const everything = () =>
  inStore(async (database) =>
    Object.fromEntries(
      await Promise.all(
        ['builds', 'maps', 'meta'].map(async (store) => [
          store,
          [await database.getAllKeys(store), await database.getAll(store)],
        ]),
      ),
    ),
  );

beforeEach(() => {
  freshProfile();
  localStorage.clear();
});
afterEach(() => {
  for (const { keeper } of open.splice(0)) keeper.close();
  vi.restoreAllMocks();
});

describe('what this program has written itself', () => {
  test('opens without the gate, and is what the gate makes of it, to the last property', async () => {
    await saved();
    const bySeals = await page();
    expect(asked).toBe(0);
    expect(bySeals.loaded).toEqual(whole);
    await inStore((database) => database.delete('meta', 'seals'));
    const throughGate = await page();
    expect(asked).toBeGreaterThan(0);
    expect(bySeals.loaded).toStrictEqual(throughGate.loaded);
  });

  test('keeps its seals through changes and deletions, here and in another window', async () => {
    await saved();
    const [first, second] = [await page(), await page()];
    first.keeper.changed({ ...whole, workspace: altitude('77').perform(whole.workspace) });
    await first.keeper.flush();
    await vi.waitFor(() => expect(second.adopted).toHaveLength(1), BOUND_TO_COME);
    const { workspace, drafts } = second.shown ?? whole;
    const { first: _gone, ...builds } = workspace.builds;
    second.keeper.changed({ workspace: { ...workspace, builds, buildOrder: ['second'] }, drafts });
    await second.keeper.flush();
    for (const { keeper } of [first, second]) keeper.close();
    const last = await page();
    expect(asked).toBe(0);
    expect(last.loaded?.workspace.builds.second?.air.altitude.text).toBe('77');
    expect([...((await get('meta', 'seals')) as Map<string, string>).keys()].sort()).toEqual([
      'builds/second',
      'maps/first-map',
      'maps/spare',
      'meta/settings',
    ]);
  });

  test('is let in by the gate just as it stands, whatever was done', () => {
    const many = fc.array(anyChange, { minLength: 1, maxLength: 12 });
    fc.assert(
      fc.property(many, (changes) => {
        const { builds, shelf, settings } = changes.reduce<Workspace>(
          (now, make, serial) => make(now, serial).perform(now),
          whole.workspace,
        );
        for (const build of Object.values(builds))
          expect(readBuild({ revision: 1, file: buildToFile(build) })).toEqual({ ok: true, value: build, notes: [] });
        for (const draft of Object.values(shelf))
          expect(readMap({ revision: 1, version: 1, draft })).toEqual({ ok: true, value: draft, notes: [] });
        expect(readSettings(settings)).toEqual({ ok: true, value: settings, notes: [] });
      }),
      { numRuns: 60 },
    );
  });

  test('an empty profile asks for nothing', async () => {
    await page();
    expect(asked).toBe(0);
  });
});

describe('whatever else is found goes through the gate', () => {
  test('every character of a record that is another one breaks its seal', async () => {
    await saved();
    for (const [store, key] of [
      ['builds', 'second'],
      ['maps', 'spare'],
      ['meta', 'settings'],
    ] as const) {
      const record: unknown = await get(store, key);
      const seal = sealOf(`${store}/${key}`, record);
      expect(seal).toBe(((await get('meta', 'seals')) as Map<string, string>).get(`${store}/${key}`));
      const text = JSON.stringify(record);
      let broken = 0;
      for (let at = 0; at < text.length; at += 1) {
        const other = text.slice(0, at) + String.fromCharCode(text.charCodeAt(at) ^ 1) + text.slice(at + 1);
        let altered: unknown;
        try {
          altered = JSON.parse(other);
        } catch {
          continue;
        }
        if (sameContent(altered, record)) continue;
        broken += 1;
        if (sealOf(`${store}/${key}`, altered) === seal) expect.fail(`another ${other.slice(at - 20, at + 20)}`);
      }
      expect(broken).toBeGreaterThan(text.length / 2);
    }
  });

  const alterations: readonly [what: string, alter: () => Promise<unknown>][] = [
    [
      'a build that another version has written after it',
      async () => {
        const record = await get('builds', 'second');
        await put('builds', 'second', { ...record, revision: record.revision + 1 });
      },
    ],
    ['a map of another content', async () => put('maps', 'spare', { ...(await get('maps', 'spare')), more: 1 })],
    [
      'settings of another content',
      async () => put('meta', 'settings', { ...(await get('meta', 'settings')), more: 1 }),
    ],
    ['a record under another key', async () => put('builds', 'third', await get('builds', 'second'))],
    ['seals that are lost', () => inStore((database) => database.delete('meta', 'seals'))],
    ['seals that are something else', () => put('meta', 'seals', { 'builds/second': 'x' })],
    [
      'seals of another form',
      async () => {
        const seals = (await get('meta', 'seals')) as Map<string, string>;
        await put('meta', 'seals', new Map([...seals].map(([place, seal]) => [place, `${seal}x`])));
      },
    ],
  ];
  test.each(alterations)('%s', async (_what, alter) => {
    await saved();
    await alter();
    const window = await page();
    expect(asked).toBeGreaterThan(0);
    expect(window.loaded?.workspace.builds.second).toEqual(whole.workspace.builds.second);
    expect(window.loaded?.workspace.shelf).toEqual(whole.workspace.shelf);
    expect(window.loaded?.workspace.settings).toEqual(whole.workspace.settings);
  });

  test('a damaged build is kept aside as ever, the others open', async () => {
    await saved();
    const record = await get('builds', 'first');
    await put('builds', 'first', { ...record, file: { ...record.file, candidates: 'x' } });
    const window = await page();
    expect(window.keptAside.map(({ key }) => key)).toEqual(['first']);
    expect(Object.keys(window.loaded?.workspace.builds ?? {})).toEqual(['second']);
    expect(await get('builds', 'first')).toMatchObject({ file: { candidates: 'x' } });
  });

  test('what it lets through as it stands is sealed for the next visit; what it completes is not, until it is saved', async () => {
    await saved();
    const record = await get('builds', 'first');
    const { fitment: _older, ...older } = record.file;
    await put('builds', 'first', { ...record, file: older });
    await inStore((database) => database.delete('meta', 'seals'));
    const window = await page();
    await vi.waitFor(
      async () =>
        expect([...((await get('meta', 'seals')) as Map<string, string>).keys()].sort()).toEqual([
          'builds/second',
          'maps/first-map',
          'maps/spare',
          'meta/settings',
        ]),
      BOUND_TO_COME,
    );
    expect(window.loaded?.workspace.builds.first?.fitment).toEqual(whole.workspace.builds.first?.fitment);
    const shown = window.shown ?? whole;
    const inFirst = { ...shown.workspace, activeBuildId: 'first' };
    window.keeper.changed({ ...shown, workspace: altitude('5').perform(inFirst) });
    await window.keeper.flush();
    await page();
    expect(asked).toBe(0);
  });
});

test('nothing vouches for what is no plain data through and through', () => {
  const circle: { inner?: object } = {};
  circle.inner = circle;
  // A list with a hole, which JSON would write as null.
  const holed: unknown[] = [1];
  holed[2] = 3;
  const odd = [Number.NaN, Number.POSITIVE_INFINITY, 1n, new Date(0), new Map(), new Uint8Array(2), /x/, circle, holed];
  for (const value of [...odd, [undefined]]) expect(sealOf('builds/x', { file: { value } })).toBeNull();
  expect(sealOf('builds/x', { a: 1, b: undefined })).toBe(sealOf('builds/x', { a: 1 }));
  const texts = [{ a: 1 }, { a: '1' }, { a: null }, { a: true }, { a: [] }, { a: {} }, {}];
  expect(new Set(texts.map((value) => sealOf('builds/x', value))).size).toBe(texts.length);
});

describe('a gate that cannot be fetched', () => {
  test('is said; nothing that is stored is shown or overwritten, and all is brought together when it comes', async () => {
    await saved();
    await inStore((database) => database.delete('meta', 'seals'));
    const before = await everything();
    let comes = false;
    const window = await page(() => (comes ? loadGate() : missing()));
    expect(window.loaded).toBeNull();
    expect(window.status).toMatchObject({ mode: 'memory', problem: expect.stringContaining('could not be fetched') });
    const typed = altitude('999').perform(window.shown?.workspace ?? whole.workspace);
    window.keeper.changed({ workspace: typed, drafts: {} });
    await window.keeper.flush();
    expect(await everything()).toEqual(before);
    expect(window.keeper.mustAsk).toBe(true);
    comes = true;
    await vi.waitFor(() => expect(window.status).toMatchObject({ mode: 'stored', problem: null }), BOUND_TO_COME);
    const stored = await storedNow();
    for (const state of [window.shown, stored]) {
      expect(Object.keys(state?.workspace.builds ?? {}).sort()).toEqual(['blank', 'first', 'second']);
      expect(state?.workspace.builds.blank?.air.altitude.text).toBe('999');
      expect(state?.workspace.builds.second).toEqual(whole.workspace.builds.second);
    }
  });

  test('leaves a note of an earlier page where it is, and takes it when it comes', async () => {
    await saved();
    const first = await page();
    first.keeper.changed({ ...whole, workspace: altitude('42').perform(whole.workspace) });
    first.keeper.leave();
    first.keeper.close();
    const noted = { ...localStorage };
    expect(Object.keys(noted)).toHaveLength(1);
    // The save that the leaving page began does not come through: browsers drop it.
    freshProfile();
    localStorage.clear();
    await saved();
    for (const [key, note] of Object.entries(noted)) localStorage.setItem(key, note);
    let comes = false;
    const window = await page(() => (comes ? loadGate() : missing()));
    expect(window.status.problem).toContain('could not be fetched');
    expect({ ...localStorage }).toEqual(noted);
    comes = true;
    await vi.waitFor(() => expect(window.status).toMatchObject({ mode: 'stored', problem: null }), BOUND_TO_COME);
    const altitudes = Object.values(window.shown?.workspace.builds ?? {}).map(({ air }) => air.altitude.text);
    expect(altitudes).toContain('42');
    await vi.waitFor(() => expect(Object.keys(localStorage)).toEqual([]), BOUND_TO_COME);
  });

  test('in a page that is open: what another window saved waits, what was typed here is kept, and both are there when it comes', async () => {
    await saved();
    let comes = false;
    const here = await page(() => (comes ? loadGate() : missing()));
    expect(here.loaded).toEqual(whole);
    const other = await page();
    other.keeper.changed({ ...whole, workspace: altitude('1').perform(whole.workspace) });
    await other.keeper.flush();
    here.keeper.changed({ ...whole, workspace: altitude('2').perform(whole.workspace) });
    await here.keeper.flush();
    expect(here.status).toMatchObject({ mode: 'memory', problem: expect.stringContaining('could not be fetched') });
    here.keeper.leave();
    expect(Object.keys(localStorage)).toHaveLength(1);
    comes = true;
    await vi.waitFor(async () => {
      const altitudes = Object.values((await storedNow())?.workspace.builds ?? {}).map(({ air }) => air.altitude.text);
      expect(altitudes).toEqual(expect.arrayContaining(['1', '2']));
    }, BOUND_TO_COME);
    expect(here.adopted.flatMap(({ keptBoth }) => keptBoth)).toHaveLength(1);
  });

  test('one that is slow is no silence of the browser: nothing is shown before it has come', async () => {
    await saved();
    await inStore((database) => database.delete('meta', 'seals'));
    const window = await page(async () => {
      await new Promise((resolve) => setTimeout(resolve, 300));
      return loadGate();
    }, 60);
    expect(window.loaded).toEqual(whole);
    expect(window.reports.filter(({ waitingSince }) => waitingSince != null)).toEqual([]);
    expect(window.status).toMatchObject({ mode: 'stored', problem: null });
  });
});
