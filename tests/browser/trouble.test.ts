import { describe, expect, inject, it } from 'vitest';
import { closeCleanly, download, load, openApp, typeInto, untilStored } from './harness.ts';
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

describe('when late parts of the program cannot be fetched', () => {
  /** The gate for what another program wrote, and the work on files. */
  const PARTS = /\/assets\/(?:gate|fileActions)-[\w-]+\.js$/;

  it('opens what this program stored, keeps what is typed, and saves everything as a file', async () => {
    const session = await openApp();
    const { page, context } = session;
    await context.route(PARTS, (route) => route.abort());
    const open = async () => {
      await page.goto(inject('appUrl'));
      await page.getByRole('main').waitFor();
    };
    await typeInto(field(page, 'Altitude'), '1350');
    await untilStored(page, '1350');
    await open();
    expect(await field(page, 'Altitude').inputValue()).toBe('1350');
    await typeInto(field(page, 'Altitude'), '1450');
    await untilStored(page, '1450');
    const file = await download(page, () => chooseInBuildMenu(page, 'Save a backup of everything'));
    expect(file.bytes.toString('utf8')).toContain('"1450"');
    await chooseInBuildMenu(page, 'Save as a build file');
    await page.getByText('opens and saves files could not be fetched').waitFor();
    // Left before it is saved: put down, and taken by the next page that has the gate.
    await typeInto(field(page, 'Altitude'), '1550');
    await open();
    await context.unroute(PARTS);
    session.lateRequests.length = 0;
    await load(page);
    expect(await field(page, 'Altitude').inputValue()).toBe('1550');
    expect(session.complaints.filter((said) => !said.includes('ERR_FAILED'))).toEqual([]);
    await context.close();
  });

  it('shows and overwrites nothing that only the gate can read, says so, and brings all together at the next visit', async () => {
    const session = await openApp();
    const { page, context } = session;
    await typeInto(field(page, 'Altitude'), '1350');
    await untilStored(page, '1350');
    // As another version of the program leaves it.
    await page.evaluate(async () => {
      const done = <T>(request: IDBRequest<T>) =>
        new Promise<T>((resolve, reject) => {
          request.onsuccess = () => resolve(request.result);
          request.onerror = () => reject(request.error);
        });
      const database = await done(indexedDB.open('lugline'));
      await done(database.transaction('meta', 'readwrite').objectStore('meta').delete('seals'));
      database.close();
    });
    await context.route(PARTS, (route) => route.abort());
    await page.goto(inject('appUrl'));
    await page.getByText('A part of the program could not be fetched').first().waitFor();
    expect(await field(page, 'Altitude').inputValue()).toBe('0');
    await typeInto(field(page, 'Altitude'), '777');
    await untilStored(page, '1350');
    await context.unroute(PARTS);
    // The browser asks, for what was typed stands in the page only; it is put down all the same.
    page.on('dialog', (dialog) => void dialog.accept());
    await load(page);
    expect(await field(page, 'Altitude').inputValue()).toBe('777');
    await untilStored(page, '1350', '777');
    expect(session.complaints.filter((said) => !said.includes('ERR_FAILED'))).toEqual([]);
    await context.close();
  });
});
