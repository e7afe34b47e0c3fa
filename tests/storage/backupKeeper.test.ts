import { afterEach, beforeEach, describe, expect, test, vi } from 'vitest';
import { setBuildField, type Workspace, workspaceOf } from '../../src/build/index.ts';
import { BackupKeeper, type BackupStatus } from '../../src/storage/index.ts';
import type { BackupHandle, BackupStore, FileToSave } from '../../src/storage/saveFile.ts';
import { buildWithMap } from '../build/anyChange.ts';
import { altitudeIn, keptFile, memory } from './keptFile.ts';

const start = workspaceOf([buildWithMap('a')]);
const altered = (text: string): Workspace => setBuildField('air.altitude', { text, unit: 'm' }).perform(start);

function keeper(handle: BackupHandle | null, store: BackupStore | null = null) {
  const status: Partial<BackupStatus> = {};
  const downloads: FileToSave[] = [];
  const options = {
    onStatus: (changed: Partial<BackupStatus>) => void Object.assign(status, changed),
    download: (file: FileToSave) => void downloads.push(file),
    ...(handle === null ? {} : { picker: async () => handle }),
  };
  return { keeper: new BackupKeeper(() => store, options), status, downloads };
}

beforeEach(() => void vi.useFakeTimers({ now: 1_800_000_000_000 }));
afterEach(() => void vi.useRealTimers());

describe('a file that the page may keep', () => {
  test('is written when chosen, and again by itself ten seconds after the last change', async () => {
    const { file, handle } = keptFile();
    const { keeper: backup, status } = keeper(handle);
    expect(backup.canKeepFile).toBe(true);
    await backup.choose(start);
    expect(altitudeIn(file.content)).toBe('0');
    expect(status).toMatchObject({ keptFileName: 'shop-backup.json', lastFileSavedAt: 1_800_000_000_000 });
    backup.changed(altered('500'));
    await vi.advanceTimersByTimeAsync(6_000);
    backup.changed(altered('900'));
    await vi.advanceTimersByTimeAsync(9_000);
    expect(file.writes).toBe(1);
    await vi.advanceTimersByTimeAsync(1_500);
    expect(file.writes).toBe(2);
    expect(altitudeIn(file.content)).toBe('900');
    expect(status.lastFileSavedAt).toBeGreaterThan(1_800_000_000_000);
    await vi.advanceTimersByTimeAsync(60_000);
    expect(file.writes).toBe(2);
  });

  test('is written within a minute when the changes do not stop', async () => {
    const { file, handle } = keptFile();
    const { keeper: backup } = keeper(handle);
    await backup.choose(start);
    for (let second = 0; second < 65; second += 5) {
      backup.changed(altered(String(second)));
      await vi.advanceTimersByTimeAsync(5_000);
    }
    expect(file.writes).toBe(2);
  });

  test('without leave to write it waits for a click, and says so', async () => {
    const { file, handle } = keptFile();
    const { keeper: backup, status } = keeper(handle);
    await backup.choose(start);
    file.permission = 'prompt';
    backup.changed(altered('700'));
    await vi.advanceTimersByTimeAsync(11_000);
    expect(status.keptFileNeedsPermission).toBe(true);
    expect(status.keptFileProblem).toContain('shop-backup.json');
    expect(altitudeIn(file.content)).toBe('0');
    await backup.allow(altered('700'));
    expect(altitudeIn(file.content)).toBe('700');
    expect(status).toMatchObject({ keptFileNeedsPermission: false, keptFileProblem: null });
  });

  test('is known again at the next visit, and written at once while the leave still stands', async () => {
    const { file, handle } = keptFile();
    const store = memory();
    await keeper(handle, store).keeper.choose(start);
    const next = keeper(handle, store);
    await next.keeper.restore();
    expect(next.status).toMatchObject({ keptFileName: 'shop-backup.json', keptFileNeedsPermission: false });
    next.keeper.changed(altered('77'));
    await vi.advanceTimersByTimeAsync(11_000);
    expect(altitudeIn(file.content)).toBe('77');
    file.permission = 'prompt';
    const later = keeper(handle, store);
    await later.keeper.restore();
    expect(later.status).toMatchObject({ keptFileNeedsPermission: true });
    await later.keeper.forget();
    const last = keeper(handle, store);
    await last.keeper.restore();
    expect(last.status).toMatchObject({ keptFileName: null, lastFileSavedAt: expect.any(Number) });
  });

  test('a dialog that is closed changes nothing', async () => {
    const status: Partial<BackupStatus>[] = [];
    const backup = new BackupKeeper(() => null, {
      onStatus: (changed) => void status.push(changed),
      download: () => undefined,
      picker: () => Promise.reject(new DOMException('closed', 'AbortError')),
    });
    await backup.choose(start);
    expect(status).toEqual([]);
  });
});

test('where the browser keeps no file, everything goes to the downloads and the time is noted', async () => {
  const { keeper: backup, status, downloads } = keeper(null);
  expect(backup.canKeepFile).toBe(false);
  await backup.choose(altered('321'));
  expect(downloads).toHaveLength(1);
  expect(downloads[0]?.name).toMatch(/^lugline-backup-\d{4}-\d\d-\d\d\.json$/);
  expect(altitudeIn(downloads[0]?.text ?? '')).toBe('321');
  expect(status).toMatchObject({ lastFileSavedAt: 1_800_000_000_000, keptFileName: null });
});
