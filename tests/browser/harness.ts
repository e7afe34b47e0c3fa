import { mkdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { type Browser, type BrowserContext, chromium, type Locator, type Page } from 'playwright-core';
import { expect, inject } from 'vitest';

declare module 'vitest' {
  export interface ProvidedContext {
    /** Address of the built page. */
    appUrl: string;
    chromiumPath: string;
    chromiumArgs: readonly string[];
    /** Folder of the built page. */
    distDir: string;
  }
}

const SHOTS = join(import.meta.dirname, 'shots');

/** A script or style sheet of the built page: no query, so that nothing can be told by asking for it. */
const PART = /^\/?(?:assets\/[\w.-]+\.(?:m?js|css|wasm)|pdf\/(?:cmaps|iccs|standard_fonts|wasm)\/[\w.-]+)$/;

let browser: Browser | undefined;

/** One browser for all files of a worker, closed with the worker; what must be apart is a context of its own. */
export async function openBrowser(): Promise<Browser> {
  if (browser?.isConnected() !== true) {
    const [executablePath, args] = [inject('chromiumPath'), [...inject('chromiumArgs')]];
    browser = await chromium.launch({ executablePath, headless: true, args });
  }
  return browser;
}

/** Leaves nothing open for the next file. */
export async function closeContexts(): Promise<void> {
  for (const context of browser?.contexts() ?? []) await context.close();
}

export interface SessionOptions {
  width?: number;
  height?: number;
  colorScheme?: 'light' | 'dark';
  /** Runs in the page before any of its own scripts. */
  initScript?: string;
  serviceWorkers?: 'allow' | 'block';
}

/** A fresh profile with one open page, and everything that went wrong or out of it. */
export interface Session {
  context: BrowserContext;
  page: Page;
  /** Console errors and warnings, uncaught errors. */
  complaints: string[];
  /** Requests sent after the page had loaded. */
  lateRequests: string[];
}

/** Opens the app as a person with a new machine would, and waits until it can be used. */
export async function openApp(options: SessionOptions = {}): Promise<Session> {
  const context = await (await openBrowser()).newContext({
    viewport: { width: options.width ?? 1440, height: options.height ?? 900 },
    colorScheme: options.colorScheme ?? 'light',
    acceptDownloads: true,
    locale: 'en-GB',
    // What the page keeps for itself is a matter of its own test: here every request must be seen.
    serviceWorkers: options.serviceWorkers ?? 'block',
  });
  await context.grantPermissions(['clipboard-read', 'clipboard-write'], { origin: new URL(inject('appUrl')).origin });
  if (options.initScript !== undefined) await context.addInitScript(options.initScript);
  // Bound to come, however slow the machine: what never comes fails then.
  context.setDefaultTimeout(60_000);
  const page = await context.newPage();
  const session: Session = { context, page, complaints: [], lateRequests: [] };
  let loaded = false;
  page.on('console', (message) => {
    if (message.text() === 'Service Worker registration blocked by Playwright') return;
    if (['error', 'warning'].includes(message.type())) session.complaints.push(`${message.type()}: ${message.text()}`);
  });
  page.on('pageerror', (error) => session.complaints.push(`uncaught: ${error.stack ?? error.message}`));
  page.on('request', (request) => {
    // What a page makes for itself (an image of the plot, a file to save) never touches the network; the program's own parts are
    // fetched by name, from where the page came, when it is idle or when a view needs them. Nothing else may leave.
    const isOwnPart =
      request.method() === 'GET' &&
      PART.test(request.url().replace(inject('appUrl'), '')) &&
      request.url().startsWith(inject('appUrl'));
    if (loaded && !isOwnPart && !/^(?:blob|data):/.test(request.url())) session.lateRequests.push(request.url());
  });
  await load(page);
  loaded = true;
  return session;
}

/**
 * Goes to the app's address and waits until the page is loaded: its main landmark, its fonts, and the parts that it fetches by itself right
 * after its first picture, before anyone asks for them; the page says itself when they have come.
 */
export async function load(page: Page): Promise<void> {
  await page.goto(inject('appUrl'));
  await page.getByRole('main').waitFor();
  await page.waitForFunction(() => document.documentElement.dataset.parts === 'loaded');
  await page.evaluate(() => document.fonts.ready.then(() => undefined));
}

/** Waits until all of these texts stand in what the browser has stored: another visit finds them then. */
export async function untilStored(page: Page, ...texts: string[]): Promise<void> {
  const storedText = () =>
    page.evaluate(async () => {
      const done = <T>(request: IDBRequest<T>) =>
        new Promise<T>((resolve, reject) => {
          request.onsuccess = () => resolve(request.result);
          request.onerror = () => reject(request.error);
        });
      const database = await done(indexedDB.open('lugline'));
      const transaction = database.transaction(['builds', 'maps']);
      const stored = ['builds', 'maps'].map((name) => done(transaction.objectStore(name).getAll()));
      const text = JSON.stringify(await Promise.all(stored));
      database.close();
      return text;
    });
  await expect.poll(storedText).toSatisfy((stored: string) => texts.every((text) => stored.includes(`"${text}"`)));
}

/** Ends a session; fails when the page complained or sent a request of its own accord. */
export async function closeCleanly(session: Session): Promise<void> {
  await session.context.close();
  expect(session.complaints, 'console errors and warnings').toEqual([]);
  expect(session.lateRequests, 'requests after loading').toEqual([]);
}

/** Replaces a field's text by keyboard and leaves the field, as a person does. */
export async function typeInto(field: Locator, text: string): Promise<void> {
  await field.click();
  await field.press('ControlOrMeta+a');
  await field.pressSequentially(text);
  await field.press('Tab');
}

/** Copies `text` in another programme's stead and pastes it with the keyboard where the focus is put. */
export async function pasteInto(page: Page, target: Locator, text: string): Promise<void> {
  await target.click();
  await page.evaluate((value) => navigator.clipboard.writeText(value), text);
  await page.keyboard.press('ControlOrMeta+v');
}

/** Text of a file that the page offered for saving while `act` ran. */
export async function download(page: Page, act: () => Promise<void>): Promise<{ name: string; bytes: Buffer }> {
  const coming = page.waitForEvent('download');
  await act();
  const offered = await coming;
  return { name: offered.suggestedFilename(), bytes: readFileSync(await offered.path()) };
}

/** Drops a file on the page, as from a file manager. */
export async function dropFile(page: Page, name: string, text: string): Promise<void> {
  const dataTransfer = await page.evaluateHandle(
    ([fileName = '', content = '']) => {
      const transfer = new DataTransfer();
      transfer.items.add(new File([content], fileName, { type: 'application/json' }));
      return transfer;
    },
    [name, text],
  );
  for (const type of ['dragenter', 'dragover', 'drop']) await page.dispatchEvent('body', type, { dataTransfer });
}

/** A picture for the eye, kept out of git. */
export async function shoot(page: Page, name: string): Promise<void> {
  mkdirSync(SHOTS, { recursive: true });
  await page.screenshot({ path: join(SHOTS, `${name}.png`) });
}
