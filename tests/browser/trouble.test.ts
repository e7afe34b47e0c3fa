import { describe, expect, it } from 'vitest';
import { closeCleanly, download, openApp, typeInto } from './harness.ts';
import { changed, chooseInBuildMenu, field, openView, readPoints } from './screen.ts';

/** As some browsers do in a private window, or under a company's policy. */
const NO_STORAGE = `
  Object.defineProperty(window, 'indexedDB', { configurable: true, get() { throw new DOMException('denied', 'SecurityError'); } });
  Object.defineProperty(window, 'localStorage', { configurable: true, get() { throw new DOMException('denied', 'SecurityError'); } });
`;
/** Storage that opens but refuses to take anything more. */
const FULL_STORAGE = `
  IDBObjectStore.prototype.put = function () { throw new DOMException('The disk is full.', 'QuotaExceededError'); };
  IDBObjectStore.prototype.add = IDBObjectStore.prototype.put;
`;

describe('when the browser does not store', () => {
  it('works in memory, says so, and offers the file', async () => {
    const session = await openApp({ initScript: NO_STORAGE });
    const { page } = session;
    const start = await readPoints(page);
    await typeInto(field(page, 'Altitude'), '2222');
    await changed(() => readPoints(page), start);
    await page
      .getByText(/Not stored/)
      .first()
      .waitFor();
    const file = await download(page, () => chooseInBuildMenu(page, 'Save as a build file'));
    expect(file.bytes.toString('utf8')).toContain('"2222"');
    await closeCleanly(session);
  });

  it('says when it is full, and loses nothing on screen', async () => {
    const session = await openApp({ initScript: FULL_STORAGE });
    const { page } = session;
    const start = await readPoints(page);
    await typeInto(field(page, 'Altitude'), '2222');
    const points = await changed(() => readPoints(page), start);
    await page
      .getByText(/Not (?:stored|saved)/)
      .first()
      .waitFor();
    expect(await readPoints(page)).toEqual(points);
    await closeCleanly(session);
  });
});

describe('when the network is gone', () => {
  it('goes on working, views and all', async () => {
    const session = await openApp();
    const { page, context } = session;
    // The page fetches its late parts by itself when it is idle; a busy machine puts that off beyond the quiet that openApp waits for.
    await page.waitForFunction(() =>
      performance.getEntriesByType('resource').some(({ name }) => /\/maps-[\w-]+\.js$/.test(name)),
    );
    await page.waitForLoadState('networkidle');
    await context.setOffline(true);
    const start = await readPoints(page);
    await typeInto(field(page, 'Altitude'), '2750');
    await changed(() => readPoints(page), start);
    await openView(page, 'Maps');
    await page.getByRole('navigation', { name: 'Shelf of maps' }).waitFor();
    await openView(page, 'Match');
    const file = await download(page, () => chooseInBuildMenu(page, 'Save a backup of everything'));
    expect(file.bytes.length).toBeGreaterThan(1000);
    await closeCleanly(session);
  });
});
