import { IDBFactory } from 'fake-indexeddb';
import 'fake-indexeddb/auto';
import { beforeEach, describe, expect, test, vi } from 'vitest';
import { draftToSheet, type MapDraft, sheetToDraft, type Workspace, workspaceOf } from '../../src/build/index.ts';
import { fitKey, sealOf, tryFitSurface } from '../../src/compressor/index.ts';
import type { KeptFit, MapSheet } from '../../src/compressor/types.ts';
import type { LuglineDatabase } from '../../src/storage/database.ts';
import { FitKeeper } from '../../src/storage/index.ts';
import { buildWithMap } from '../build/anyChange.ts';
import { factoryMap, largerMap } from '../machines/demo-maps.ts';
import { BOUND_TO_COME, openWindow, storedNow } from './browserStorage.ts';

function withMaps(...sheets: readonly MapSheet[]): Workspace {
  const start = workspaceOf([buildWithMap('a')]);
  const maps = sheets.map((sheet, i) => sheetToDraft(sheet, `map ${i}`));
  return {
    ...start,
    shelf: Object.fromEntries(maps.map((map) => [map.id, map])),
    shelfOrder: maps.map(({ id }) => id),
  };
}

function sheetOf(draft: MapDraft | undefined): MapSheet {
  const reading = draft === undefined ? null : draftToSheet(draft);
  if (reading?.ok !== true) throw new Error('a sheet expected');
  return reading.sheet;
}

/** What a surface says somewhere in the middle of the demonstration maps. */
function numberOf(fit: ReturnType<typeof tryFitSurface>): number | null {
  if (!fit.ok) throw new Error('a surface expected');
  return fit.surface.at(0.5 * fit.surface.extent.maxFlowKgPerS, 2).correctedSpeedRpm;
}

async function page(workspace: Workspace): Promise<{ fits: FitKeeper; database: LuglineDatabase }> {
  const { keeper } = await openWindow();
  const { database } = keeper;
  if (database === null) throw new Error('a database expected');
  const fits = new FitKeeper(
    () => keeper.database,
    () => workspace,
  );
  await fits.load();
  return { fits, database };
}

async function stored(database: LuglineDatabase): Promise<Map<string, { numbers: KeptFit; seal: string }>> {
  return (await database.get('meta', 'fits')) as Map<string, { numbers: KeptFit; seal: string }>;
}

beforeEach(() => {
  globalThis.indexedDB = new IDBFactory();
});

const workspace = withMaps(factoryMap(), largerMap());
const sheets = Object.values(workspace.shelf).map(sheetOf);
const [sheet] = sheets as [MapSheet, MapSheet];

describe('fits of maps', () => {
  test('are what any fit gives, and are there on the next visit', async () => {
    const first = await page(workspace);
    for (const each of sheets) expect(numberOf(first.fits.fit(each))).toBe(numberOf(tryFitSurface(each)));
    await first.fits.store();
    const second = await page(workspace);
    for (const each of sheets) expect(numberOf(second.fits.fit(each))).toBe(numberOf(tryFitSurface(each)));
    // That they are taken from the store: an altered one under a good seal is believed.
    const kept = await stored(first.database);
    expect([...kept.keys()].sort()).toEqual(sheets.map(fitKey).sort());
    const key = fitKey(sheet);
    const numbers = kept.get(key)!.numbers.map((value, i) => (i === 9 ? value + 0.1 : value));
    await first.database.put('meta', kept.set(key, { numbers, seal: sealOf(key, numbers) }), 'fits');
    expect(numberOf((await page(workspace)).fits.fit(sheet))).not.toBe(numberOf(tryFitSurface(sheet)));
  });

  test('that are damaged, foreign or under a wrong key are searched for anew, without a word', async () => {
    const first = await page(workspace);
    for (const each of sheets) first.fits.fit(each);
    await first.fits.store();
    const good = await stored(first.database);
    const key = fitKey(sheet);
    const own = good.get(key)!;
    const altered = own.numbers.map((value, i) => (i === 9 ? value + 0.1 : value));
    const other = good.get(fitKey(sheets[1]!))!;
    const wrong: unknown[] = [
      ...[
        { ...own, numbers: altered },
        other,
        { ...own, seal: '' },
        { ...own, numbers: [...own.numbers] },
        null,
        7,
      ].map((record) => new Map([[key, record]])),
      'rubbish',
      { [key]: { ...own, numbers: altered } },
      [],
      null,
    ];
    for (const record of wrong) {
      await first.database.put('meta', record, 'fits');
      const next = await page(workspace);
      expect(numberOf(next.fits.fit(sheet))).toBe(numberOf(tryFitSurface(sheet)));
      await next.fits.store();
      // And it heals.
      expect((await stored(next.database)).get(key)).toEqual(own);
    }
    expect((await openWindow()).keptAside).toEqual([]);
  });

  test('are stored for the maps of the workspace only, and what another window stored of these stays', async () => {
    const one = await page(workspace);
    one.fits.fit(sheet);
    one.fits.fit({ ...sheet, speedLines: sheet.speedLines.slice(1) });
    const two = await page(workspace);
    two.fits.fit(sheets[1]!);
    await one.fits.store();
    await two.fits.store();
    expect([...(await stored(one.database)).keys()].sort()).toEqual(sheets.map(fitKey).sort());
    const fewer = await page(withMaps(factoryMap()));
    fewer.fits.fit(sheet);
    await fewer.fits.store();
    expect([...(await stored(fewer.database)).keys()]).toEqual([fitKey(sheet)]);
  });

  test('change nothing of what else is stored', async () => {
    const before = await page(workspace);
    before.fits.fit(sheet);
    // The window itself stores what it begins with, within a second.
    await vi.waitFor(async () => expect(await storedNow()).not.toBeNull(), BOUND_TO_COME);
    const state = await storedNow();
    await before.fits.store();
    expect(await storedNow()).toEqual(state);
    expect(await before.database.getAllKeys('meta')).toContain('fits');
  });

  test('are made as ever where there is no database, or it fails', async () => {
    const without = new FitKeeper(
      () => null,
      () => workspace,
    );
    await without.load();
    expect(numberOf(without.fit(sheet))).toBe(numberOf(tryFitSurface(sheet)));
    await without.store();
    const { fits, database } = await page(workspace);
    database.close();
    await fits.load();
    expect(numberOf(fits.fit(sheet))).toBe(numberOf(tryFitSurface(sheet)));
    await fits.store();
  });

  test('are stored by themselves when no more are made for some seconds', async () => {
    const { fits, database } = await page(workspace);
    vi.useFakeTimers({ toFake: ['setTimeout', 'clearTimeout'] });
    try {
      fits.fit(sheet);
      vi.advanceTimersByTime(2000);
      fits.fit(sheets[1]!);
      vi.advanceTimersByTime(2900);
      expect(await Promise.resolve(vi.getTimerCount())).toBe(1);
      vi.advanceTimersByTime(200);
    } finally {
      vi.useRealTimers();
    }
    await vi.waitFor(async () => expect((await stored(database)).size).toBe(2), BOUND_TO_COME);
    // Nothing new, nothing to store.
    vi.useFakeTimers({ toFake: ['setTimeout', 'clearTimeout'] });
    fits.fit(sheet);
    expect(vi.getTimerCount()).toBe(0);
    vi.useRealTimers();
  });
});
