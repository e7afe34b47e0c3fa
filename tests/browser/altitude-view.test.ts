// The build for Node: it reads text without a canvas.
import { getDocument, VerbosityLevel } from 'pdfjs-dist/legacy/build/pdf.mjs';
import type { Page } from 'playwright-core';
import { describe, expect, it } from 'vitest';
import { closeCleanly, download, openApp, shoot, typeInto } from './harness.ts';
import { changed, field, openView, printedNumber, unfold } from './screen.ts';

const upToDate = (page: Page) => page.getByText('Up to date with the inputs.').waitFor();

async function openAltitude(page: Page): Promise<void> {
  await openView(page, 'Altitude');
  await upToDate(page);
}

/** A study of two candidates with turbines takes a second of a whole core, which other tests may share. */
const STUDIED = { timeout: 60_000 };

/** The matrix that the calibration table shows: text by engine speed and heading. */
async function readMatrix(page: Page): Promise<Map<string, Map<string, string>>> {
  const rows = await page
    .getByRole('region', { name: /^Calibration table, arrow keys/ })
    .locator('table')
    .evaluate((table) => {
      const own = (cell: Element) => cell.childNodes[0]?.textContent?.replaceAll('\u00a0', ' ').trim() ?? '';
      const heads = [...table.querySelectorAll('thead th')].map(own).slice(1);
      return [...table.querySelectorAll('tbody tr')].map((tr) => {
        const cells = [...tr.querySelectorAll('td')].map(own);
        return [own(tr.querySelector('th')!), heads.map((head, i) => [head, cells[i] ?? ''])] as const;
      });
    });
  return new Map(rows.map(([speed, cells]) => [speed, new Map(cells as [string, string][])]));
}

const cellOf = async (page: Page, speed: string, place: string) =>
  (await readMatrix(page)).get(speed)?.get(place) ?? '';

describe('the Altitude view', () => {
  it('reads a ceiling, and sees it fall when more of the shaft speed is kept in hand; undo brings it back', async () => {
    const session = await openApp();
    const { page } = session;
    await openAltitude(page);
    const before = await cellOf(page, '6500', '2000 m');
    expect(printedNumber(before)).toBeGreaterThan(0.5);
    await typeInto(field(page, 'Shaft speed reserve'), '8');
    const after = await changed(() => cellOf(page, '6500', '2000 m'), before);
    await upToDate(page);
    expect(printedNumber(after)).toBeLessThan(printedNumber(before));
    // Higher places never allow more than lower ones where the shaft speed binds.
    const row = (await readMatrix(page)).get('6500');
    const rising = ['0 m', '500 m', '1000 m', '1500 m', '2000 m'].map((place) => printedNumber(row?.get(place) ?? ''));
    expect(rising).toEqual(rising.toSorted((a, b) => b - a));
    await shoot(page, 'altitude-view');
    await page.keyboard.press('ControlOrMeta+z');
    await expect.poll(() => cellOf(page, '6500', '2000 m'), STUDIED).toBe(before);
    await openView(page, 'Match');
    await unfold(page, 'Limits');
    expect(await field(page, 'Shaft speed reserve').inputValue()).toBe('3');
    await closeCleanly(session);
  });

  it('links the pointer of the field to the read-out, the table and the other charts', async () => {
    const session = await openApp();
    const { page } = session;
    await openAltitude(page);
    const box = await page.getByRole('application', { name: /^Which limit binds/ }).boundingBox();
    if (box === null) throw new Error('The field is not drawn.');
    await page.mouse.move(box.x + box.width * 0.7, box.y + box.height * 0.55);
    const readOut = page.getByRole('region', { name: 'Read-out' });
    await expect
      .poll(async () => (await readOut.textContent())?.replaceAll('\u00a0', ' '))
      .toMatch(/at 5\d\d0 rpm and 1\d\d0 m/);
    expect(await page.locator('td[data-pointed]').count()).toBe(1);
    // By keyboard as well.
    const said = await readOut.textContent();
    await page.getByRole('application', { name: /^Which limit binds/ }).focus();
    await page.keyboard.press('ArrowUp');
    await expect.poll(() => readOut.textContent()).not.toBe(said);
    await closeCleanly(session);
  });

  it('follows the turbine up the mountain: threshold, a limit of back-pressure with its letter, tolerances', async () => {
    const session = await openApp();
    const { page } = session;
    await openAltitude(page);
    await page.getByLabel('What is shown over altitude').selectOption({ label: 'Boost threshold' });
    const chart = page.getByRole('application', { name: /^Boost threshold, engine speed over altitude/ });
    await expect.poll(async () => (await chart.textContent())?.includes('B')).toBe(true);
    await page.getByText(/^Boost threshold of this goal: about 3\d\d0.rpm at 0.m/).waitFor();
    const before = printedNumber(await cellOf(page, '6500', '2000 m'));
    await typeInto(field(page, 'Back-pressure ratio'), '1.3');
    await expect
      .poll(async () => printedNumber(await cellOf(page, '6500', '2000 m')), STUDIED)
      .toBeLessThan(before - 0.1);
    await page.getByText(/Letters, what binds: .*B back-pressure/).waitFor();
    await unfold(page, 'Tolerances');
    expect(await field(page, '± Turbine inlet temperature').inputValue()).toBe('30');
    await shoot(page, 'altitude-turbine');
    await closeCleanly(session);
  });

  it('copies the table and saves all of it as CSV', async () => {
    const session = await openApp();
    const { page } = session;
    await openAltitude(page);
    const shown = await readMatrix(page);
    await page.getByRole('button', { name: /^Copy this table/ }).click();
    await page.getByRole('button', { name: 'Copied' }).waitFor();
    const copied = (await page.evaluate(() => navigator.clipboard.readText()))
      .trimEnd()
      .split('\n')
      .map((row) => row.split('\t'));
    expect(copied).toHaveLength(shown.size + 1);
    expect(copied[1]?.[1]).toBe(shown.get('2000')?.get('0 m'));
    const csv = await download(page, () => page.getByRole('button', { name: 'Save all tables as a CSV file' }).click());
    expect(csv.name).toBe('factory-size-calibration.csv');
    const text = csv.bytes.toString('utf8');
    for (const part of ['Allowed boost [bar gauge]', 'Shaft speed at the ceiling [rpm]', 'licensed practice'])
      expect(text).toContain(part);
    await closeCleanly(session);
  });

  it('runs the spread, cancels one, and marks a result of other inputs until the new one is there', async () => {
    const session = await openApp();
    const { page } = session;
    await openAltitude(page);
    await page.getByRole('button', { name: 'Run the spread' }).click();
    await page.getByText(/^Up to date: 1024 samples, seed 1/).waitFor();
    const bars = page.getByRole('table', { name: 'What moves the shaft speed most' });
    const first = await bars.textContent();
    await unfold(page, 'Tolerances');
    await typeInto(field(page, '± Volumetric efficiency'), '6');
    await page.getByText(/state before the last change/).waitFor();
    await page.getByText(/^Up to date: 1024 samples/).waitFor();
    expect(await bars.textContent()).not.toBe(first);
    // Back to the same inputs and the same seed: the same numbers.
    await typeInto(field(page, '± Volumetric efficiency'), '3');
    await expect.poll(() => bars.textContent()).toBe(first);
    await typeInto(field(page, 'Samples'), '16384');
    await page.getByRole('progressbar', { name: 'Share of the samples done' }).waitFor();
    await page.getByRole('button', { name: 'Cancel the spread' }).click();
    await page.getByText(/^Of other inputs/).waitFor();
    expect(await bars.textContent()).toBe(first);
    await shoot(page, 'spread');
    await closeCleanly(session);
  });

  it('prints the whole table on A4 and on Letter, with its cautions, and nothing else of the page', async () => {
    const session = await openApp();
    const { page } = session;
    await openAltitude(page);
    const matrix = await readMatrix(page);
    await page.emulateMedia({ media: 'print' });
    const sheet = page.locator('h1', { hasText: 'Calibration table' });
    await sheet.waitFor();
    expect(await page.getByRole('banner').isVisible()).toBe(false);
    const printed = ((await sheet.locator('..').textContent()) ?? '').replaceAll('\u00a0', ' ');
    for (const part of [
      'Lugline',
      'Demo: hill coupe, Varn Pass',
      'Factory size',
      'Invented',
      'licensed practice',
      'rounded down',
    ]) {
      expect(printed).toContain(part);
    }
    // The first table on paper is the one that the screen shows.
    const onPaper = await page
      .locator('figure', { hasText: 'Allowed boost' })
      .locator('tbody tr')
      .first()
      .locator('td')
      .first()
      .textContent();
    expect(printedNumber(onPaper ?? '')).toBe(printedNumber(matrix.get('2000')?.get('0 m') ?? ''));
    await page.emulateMedia({ media: null });
    for (const format of ['A4', 'Letter'] as const) {
      const pages = await pdfPages(await page.pdf({ format }));
      expect(pages.length).toBeGreaterThanOrEqual(3);
      expect(pages.length).toBeLessThanOrEqual(8);
      const [front = ''] = pages;
      for (const part of ['Lugline', 'licensed practice', 'Allowed boost, bar gauge']) expect(front).toContain(part);
      // Row by row, the numbers of the screen are those of the paper.
      for (const [speed, cells] of matrix) {
        const row = [...cells.values()].map((text) => `${text.replace('.', '\\.')}(?: [A-Z])?`);
        expect(front).toMatch(new RegExp(` ${[speed.replace('\u202f', ' '), ...row].join(' ')}`));
      }
      expect(pages.join(' ')).toContain('Pickup frequency at the ceiling, Hz');
    }
    await closeCleanly(session);
  });

  it('adds a place of its own weather and shows it in chart and table', async () => {
    const session = await openApp({ width: 1024, height: 768, colorScheme: 'dark' });
    const { page } = session;
    await openAltitude(page);
    await unfold(page, 'Saved places');
    await page.getByRole('button', { name: 'Add a place' }).click();
    await expect
      .poll(async () => [...((await readMatrix(page)).get('3000')?.keys() ?? [])], STUDIED)
      .toContain('Place 1');
    await shoot(page, 'altitude-view-dark-small');
    await closeCleanly(session);
  });

  it('shows other altitudes faintly on the map of the Match view', async () => {
    const session = await openApp();
    const { page } = session;
    const map = page.getByRole('application', { name: /^Compressor map/ });
    expect(await map.textContent()).not.toContain('3000 m');
    await page.getByRole('button', { name: 'Map and units' }).click();
    await page.getByLabel('Operating lines on the map').selectOption({ label: 'Other altitudes' });
    await expect.poll(async () => (await map.textContent())?.replaceAll('\u00a0', ' ')).toContain('3000 m');
    await closeCleanly(session);
  });
});

/** Text of every page, its pieces joined by single spaces. */
async function pdfPages(pdf: Buffer): Promise<string[]> {
  const document = await getDocument({ data: new Uint8Array(pdf), verbosity: VerbosityLevel.ERRORS }).promise;
  const pages: string[] = [];
  for (let number = 1; number <= document.numPages; number += 1) {
    const { items } = await (await document.getPage(number)).getTextContent();
    const text = items.map((item) => ('str' in item ? item.str : '')).join(' ');
    pages.push(text.replaceAll(/\s+/g, ' '));
  }
  await document.destroy();
  return pages;
}
