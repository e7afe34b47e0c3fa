// @vitest-environment jsdom
import { IDBFactory } from 'fake-indexeddb';
import 'fake-indexeddb/auto';
import { afterEach, beforeEach, describe, expect, test, vi } from 'vitest';
import { openProgram, type Program } from '../../src/app/persistence.ts';
import {
  buildToFile,
  deleteBuild,
  draftToMapFile,
  duplicateBuild,
  newBuild,
  setBuildField,
  workspaceOf,
  workspaceToBackup,
} from '../../src/build/index.ts';
import { selectActiveBuild, selectCandidateResults } from '../../src/store/index.ts';
import { buildWithMap } from '../build/anyChange.ts';
import { tinyDraft } from '../build/tinyMap.ts';
import { BOUND_TO_COME, storedNow } from './browserStorage.ts';

const open: Program[] = [];

async function visit(): Promise<Program> {
  const program = await openProgram();
  open.push(program);
  return program;
}

/** Leaves the page at once: what it would still do in the database is dropped, as browsers do. */
function leave(program: Program): void {
  window.dispatchEvent(new Event('pagehide'));
  program.close();
}

/** Leaves the page open until all is saved: what is shown stands in the database, and no note of an earlier page is needed any more. */
async function leaveSaved(program: Program): Promise<void> {
  await vi.waitFor(async () => {
    const { workspace, ui, storage } = program.store.getState();
    expect(storage).toMatchObject({ saving: false, lastSavedAt: expect.any(Number) });
    expect(await storedNow()).toEqual({ workspace, drafts: ui.drafts });
  }, BOUND_TO_COME);
  program.close();
}

function file(name: string, content: unknown): File {
  const text = typeof content === 'string' ? content : JSON.stringify(content);
  return { name, size: text.length, text: async () => text } as unknown as File;
}

beforeEach(() => {
  globalThis.indexedDB = new IDBFactory();
  localStorage.clear();
  // Where US units are usual, they are offered in a notice of their own.
  vi.spyOn(navigator, 'language', 'get').mockReturnValue('en-GB');
});
afterEach(() => {
  vi.restoreAllMocks();
  for (const program of open.splice(0)) program.close();
});

describe('the program over several visits', () => {
  test('a fresh profile opens the demonstration; what is entered is there after leaving at once, with the same numbers', async () => {
    const first = await visit();
    expect(selectActiveBuild(first.store.getState()).invented).toBe(true);
    first.store.getState().run(setBuildField('air.altitude', { text: '2050', unit: 'm' }));
    first.store.getState().setDraft('demo/air.temperature', '24,x');
    const before = selectCandidateResults(first.store.getState(), 0)?.points;
    leave(first);
    const second = await visit();
    expect(selectActiveBuild(second.store.getState()).air.altitude.text).toBe('2050');
    expect(second.store.getState().ui.drafts).toEqual({ 'demo/air.temperature': '24,x' });
    expect(selectCandidateResults(second.store.getState(), 0)?.points).toEqual(before);
    expect(second.store.getState().storage).toMatchObject({ mode: 'stored', problem: null });
  });

  test('what a leaving page put down is merged: changes, deletions, new builds, texts let go of; then the note is gone', async () => {
    const first = await visit();
    first.store.getState().run(newBuild('second', 'Second'));
    first.store.getState().run(newBuild('third', 'Third'));
    first.store.getState().setDraft('third/air.altitude', 'x');
    await leaveSaved(first);
    const second = await visit();
    expect(Object.keys(localStorage)).toEqual([]);
    second.store.getState().run(deleteBuild('second', 'spare'));
    second.store.getState().run(duplicateBuild('demo', 'copy'));
    second.store.getState().setDraft('third/air.altitude', null);
    const end = second.store.getState().workspace;
    leave(second);
    expect(Object.keys(localStorage)).toHaveLength(1);
    const third = await visit();
    expect(third.store.getState().workspace).toEqual(end);
    expect(third.store.getState().ui.drafts).toEqual({});
    await leaveSaved(third);
    expect(Object.keys(localStorage)).toEqual([]);
    expect((await visit()).store.getState().workspace).toEqual(end);
  });

  test('a page that was left and another that changed the same build meanwhile: both versions are kept', async () => {
    const first = await visit();
    await leaveSaved(first);
    const left = await visit();
    left.store.getState().run(setBuildField('air.altitude', { text: '111', unit: 'm' }));
    leave(left);
    const note = Object.entries(localStorage)[0];
    if (note === undefined) throw new Error('a note expected');
    localStorage.clear();
    const other = await visit();
    other.store.getState().run(setBuildField('air.altitude', { text: '222', unit: 'm' }));
    await leaveSaved(other);
    localStorage.setItem(...note);
    const { store } = await visit();
    const altitudes = Object.values(store.getState().workspace.builds).map((build) => build.air.altitude.text);
    expect(altitudes.sort()).toEqual(['111', '222']);
  });

  test('a note that cannot be read is left where it is and changes nothing', async () => {
    localStorage.setItem('lugline-unsaved-x', '{"revision":1,"builds":[{"format":"lugline-build"}]}');
    const { store } = await visit();
    expect(store.getState().workspace.buildOrder).toEqual(['demo']);
    expect(Object.keys(localStorage)).toEqual(['lugline-unsaved-x']);
  });

  test('without storage it goes on in memory and says so', async () => {
    const real = globalThis.indexedDB;
    // A browser without storage.
    Reflect.set(globalThis, 'indexedDB', undefined);
    const { store } = await visit();
    globalThis.indexedDB = real;
    expect(store.getState().storage.mode).toBe('memory');
    expect(store.getState().storage.problem).toMatch(/private window/);
    store.getState().run(setBuildField('air.altitude', { text: '5', unit: 'm' }));
    expect(selectActiveBuild(store.getState()).air.altitude.text).toBe('5');
  });
});

describe('files', () => {
  test('a map, a build and a damaged file dropped together: two are taken, the third is refused by name', async () => {
    const { store, files } = await visit();
    const map = draftToMapFile(tinyDraft('from-file', 'From a file'));
    if (!map.ok) throw new Error('the tiny map is readable');
    files.take([
      file('map.json', map.value),
      file('bad.json', '{"format":'),
      file('build.json', buildToFile(buildWithMap('from-file-build'))),
    ]);
    await vi.waitFor(() => expect(store.getState().ui.notices).toHaveLength(3), BOUND_TO_COME);
    expect(store.getState().workspace.shelf['from-file']?.name).toBe('From a file');
    expect(selectActiveBuild(store.getState()).id).toBe('from-file-build');
    const refusal = store.getState().ui.notices.find(({ tone }) => tone === 'trouble');
    expect(refusal?.text).toContain('bad.json');
    store.getState().undo();
    store.getState().undo();
    expect(store.getState().workspace.shelf['from-file']).toBeUndefined();
    expect(store.getState().workspace.buildOrder).toEqual(['demo']);
  });

  test('the same files again are not taken twice; changed ones are taken beside', async () => {
    const { store, files } = await visit();
    const taken = async (content: unknown) => {
      const before = store.getState().ui.notices.length;
      files.take([file('x.json', content)]);
      await vi.waitFor(() => expect(store.getState().ui.notices.length).toBeGreaterThan(before), BOUND_TO_COME);
    };
    const build = buildWithMap('twice');
    await taken(buildToFile(build));
    await taken(buildToFile(build));
    expect(store.getState().workspace.buildOrder).toEqual(['demo', 'twice']);
    await taken(buildToFile({ ...build, notes: 'changed' }));
    expect(store.getState().workspace.buildOrder).toHaveLength(3);
    expect(selectActiveBuild(store.getState()).name).toBe('Build twice (2)');
    // The map in it is the same, so it is shared.
    expect(selectActiveBuild(store.getState()).candidates[0]?.map).toBe(store.getState().workspace.shelf['twice-map']);
  });

  test('a backup waits for a yes with its counts; a yes is one step of undo, a no changes nothing', async () => {
    const { store, files } = await visit();
    const backup = workspaceToBackup(workspaceOf([buildWithMap('kept')]), '2026-01-05T08:00:00.000Z');
    const start = store.getState().workspace;
    files.take([file('backup.json', backup)]);
    await vi.waitFor(() => expect(store.getState().ui.pendingRestore).not.toBeNull(), BOUND_TO_COME);
    expect(store.getState().ui.pendingRestore).toMatchObject({
      fileName: 'backup.json',
      counts: { builds: 1, maps: 1, buildsHere: 0, mapsHere: 0 },
    });
    files.cancelRestore();
    expect(store.getState().workspace).toBe(start);
    files.take([file('backup.json', backup)]);
    await vi.waitFor(() => expect(store.getState().ui.pendingRestore).not.toBeNull(), BOUND_TO_COME);
    files.confirmRestore();
    expect(store.getState().workspace.buildOrder).toEqual(['demo', 'kept']);
    store.getState().undo();
    expect(store.getState().workspace.buildOrder).toEqual(['demo']);
  });
});
