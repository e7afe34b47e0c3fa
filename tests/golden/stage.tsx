import { act, cleanup, render } from '@testing-library/react';
import userEvent from '@testing-library/user-event';
import { expect, vi } from 'vitest';
import { drawAtFixedSize } from '../views/fixed-size.ts';
import {
  App,
  fetchLateParts,
  fetchStudyWorker,
  keepStudies,
  LuglineContext,
  type LuglineStore,
  openProgram,
} from './doors.ts';
import { drawingOf, drawingsOf, ownName, seen, wordsOf } from './serialise.ts';

/* The whole program on a stage of fixed size, day and chance, and what stands on it compared with the golden files. */

/** A file that the program handed to the browser. */
interface Saved {
  name: string;
  text: string;
}

export interface Stage {
  store: LuglineStore;
  user: ReturnType<typeof userEvent.setup>;
  saved: Saved[];
  /** What the header does with files. */
  files: Parameters<typeof App>[0]['files'];
  /** Takes a file in, as one that is dropped on the page. */
  drop: (name: string, content: string) => Promise<void>;
  close: () => void;
}

/** Opens the program as a fresh profile does, its studies computed in the page and without delay. */
export async function openStage(): Promise<Stage> {
  await everyPart();
  fixWorld();
  const saved = catchFiles();
  stubWorker(await listenerOfStudies());
  const { store, files, close } = await openProgram();
  const studies = keepStudies(store);
  render(
    <LuglineContext value={store}>
      <App files={files} />
    </LuglineContext>,
  );
  return {
    store,
    user: userEvent.setup({ delay: null, pointerEventsCheck: 0 }),
    saved,
    files,
    drop: async (name, content) => {
      await act(async () => files.take([new File([content], name)]));
      await settled();
    },
    close: () => {
      studies.close();
      close();
      cleanup();
      freeWorld();
      // Differences that no test told are told here: none may get lost.
      tellDifferences();
    },
  };
}

/** Jsdom measures nothing, and the clock, the locale and chance are those of the machine: all four are held still. */
function fixWorld(): void {
  // Where nothing is offered: the units of the region are a matter of their own test.
  vi.spyOn(navigator, 'language', 'get').mockReturnValue('en-GB');
  drawAtFixedSize(700, 500);
  vi.useFakeTimers({ toFake: ['Date'], now: new Date('2026-03-14T12:00:00Z') });
  let drawn = 0;
  vi.spyOn(crypto, 'getRandomValues').mockImplementation((array) => {
    drawn += 1;
    const bytes = new Uint8Array(array!.buffer);
    bytes.fill(0);
    new DataView(array!.buffer).setUint16(bytes.length - 2, drawn);
    return array;
  });
  for (const name of ['toLocaleDateString', 'toLocaleTimeString'] as const) {
    const own = Date.prototype[name];
    vi.spyOn(Date.prototype, name).mockImplementation(function (this: Date, locale, options) {
      return own.call(this, locale ?? 'en-GB', { timeZone: 'UTC', ...options });
    });
  }
  // Jsdom has no Blob.text().
  lend(Blob.prototype, 'text', function (this: Blob) {
    return new Promise<string>((resolve, reject) => {
      const reader = new FileReader();
      reader.onload = () => resolve(String(reader.result));
      reader.onerror = () => reject(reader.error);
      reader.readAsText(this, 'utf-8');
    });
  });
}

const lent: (() => void)[] = [];

/** Puts a function where jsdom has none, until the stage is closed. */
function lend<T extends object, K extends keyof T>(home: T, name: K, own: T[K]): void {
  const before = Object.getOwnPropertyDescriptor(home, name);
  home[name] = own;
  lent.push(() => {
    if (before === undefined) delete home[name];
    else Object.defineProperty(home, name, before);
  });
}

/** Test files share a page: what was held still moves again for the next one. */
function freeWorld(): void {
  vi.useRealTimers();
  vi.restoreAllMocks();
  vi.unstubAllGlobals();
  for (const giveBack of lent.splice(0)) giveBack();
}

function catchFiles(): Saved[] {
  const saved: Saved[] = [];
  const blobs = new Map<string, Blob>();
  lend(URL, 'createObjectURL', (blob) => {
    const url = `blob:${blobs.size}`;
    blobs.set(url, blob as Blob);
    return url;
  });
  lend(URL, 'revokeObjectURL', () => undefined);
  vi.spyOn(HTMLAnchorElement.prototype, 'click').mockImplementation(function (this: HTMLAnchorElement) {
    const blob = blobs.get(this.href);
    if (blob !== undefined) void blob.text().then((text) => saved.push({ name: this.download, text }));
  });
  return saved;
}

type Listener = (event: { data: unknown }) => unknown;
let listener: Promise<Listener> | null = null;

function listenerOfStudies(): Promise<Listener> {
  listener ??= (async () => {
    const add = vi.spyOn(globalThis, 'addEventListener');
    await fetchStudyWorker();
    const call = add.mock.calls.find(([type]) => (type as string) === 'message');
    add.mockRestore();
    if (call === undefined) throw new Error('The worker of the studies listens to nothing.');
    return call[1] as unknown as Listener;
  })();
  return listener;
}

let parts: Promise<void> | null = null;

/** What is fetched late is there before the first picture is taken, whatever ran before in this worker. */
function everyPart(): Promise<void> {
  parts ??= (async () => {
    fetchLateParts([]);
    await vi.waitFor(() => expect(document.documentElement.dataset.parts).toBe('loaded'), { timeout: 60_000 });
    delete document.documentElement.dataset.parts;
  })();
  return parts;
}

function stubWorker(listen: Listener): void {
  vi.stubGlobal(
    'Worker',
    class {
      onmessage: Listener | null = null;
      onerror: Listener | null = null;
      private isEnded = false;
      terminate() {
        this.isEnded = true;
      }
      postMessage(data: unknown) {
        setTimeout(async () => {
          if (this.isEnded) return;
          const answers: unknown[] = [];
          vi.stubGlobal('postMessage', (answer: unknown) => answers.push(answer));
          await listen({ data: structuredClone(data) });
          for (const answer of answers) act(() => this.onmessage?.({ data: structuredClone(answer) }));
        }, 0);
      }
    },
  );
}

/** Waits until nothing is being computed any more and what stands in the page stays. */
export async function settled(restMs = 40): Promise<void> {
  let changes = 1;
  const watch = new MutationObserver(() => {
    changes += 1;
  });
  watch.observe(document.body, { subtree: true, childList: true, characterData: true, attributes: true });
  try {
    let quietSince = performance.now();
    for (let tries = 0; tries < 2000; tries += 1) {
      changes = 0;
      await act(() => new Promise((resolve) => setTimeout(resolve, 15)));
      if (changes > 0) quietSince = performance.now();
      else if (performance.now() - quietSince > restMs && !/computing/i.test(document.body.textContent ?? '')) return;
    }
  } finally {
    watch.disconnect();
  }
  throw new Error('The page does not come to rest.');
}

let differences: { name: string; error: unknown }[] = [];

/** A difference does not end the walk: the whole of what a change brings is told at the end of each test. */
async function hold(name: string, text: string): Promise<void> {
  try {
    expect(text.trim()).not.toBe('');
    await expect(text).toMatchFileSnapshot(`./files/${name}`);
  } catch (error) {
    differences.push({ name, error });
  }
}

/** Goes after each test of a file. Files share this module, so it cannot do so by itself. */
export function tellDifferences(): void {
  const found = differences;
  differences = [];
  const [first] = found;
  if (first === undefined) return;
  const names = found.map(({ name }) => name).join(', ');
  throw new Error(`Not as in tests/golden/files: ${names}. The first of them:`, { cause: first.error });
}

/** Holds the words of a part of the page against the golden file of this name. */
export async function expectWords(name: string, root: Element = document.body): Promise<void> {
  await settled();
  await hold(`${name}.txt`, wordsOf(root));
}

/** Holds the drawings of a part of the page against the golden file of this name; gives them back. */
export async function expectDrawings(name: string, root: Element = document.body): Promise<string> {
  await settled();
  const drawings = drawingsOf(root);
  await hold(`${name}.svg.txt`, drawings);
  return drawings;
}

/** Holds any text against the golden file of this name. */
export const expectText = (name: string, text: string): Promise<void> => hold(name, text);

/** Does `act` and gives the file that the program saved with it. */
export async function savedBy({ saved }: Stage, act: () => Promise<void>): Promise<Saved> {
  const before = saved.length;
  await act();
  for (let tries = 0; saved.length === before && tries < 1000; tries += 1)
    await new Promise((resolve) => setTimeout(resolve, 10));
  expect(saved.length).toBe(before + 1);
  return saved[before]!;
}

/** A saved drawing as its elements. */
export function drawingOfFile({ name, text }: Saved): string {
  const parsed = new DOMParser().parseFromString(text, 'image/svg+xml');
  expect(parsed.querySelector('parsererror')).toBeNull();
  return `${name}\n${drawingOf(parsed.documentElement)}\n`;
}

/** Opens every closed section of a part of the page. */
export async function openAll({ user }: Stage, root: Element): Promise<void> {
  for (const button of root.querySelectorAll<HTMLElement>('button[aria-expanded="false"]:not([aria-haspopup])'))
    await user.click(button);
}

const ELEMENTS: Readonly<Record<string, string>> = {
  button: 'button',
  radio: 'input[type=radio]',
  combobox: 'select',
  region: 'section',
  main: 'main',
  navigation: 'nav',
  complementary: 'aside',
  table: 'table',
  group: 'fieldset',
  listitem: 'li',
  spinbutton: 'input[role=spinbutton]',
  textbox: 'input[type=text], textarea',
};

/**
 * All elements of a role and an accessible name, in the order of the page. The library's own queries work the roles of the whole page out
 * every time, which takes longer than drawing it.
 */
export function all<E extends HTMLElement = HTMLElement>(
  role: string,
  name: string | RegExp = /^/,
  root: Element = document.body,
): E[] {
  const selector = [`[role=${role}]`, ELEMENTS[role] ?? []].flat().join(', ');
  const fits = (said: string) => (typeof name === 'string' ? said === name : name.test(said));
  return [...root.querySelectorAll<E>(selector)].filter((one) => fits(ownName(one) || seen(one)));
}

/** The first element of a role and name; waits for it. */
export async function find<E extends HTMLElement = HTMLElement>(
  role: string,
  name: string | RegExp = /^/,
  root: Element = document.body,
): Promise<E> {
  for (let tries = 0; tries < 400; tries += 1) {
    const [found] = all<E>(role, name, root);
    if (found !== undefined) return found;
    await act(() => new Promise((resolve) => setTimeout(resolve, 25)));
  }
  throw new Error(
    `There is no ${role} called ${name}. In its place: ${all(role).map((one) => ownName(one) || seen(one))}`,
  );
}

export const press = async ({ user }: Stage, name: string | RegExp, root?: Element) =>
  user.click(await find('button', name, root));
export const choose = async ({ user }: Stage, name: string) => user.click(await find('radio', name));
export const pick = async ({ user }: Stage, name: string, option: string) =>
  user.selectOptions(await find('combobox', name), option);

/** Goes to one of the views by its button in the header. */
export async function go(stage: Stage, view: 'Match' | 'Altitude' | 'Maps' | 'Sheet'): Promise<void> {
  await press(stage, view, await find('navigation', 'Views'));
  // Every view has its list or its inputs at the side; it may still be on its way.
  await find(view === 'Maps' ? 'navigation' : 'complementary', undefined, document.querySelector('main')!);
  await settled();
}
