// @vitest-environment jsdom
import { IDBFactory } from 'fake-indexeddb';
import 'fake-indexeddb/auto';
import { afterEach, beforeEach, describe, expect, test, vi } from 'vitest';
import { openProgram, type Program } from '../../src/app/persistence.ts';
import { buildToFile, draftToMapFile, setBuildField, workspaceOf, workspaceToBackup } from '../../src/build/index.ts';
import { selectActiveBuild, selectCandidateResults } from '../../src/store/index.ts';
import { buildWithMap } from '../build/anyChange.ts';
import { tinyDraft } from '../build/tinyMap.ts';

const open: Program[] = [];

async function visit(): Promise<Program> {
  const program = await openProgram();
  open.push(program);
  return program;
}

/** Leaves the page as a person does: no time to wait for the autosave. */
async function leave(program: Program): Promise<void> {
  window.dispatchEvent(new Event('pagehide'));
  await vi.waitFor(() => expect(program.store.getState().storage.saving).toBe(false));
  await new Promise((resolve) => setTimeout(resolve, 20));
  program.close();
}

function file(name: string, content: unknown): File {
  const text = typeof content === 'string' ? content : JSON.stringify(content);
  return { name, size: text.length, text: async () => text } as unknown as File;
}

beforeEach(() => {
  globalThis.indexedDB = new IDBFactory();
});
afterEach(() => {
  for (const program of open.splice(0)) program.close();
});

describe('the program over several visits', () => {
  test('a fresh profile opens the demonstration; what is entered is there after leaving at once, with the same numbers', async () => {
    const first = await visit();
    expect(selectActiveBuild(first.store.getState()).invented).toBe(true);
    first.store.getState().run(setBuildField('air.altitude', { text: '2050', unit: 'm' }));
    first.store.getState().setDraft('demo/air.temperature', '24,x');
    const before = selectCandidateResults(first.store.getState(), 0)?.points;
    await leave(first);
    const second = await visit();
    expect(selectActiveBuild(second.store.getState()).air.altitude.text).toBe('2050');
    expect(second.store.getState().ui.drafts).toEqual({ 'demo/air.temperature': '24,x' });
    expect(selectCandidateResults(second.store.getState(), 0)?.points).toEqual(before);
    expect(second.store.getState().storage).toMatchObject({ mode: 'stored', problem: null });
  });

  test('without storage it goes on in memory and says so', async () => {
    const real = globalThis.indexedDB;
    // @ts-expect-error: a browser without storage
    globalThis.indexedDB = undefined;
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
    await vi.waitFor(() => expect(store.getState().ui.notices).toHaveLength(3));
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
      await vi.waitFor(() => expect(store.getState().ui.notices.length).toBeGreaterThan(before));
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
    await vi.waitFor(() => expect(store.getState().ui.pendingRestore).not.toBeNull());
    expect(store.getState().ui.pendingRestore).toMatchObject({
      fileName: 'backup.json',
      counts: { builds: 1, maps: 1, buildsHere: 0, mapsHere: 0 },
    });
    files.cancelRestore();
    expect(store.getState().workspace).toBe(start);
    files.take([file('backup.json', backup)]);
    await vi.waitFor(() => expect(store.getState().ui.pendingRestore).not.toBeNull());
    files.confirmRestore();
    expect(store.getState().workspace.buildOrder).toEqual(['demo', 'kept']);
    store.getState().undo();
    expect(store.getState().workspace.buildOrder).toEqual(['demo']);
  });
});
