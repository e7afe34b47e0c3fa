import { afterEach, beforeEach, describe, expect, test, vi } from 'vitest';
import { lateFiles } from '../../src/app/lateFiles.ts';
import { setBuildField, workspaceOf } from '../../src/build/index.ts';
import { BackupKeeper, type BackupStatus } from '../../src/storage/index.ts';
import { createLuglineStore } from '../../src/store/index.ts';
import { buildWithMap } from '../build/anyChange.ts';
import { altitudeIn, keptFile, memory } from '../storage/keptFile.ts';

const start = workspaceOf([buildWithMap('a')]);
const altitude = (text: string) => setBuildField('air.altitude', { text, unit: 'm' });

/** A page whose backup file was chosen at an earlier visit, as it is before the part that works on files has come. */
async function visit() {
  const { file, handle } = keptFile();
  const kept = memory();
  const options = { onStatus: () => undefined, download: () => undefined, picker: async () => handle };
  await new BackupKeeper(() => kept, options).choose(start);
  const store = createLuglineStore(start);
  const status: Partial<BackupStatus> = {};
  const late = lateFiles({
    store,
    database: () => kept as never,
    onStatus: (changed) => void Object.assign(status, changed),
    keptAside: [],
  });
  store.subscribe(({ workspace }) => late.changed(workspace));
  return { file, store, late, status };
}

beforeEach(() => void vi.useFakeTimers({ now: 1_800_000_000_000 }));
afterEach(() => void vi.useRealTimers());

describe('before the part that works on files has come', () => {
  test('what is changed goes into the kept file when it has come', async () => {
    const { file, store, late, status } = await visit();
    store.getState().run(altitude('500'));
    expect(file.writes).toBe(1);
    await late.fetch();
    expect(status).toMatchObject({ keptFileName: 'shop-backup.json', keptFileNeedsPermission: false });
    await vi.advanceTimersByTimeAsync(11_000);
    expect(altitudeIn(file.content)).toBe('500');
    store.getState().run(altitude('900'));
    await vi.advanceTimersByTimeAsync(11_000);
    expect(altitudeIn(file.content)).toBe('900');
  });

  test('nothing is written where nothing was changed', async () => {
    const { file, late } = await visit();
    await late.fetch();
    await vi.advanceTimersByTimeAsync(61_000);
    expect(file.writes).toBe(1);
  });

  test('a page that is left when it has come writes the kept file at once', async () => {
    const { file, store, late } = await visit();
    late.flush();
    store.getState().run(altitude('700'));
    await late.fetch();
    late.flush();
    await vi.advanceTimersByTimeAsync(0);
    expect(altitudeIn(file.content)).toBe('700');
  });

  test('what is asked of it is done when it has come, and at once from then on', async () => {
    const { store, late } = await visit();
    const text = '{"format":';
    const file = { name: 'cut.json', size: text.length, text: async () => text } as unknown as File;
    late.files.take([file]);
    await late.fetch();
    await vi.advanceTimersByTimeAsync(0);
    expect(store.getState().ui.notices.map((notice) => notice.text)).toEqual([expect.stringContaining('cut.json')]);
    store.getState().setUi({ pendingRestore: { fileName: 'x', savedAt: null, counts: COUNTS, passedOver: [] } });
    late.files.cancelRestore();
    expect(store.getState().ui.pendingRestore).toBeNull();
  });
});

const COUNTS = { builds: 1, maps: 0, buildsHere: 0, mapsHere: 0 };
