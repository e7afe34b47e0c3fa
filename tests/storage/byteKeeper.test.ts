import { IDBFactory } from 'fake-indexeddb';
import 'fake-indexeddb/auto';
import { openDB } from 'idb';
import { beforeEach, describe, expect, test } from 'vitest';
import { emptyMap, emptyTracing, type MapDraft, type Workspace, workspaceOf } from '../../src/build/index.ts';
import { ByteKeeper } from '../../src/storage/index.ts';
import { buildWithMap } from '../build/anyChange.ts';
import { openWindow } from './browserStorage.ts';

const DAY = 24 * 3600 * 1000;
const bytes = (text: string) => new Blob([text], { type: 'image/png' });
const textOf = async (kept: { bytes: Blob } | null) => (kept === null ? null : kept.bytes.text());

function tracedFrom(id: string): Workspace {
  const start = workspaceOf([buildWithMap('a')]);
  const map: MapDraft = {
    ...emptyMap('traced'),
    tracing: { ...emptyTracing, picture: { id, name: 'scan.png', width: 100, height: 80, kept: true } },
  };
  return { ...start, shelf: { ...start.shelf, traced: map }, shelfOrder: [...start.shelfOrder, 'traced'] };
}

async function keeper(): Promise<ByteKeeper> {
  const { keeper: workspaceKeeper } = await openWindow();
  return new ByteKeeper('pictures', () => workspaceKeeper.database);
}

beforeEach(() => {
  globalThis.indexedDB = new IDBFactory();
});

describe('pictures of sheets', () => {
  test('are there on the next visit, and never replaced by another under the same id', async () => {
    const first = await keeper();
    await first.put({ id: 'p', bytes: bytes('the scan') });
    await first.put({ id: 'p', bytes: bytes('something else') });
    expect(await textOf(await (await keeper()).get('p'))).toBe('the scan');
    expect(await first.get('other')).toBeNull();
  });

  test('stay while a map needs them, and for a week after: undo may bring the map back', async () => {
    const pictures = await keeper();
    await pictures.put({ id: 'p', bytes: bytes('scan') });
    await pictures.sweep(tracedFrom('p'), 0);
    await pictures.sweep(tracedFrom('p'), 100 * DAY);
    expect(await pictures.get('p')).not.toBeNull();
    const without = workspaceOf([buildWithMap('a')]);
    await pictures.sweep(without, 100 * DAY);
    await pictures.sweep(without, 106 * DAY);
    expect(await pictures.get('p')).not.toBeNull();
    // Needed again in between: the week begins anew.
    await pictures.sweep(tracedFrom('p'), 106.5 * DAY);
    await pictures.sweep(without, 107 * DAY);
    await pictures.sweep(without, 113 * DAY);
    expect(await pictures.get('p')).not.toBeNull();
    await pictures.sweep(without, 115 * DAY);
    expect(await pictures.get('p')).toBeNull();
  });

  test.each(['map', 'donor', 'turbineSheet'] as const)(
    'stay while a build alone carries them as its %s',
    async (part) => {
      const pictures = await keeper();
      await pictures.put({ id: 'p', bytes: bytes('scan') });
      const build = buildWithMap('a');
      const { traced } = tracedFrom('p').shelf;
      if (traced === undefined) throw new Error('a traced map expected');
      const sheet: MapDraft = part === 'turbineSheet' ? { ...traced, kind: 'turbine' } : traced;
      const carrying = { ...build, candidates: build.candidates.map((c) => ({ ...c, [part]: sheet })) };
      const offShelf: Workspace = { ...workspaceOf([carrying]), shelf: {}, shelfOrder: [] };
      await pictures.sweep(offShelf, 0);
      await pictures.sweep(offShelf, 100 * DAY);
      expect(await pictures.get('p')).not.toBeNull();
    },
  );

  test('are kept in memory where nothing can be stored', async () => {
    const pictures = new ByteKeeper('pictures', () => null);
    await pictures.put({ id: 'p', bytes: bytes('scan') });
    expect(await textOf(await pictures.get('p'))).toBe('scan');
  });
});

test('a database from before there were pictures opens with what was in it', async () => {
  const old = await openDB('lugline', 1, {
    upgrade(database) {
      for (const name of ['builds', 'maps', 'meta']) database.createObjectStore(name);
    },
  });
  await old.put('maps', { revision: 1, version: 1, draft: emptyMap('old', 'An old map') }, 'old');
  old.close();
  const { loaded, keeper: workspaceKeeper } = await openWindow();
  expect(loaded?.workspace.shelf.old?.name).toBe('An old map');
  const pictures = new ByteKeeper('pictures', () => workspaceKeeper.database);
  await pictures.put({ id: 'p', bytes: bytes('scan') });
  expect(await pictures.get('p')).not.toBeNull();
});
