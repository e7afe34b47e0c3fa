import { existsSync, mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, inject, it, vi } from 'vitest';
import { readPdf } from '../browser/read-pdf.ts';
import { type Engine, START, type Visit } from './driver.ts';
import { engines } from './found.mjs';

/*
 * The program in engines other than the one it is built with: all views, typing, saving, opening, printing, a reload; and what their storage
 * does that no other's does. Run with `npm test -- engines`, and by `npm test` where they are found; which are not found is said by name.
 */
const SHOTS = join(import.meta.dirname, '..', 'browser', 'shots');
const here = engines.filter(({ missing }) => missing === '');

/** One window an engine: each test goes on where the one before it left. */
let engine: Engine;

const quoted = JSON.stringify;
/** Elements as a person knows them, by what they are and what stands on them or names them. */
const named = (selector: string, name: string) =>
  `[...document.querySelectorAll(${quoted(selector)})].find((e) => e.checkVisibility() &&
    [e.getAttribute('aria-label'), e.textContent, e.labels?.[0]?.textContent].some((n) => n?.trim().startsWith(${quoted(name)})))`;
const BUTTON = 'button, [role="menuitem"], [role="tab"]';
const VIEW = 'nav[aria-label="Views"] button';
const FIELD = '[role="spinbutton"]';

const loaded = () =>
  vi.waitFor(async () => expect(await engine.evaluate('document.documentElement.dataset.parts ?? ""')).toBe('loaded'), {
    timeout: 60_000,
  });

async function start(name: keyof typeof START, visit: Visit = {}): Promise<void> {
  engine = await START[name](visit);
  await engine.open(inject('appUrl'));
  await loaded();
}

/** A real click in the middle of what is so named, brought into sight first. */
async function press(selector: string, name: string): Promise<void> {
  const place = `(() => {
    const element = ${named(selector, name)};
    if (element === undefined) return null;
    element.scrollIntoView({ block: 'center' });
    const { x, y, width, height } = element.getBoundingClientRect();
    return [x + width / 2, y + height / 2];
  })()`;
  let at: readonly [number, number] | null = null;
  await expect.poll(async () => (at = await engine.evaluate(place)), { message: name }).not.toBeNull();
  await engine.click(...((at ?? [0, 0]) as readonly [number, number]));
}

const altitude = () => engine.evaluate<string>(`${named(FIELD, 'Altitude')}?.value ?? ''`);

async function typeAltitude(text: string): Promise<void> {
  await press(VIEW, 'Match');
  if ((await engine.evaluate<boolean>(`${named(FIELD, 'Altitude')} === undefined`)) === true)
    await press(BUTTON, 'Air');
  await press(FIELD, 'Altitude');
  await engine.evaluate('document.activeElement.select()');
  await engine.type(`${text}\uE004`);
  await expect.poll(altitude).toBe(text);
}

const header = () => engine.evaluate<string>(`${named(BUTTON, 'Your data')}?.getAttribute('aria-label') ?? ''`);
const saved = () => expect.poll(header).toMatch(/^Your data: Saved/);
const messages = () =>
  engine.evaluate<string>(`document.querySelector('[aria-label^="Messages on files"]')?.textContent ?? ''`);

/** Waits until the database holds the altitude. */
const stored = (text: string) =>
  expect
    .poll(() =>
      engine.evaluate<string>(`new Promise((resolve) => {
        const opening = indexedDB.open('lugline');
        opening.onerror = () => resolve(String(opening.error));
        opening.onsuccess = () => {
          const database = opening.result;
          database.onversionchange = () => database.close();
          const asked = database.objectStoreNames.contains('builds') && database.transaction('builds').objectStore('builds').getAll();
          if (!asked) return resolve('');
          asked.onsuccess = () => {
            database.close();
            resolve(asked.result.map((record) => record.file.air.altitude.text).join(' '));
          };
        };
      })`),
    )
    .toContain(text);

const complaints = () => engine.complaints() ?? [];

describe.each(here)('in $name', ({ name }) => {
  beforeAll(() => start(name));
  afterAll(() => engine.close());

  it('every view opens and computes, and none complains', async () => {
    mkdirSync(SHOTS, { recursive: true });
    const views = await engine.evaluate<string[]>(
      `[...document.querySelectorAll(${quoted(VIEW)})].map((b) => b.textContent)`,
    );
    expect(views.length).toBeGreaterThan(3);
    for (const view of views) {
      await press(VIEW, view);
      if (view === 'Log') await press(BUTTON, 'Try the invented log');
      const marks = () => engine.evaluate<number>(`document.querySelectorAll('main svg path[d]').length`);
      await expect.poll(marks, { message: view }).toBeGreaterThan(10);
      writeFileSync(join(SHOTS, `${name}-${view}.png`), await engine.picture());
      const text = await engine.evaluate<string>('document.querySelector("main").innerText');
      expect(text, view).not.toMatch(/NaN|undefined|Infinity/);
    }
    expect(complaints()).toEqual([]);
  });

  it('what is typed is saved, and is there after a reload', async () => {
    await typeAltitude('1730');
    await saved();
    await engine.reload();
    await loaded();
    await expect.poll(altitude).toBe('1730');
    expect(complaints()).toEqual([]);
  });

  it('saves the build as a file, and opens it again by a drop', async () => {
    await typeAltitude('1210');
    // Neither engine has a dialog for saving: the file leaves as a download of what it holds, which is read here.
    expect(await engine.evaluate(`'showSaveFilePicker' in window`)).toBe(false);
    await engine.evaluate(`(() => {
      const [make, held] = [URL.createObjectURL, new Map()];
      window.leaving = null;
      URL.createObjectURL = (blob) => {
        const url = make.call(URL, blob);
        held.set(url, blob);
        return url;
      };
      HTMLAnchorElement.prototype.click = function () {
        window.leaving = held.get(this.href).text();
        window.leavingAs = this.download;
      };
      return null;
    })()`);
    await press(BUTTON, 'Build: ');
    await press(BUTTON, 'Save as a build file');
    const text = () => engine.evaluate<string | null>('window.leaving');
    await expect.poll(text).toContain('"lugline-build"');
    const file = (await text()) ?? '';
    expect(await engine.evaluate('window.leavingAs')).toMatch(/\.lugline-build\.json$/);
    // What became of it no page is told.
    await expect.poll(header).toMatch(/^Your data: Saved here, download \d/);
    await press(BUTTON, 'Your data');
    const dialog = () => engine.evaluate<string>(`document.querySelector('[role="dialog"]')?.innerText ?? ''`);
    await expect.poll(dialog).toMatch(/Handed to the browser’s downloads/);
    expect(await dialog()).not.toMatch(/Keep a backup file up to date/);
    await engine.type('\uE00C');
    await expect.poll(dialog).toBe('');
    await typeAltitude('95');
    await engine.evaluate(`(() => {
      const dataTransfer = new DataTransfer();
      dataTransfer.items.add(new File([${quoted(file)}], 'from-a-stick.json', { type: 'application/json' }));
      for (const type of ['dragenter', 'dragover', 'drop'])
        document.body.dispatchEvent(new DragEvent(type, { dataTransfer, bubbles: true, cancelable: true }));
      return null;
    })()`);
    await expect.poll(altitude).toBe('1210');
    expect(complaints()).toEqual([]);
  });

  it('prints the match sheet', async () => {
    await press(VIEW, 'Sheet');
    await engine.evaluate('(window.print = () => { window.printed = true; }, null)');
    const ready = `${named(BUTTON, 'Print')}?.disabled === false`;
    await expect.poll(() => engine.evaluate(ready)).toBe(true);
    await press(BUTTON, 'Print');
    await expect.poll(() => engine.evaluate('window.printed ?? false')).toBe(true);
    const paper = await engine.print();
    if (paper !== null) {
      const pages = await readPdf(paper);
      expect(pages.length).toBeGreaterThan(0);
      expect(pages.flatMap((page) => page.lines).join('\n')).toMatch(/surge/i);
    }
    expect(complaints()).toEqual([]);
  });
});

describe.each(here)('storage that goes away in $name', ({ name }) => {
  beforeAll(() => start(name));
  afterAll(() => engine.close());

  it('cleared by the browser while the page is open: what was typed before and after is there after a reload', async () => {
    await typeAltitude('1640');
    await stored('1640');
    await engine.evaluate(`(localStorage.setItem('witness', 'here'), null)`);
    // The header of an answer makes the browser itself clear what it stores of this address. Both engines leave the database under a page that
    // has it open, so that it goes on; all else is gone.
    const answer = `fetch('clear-site-data', { cache: 'no-store' }).then((answer) => answer.text())`;
    expect(await engine.evaluate(answer)).toBe('cleared');
    await expect.poll(() => engine.evaluate(`localStorage.getItem('witness')`)).toBe(null);
    await typeAltitude('1650');
    await stored('1650');
    await engine.reload();
    await loaded();
    await expect.poll(altitude).toBe('1650');
  });

  it('deleted under the open page: what the page holds is written back, and said', async () => {
    await engine.evaluate(`new Promise((resolve, reject) => {
      const deleting = indexedDB.deleteDatabase('lugline');
      deleting.onsuccess = () => resolve(null);
      deleting.onerror = () => reject(deleting.error);
    })`);
    await expect.poll(messages).toMatch(/storage was cleared while this page was open.*written back/);
    await stored('1650');
    await saved();
    await engine.reload();
    await loaded();
    await expect.poll(altitude).toBe('1650');
  });
});

describe.each(here)('a private window of $name', ({ name }) => {
  it('keeps what is typed over a reload, says that it goes with the window, and is empty the next time', async () => {
    await start(name, { isPrivate: true });
    try {
      await typeAltitude('1840');
      await engine.reload();
      await loaded();
      await expect.poll(altitude).toBe('1840');
      await press(BUTTON, 'Your data');
      const dialog = () => engine.evaluate<string>(`document.querySelector('[role="dialog"]')?.innerText ?? ''`);
      await expect.poll(dialog).toMatch(/a private window does when it closes|gone when the page closes|does not say/);
      expect(complaints()).toEqual([]);
    } finally {
      await engine.close();
    }
    await start(name, { isPrivate: true });
    try {
      expect(await altitude()).not.toBe('1840');
      await saved();
      expect(await messages()).not.toMatch(/cannot be read/);
      expect(complaints()).toEqual([]);
    } finally {
      await engine.close();
    }
  });
});

describe.runIf(here.some(({ name }) => name === 'Firefox'))('a profile of Firefox', () => {
  const profile = mkdtempSync(join(tmpdir(), 'lugline-profile-'));
  afterAll(() => rmSync(profile, { recursive: true, force: true, maxRetries: 5 }));
  const visit = async (of: Visit, act: () => Promise<void>) => {
    await start('Firefox', of);
    try {
      await act();
    } finally {
      await engine.close();
    }
  };
  /** What the browser keeps of this address, by the folder in which Firefox has it. */
  const kept = (what: string) => {
    const { host } = new URL(inject('appUrl'));
    return join(profile, 'storage', 'default', `http+++${host.replace(':', '+')}`, what);
  };

  it('without a database: says that nothing is stored, and a reload finds what was typed all the same', () =>
    visit({ before: `Object.defineProperty(window, 'indexedDB', { value: undefined })` }, async () => {
      expect(await engine.evaluate('typeof indexedDB')).toBe('undefined');
      await typeAltitude('1530');
      await expect.poll(header).toBe('Your data: Not stored: save a file');
      await expect.poll(messages).toMatch(/offers no storage.*save a file before you close it/);
      await engine.reload();
      await loaded();
      await expect.poll(altitude).toBe('1530');
      await expect.poll(header).toBe('Your data: Not stored: save a file');
    }));

  it('whose database is thrown away while it is closed: what was typed last and never saved is there', async () => {
    await visit({ profile }, async () => {
      await typeAltitude('1320');
      await stored('1320');
      // Nothing is saved from here on; the page puts down what it holds as it goes.
      await engine.evaluate(`(() => {
        IDBDatabase.prototype.transaction = () => { throw new DOMException('full', 'QuotaExceededError'); };
        return null;
      })()`);
      await typeAltitude('1330');
      await expect.poll(header).toMatch(/Not stored/);
      await engine.open('about:blank');
    });
    expect(existsSync(kept('idb'))).toBe(true);
    rmSync(kept('idb'), { recursive: true });
    await visit({ profile }, async () => {
      await expect.poll(altitude).toBe('1330');
      await stored('1330');
      await saved();
    });
  });

  it('that is cleared as a whole while it is closed opens as a new one', async () => {
    expect(existsSync(kept(''))).toBe(true);
    rmSync(kept(''), { recursive: true });
    await visit({ profile }, async () => {
      expect(await altitude()).not.toBe('1330');
      await saved();
      expect(complaints()).toEqual([]);
    });
  });
});
