import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, inject, it, vi } from 'vitest';
import { readPdf } from '../browser/read-pdf.ts';
import { type Engine, START } from './driver.ts';
import { engines } from './found.mjs';

/*
 * The program in engines other than the one it is built with: all views, typing, saving, opening, printing, a reload. Run with
 * `npm test -- engines`, and by `npm test` where they are found; which are not found is said by name.
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

async function start(name: keyof typeof START): Promise<void> {
  engine = await START[name]();
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

const saved = () =>
  expect.poll(() => engine.evaluate<string>(`${named(BUTTON, 'Your data')}?.textContent ?? ''`)).toMatch(/^Saved/);

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
    // Neither engine has a dialog for saving: the file leaves as a link to what it holds, which is read here.
    await engine.evaluate(`(window.leaving = null, HTMLAnchorElement.prototype.click = function () {
      window.leaving = fetch(this.href).then((answer) => answer.text());
    }, null)`);
    await press(BUTTON, 'Build: ');
    await press(BUTTON, 'Save as a build file');
    const text = () => engine.evaluate<string | null>('window.leaving');
    await expect.poll(text).toContain('"lugline-build"');
    const file = (await text()) ?? '';
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
