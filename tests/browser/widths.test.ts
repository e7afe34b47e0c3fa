import type { Page } from 'playwright-core';
import { describe, expect, it } from 'vitest';
import { demoBuild } from '../../src/build/demo.ts';
import { toMatchInput } from '../../src/build/index.ts';
import { demoLog } from '../../src/match/index.ts';
import { closeCleanly, dropFile, openApp, shoot } from './harness.ts';
import { readPdf } from './read-pdf.ts';
import { chooseInBuildMenu, openDrawer, openView } from './screen.ts';

/** What is wider than the screen gives, and what is smaller than can be read, everywhere but on paper. */
function misfits(page: Page): Promise<string[]> {
  return page.evaluate(() => {
    const found: string[] = [];
    const { scrollWidth } = document.scrollingElement!;
    if (scrollWidth > innerWidth) found.push(`the page is ${scrollWidth} wide`);
    for (const pane of document.querySelectorAll('main *')) {
      const isPane = pane.clientHeight > 250 && pane.querySelector(':scope > table') === null;
      const scrolls = ['auto', 'scroll'].includes(getComputedStyle(pane).overflowX);
      // Tables, and the strip of maps on a phone, may be pushed sideways.
      if (isPane && scrolls && pane.scrollWidth > pane.clientWidth + 1 && pane.querySelector('table') === null)
        found.push(`a pane is ${pane.scrollWidth} wide in ${pane.clientWidth}: ${pane.className}`);
    }
    const texts = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
    for (let node = texts.nextNode(); node !== null; node = texts.nextNode()) {
      const { parentElement: holder, textContent } = node;
      if (holder === null || textContent?.trim() === '' || holder.closest('[data-sheet-pages], [aria-hidden]'))
        continue;
      const { width, height } = holder.getBoundingClientRect();
      if (width <= 1 || height <= 1 || !holder.checkVisibility()) continue;
      const matrix = holder instanceof SVGGraphicsElement ? holder.getScreenCTM() : null;
      const size = Number.parseFloat(getComputedStyle(holder).fontSize) * (matrix ? Math.hypot(matrix.a, matrix.b) : 1);
      if (size < 12.99) found.push(`${size.toFixed(1)} px: ${textContent}`);
    }
    return [...new Set(found)];
  });
}

/** Parts of the Match view that lie over each other, or have no room for what is in them. */
function collisions(page: Page): Promise<string[]> {
  return page.evaluate(() => {
    const parts = [...document.querySelector('[aria-label="Verdict"]')!.parentElement!.children] as HTMLElement[];
    const found: string[] = [];
    const name = (part: HTMLElement) => part.getAttribute('aria-label') ?? part.className.split(' ')[0] ?? '';
    const boxes = parts.map((part) => part.getBoundingClientRect());
    for (const [i, part] of parts.entries()) {
      const [box, style] = [boxes[i]!, getComputedStyle(part)];
      if (box.height < 30) found.push(`${name(part)} is ${box.height} high`);
      if (style.overflowY === 'visible' && part.scrollHeight > part.clientHeight + 2)
        found.push(`${name(part)} runs over by ${part.scrollHeight - part.clientHeight}`);
      for (const [j, other] of boxes.entries()) {
        const across = Math.min(box.right, other.right) - Math.max(box.left, other.left);
        const down = Math.min(box.bottom, other.bottom) - Math.max(box.top, other.top);
        if (j > i && across > 1 && down > 1) found.push(`${name(part)} lies over ${name(parts[j]!)}`);
      }
    }
    return found;
  });
}

// 512: a screen of 1,024 at twice the zoom.
describe.each([390, 512, 820, 1024, 1440, 1920])('%d px wide', (width) => {
  it('no view scrolls sideways, none has a text below 13 px, whatever names are long', async () => {
    const session = await openApp({ width, height: width < 700 ? 844 : 900 });
    const { page } = session;
    const found: Record<string, string[]> = {};
    const look = async (what: string) => {
      found[what] = await misfits(page);
    };
    await look('Match');
    found.Match!.push(...(await collisions(page)));
    for (const part of ['Table', 'Turbine', 'Differences'] as const) {
      await openDrawer(page, part);
      await page.getByRole('region', { name: 'Drawer' }).locator('td').first().waitFor();
      await look(part);
      found[part]!.push(...(await collisions(page)));
    }
    for (const view of ['Altitude', 'Maps', 'Sheet'] as const) {
      await openView(page, view);
      await page
        .getByRole(view === 'Sheet' ? 'article' : 'application')
        .first()
        .waitFor();
      if (view === 'Altitude') await page.getByRole('table', { name: /^Allowed boost/ }).waitFor();
      await look(view);
    }
    await dropFile(
      page,
      `${'a log of the long climb with another intercooler '.repeat(2)}.csv`,
      demoLog(toMatchInput(demoBuild(), 0))!,
    );
    await page.getByRole('heading', { name: 'On the map of A' }).waitFor();
    await look('Log');
    expect(Object.entries(found).filter(([, all]) => all.length > 0)).toEqual([]);
    await closeCleanly(session);
  });
});

it('at 1024 the map keeps its size and place when a part of the drawer opens, which comes into sight', async () => {
  const session = await openApp({ width: 1024, height: 768 });
  const { page } = session;
  const map = page.getByRole('application', { name: /^Compressor map/ });
  const before = (await map.boundingBox())!;
  // The area beside the inputs, which are folded here: all of the page under its header.
  const below = (await page.getByRole('main').boundingBox())!;
  await openDrawer(page, 'Table');
  const cell = page.getByRole('region', { name: 'Drawer' }).locator('td').first();
  await cell.waitFor();
  const after = (await map.boundingBox())!;
  expect(after.width).toBeGreaterThan(0.98 * before.width);
  expect(after.height).toBeGreaterThan(0.98 * before.height);
  expect(before.width * before.height).toBeGreaterThan(0.45 * below.width * below.height);
  await expect.poll(async () => (await cell.boundingBox())!.y).toBeLessThan(768);
  await shoot(page, 'table-1024');
  await closeCleanly(session);
});

it.each([390, 1440])(
  '%d px wide, two maps in one drawing are named above it, where no label of it is',
  async (width) => {
    const session = await openApp({ width });
    const { page } = session;
    await page.getByRole('radio', { name: 'Overlay' }).check({ force: true });
    const maps = page.getByRole('region', { name: 'Maps of candidates A and B in one' });
    const drawing = (await maps.getByRole('application').boundingBox())!;
    const title = (await maps.getByRole('heading', { name: /^B: / }).boundingBox())!;
    expect(title.y + title.height).toBeLessThanOrEqual(drawing.y + 1);
    expect(drawing.height).toBeGreaterThan(0.6 * drawing.width);
    await shoot(page, `overlay-${width}`);
    await closeCleanly(session);
  },
);

describe('printed', () => {
  it.each(['light', 'dark'] as const)(
    'the match as it stands, in %s: whole, on white, without what is pressed',
    async (colorScheme) => {
      const session = await openApp({ colorScheme });
      const { page } = session;
      const pages = await readPdf(await page.pdf({ format: 'A4' }));
      const words = pages.flatMap(({ lines }) => lines).join('\n');
      expect(pages.length).toBeLessThanOrEqual(2);
      for (const said of [/Larger drop-in surges/, /limit 172/, /A at 2500 rpm/, /Speed margin/, /10 notes on B/])
        expect(words).toMatch(said);
      expect(words).not.toMatch(/Side by side|Undo|Counter mode|Air temperature|Add a candidate/);
      // As paper is laid out: 186 mm wide, and light.
      await page.setViewportSize({ width: 703, height: 1000 });
      await page.emulateMedia({ media: 'print' });
      const svg = page.getByRole('application', { name: /^Compressor map/ });
      const box = (await svg.boundingBox())!;
      expect(box.x + box.width).toBeLessThanOrEqual(703);
      await expect.poll(() => svg.locator('.ground').getAttribute('fill')).toBe('#fbfbf9');
      await closeCleanly(session);
    },
  );

  it('a log: every chart of it, over as many pages as it takes', async () => {
    const session = await openApp();
    const { page } = session;
    await openView(page, 'Log');
    await page.getByRole('button', { name: 'Try the invented log' }).click();
    await page.getByRole('heading', { name: /Volumetric efficiency/ }).waitFor();
    const pages = await readPdf(await page.pdf({ format: 'A4' }));
    const words = pages.flatMap(({ lines }) => lines).join('\n');
    expect(pages.length).toBeGreaterThan(1);
    for (const said of [/On the map of A/, /Over time/, /Shaft speed, rpm/, /second person reads the screen/])
      expect(words).toMatch(said);
    expect(words).not.toMatch(/Remove this log/);
    await closeCleanly(session);
  });
});

it('what is chosen is told by the system’s own colours where they stand in for ours', async () => {
  const session = await openApp();
  const { page } = session;
  await page.emulateMedia({ forcedColors: 'active' });
  const ground = (name: string) =>
    page
      .getByRole('navigation', { name: 'Views' })
      .getByRole('button', { name })
      .evaluate((button) => getComputedStyle(button).backgroundColor);
  expect(await ground('Match')).not.toBe(await ground('Maps'));
  await closeCleanly(session);
});

it('a new map on the shelf of a phone comes into sight', async () => {
  const session = await openApp({ width: 390, height: 844 });
  const { page } = session;
  await openView(page, 'Maps');
  await page.getByRole('button', { name: 'New map', exact: true }).click();
  const open = page.getByRole('main').getByRole('navigation').locator('[aria-current="true"]');
  await expect.poll(async () => (await open.textContent()) ?? '').toMatch(/^New map/);
  await expect
    .poll(async () => {
      const box = (await open.boundingBox())!;
      return box.x >= 0 && box.x + box.width <= 391;
    })
    .toBe(true);
  await closeCleanly(session);
});

it('a window of half the width names the build', async () => {
  const session = await openApp({ width: 512 });
  const { page } = session;
  await chooseInBuildMenu(page, 'Open the V6 example');
  const box = (await page.getByRole('button', { name: /^Build: / }).boundingBox())!;
  expect(box.width).toBeGreaterThan(120);
  await closeCleanly(session);
});
