import type { Locator, Page } from 'playwright-core';
import { describe, expect, it } from 'vitest';
import { closeCleanly, download, openApp } from './harness.ts';
import { cellOf, printedNumber, readPoints } from './screen.ts';

/** A command by its words, whether it stands by itself or with the map's tools. */
async function command(page: Page, words: RegExp): Promise<Locator> {
  const direct = page.getByRole('button', { name: words });
  if ((await direct.count()) === 0) await page.getByRole('button', { name: 'Map and units' }).click();
  return direct.first();
}

describe('saving what is on screen', () => {
  it('saves the plot as an SVG that stands alone', async () => {
    const session = await openApp();
    const { page } = session;
    const button = await command(page, /SVG/);
    const file = await download(page, () => button.click());
    const svg = file.bytes.toString('utf8');
    expect(file.name).toMatch(/\.svg$/);
    expect(svg).toMatch(/^(?:<\?xml[^>]*>\s*)?<svg[^>]+xmlns="http:\/\/www\.w3\.org\/2000\/svg"/);
    expect(svg).not.toMatch(/var\(--|NaN|undefined|Infinity|<script/);
    // Nothing in it is fetched from elsewhere.
    expect(svg).not.toMatch(/(?:href|src)="https?:/);
    expect((svg.match(/<path/g) ?? []).length).toBeGreaterThan(10);
    expect(svg).toMatch(/invented/i);
    const drawn = await session.context.newPage();
    await drawn.setContent(svg);
    const box = await drawn.locator('svg').first().boundingBox();
    expect(box?.width ?? 0).toBeGreaterThan(300);
    await closeCleanly(session);
  });

  it('saves the plot as a PNG that is a picture of some size', async () => {
    const session = await openApp();
    const button = await command(session.page, /PNG/);
    const file = await download(session.page, () => button.click());
    expect(file.name).toMatch(/\.png$/);
    expect(file.bytes.subarray(0, 8)).toEqual(Buffer.from([0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a]));
    expect(file.bytes.readUInt32BE(16)).toBeGreaterThan(800);
    expect(file.bytes.readUInt32BE(20)).toBeGreaterThan(400);
    expect(file.bytes.length).toBeGreaterThan(10_000);
    await closeCleanly(session);
  });

  it('saves the points as CSV with units in the headings and the numbers of the table', async () => {
    const session = await openApp();
    const { page } = session;
    const rows = await readPoints(page);
    const button = await command(page, /CSV/);
    const file = await download(page, () => button.click());
    expect(file.name).toMatch(/\.csv$/);
    const lines = file.bytes
      .toString('utf8')
      .replace(/^\ufeff/, '')
      .trim()
      .split(/\r?\n/);
    const head = lines.find((line) => /Shaft speed/.test(line)) ?? '';
    expect(head).toMatch(/rpm/);
    const body = lines.slice(lines.indexOf(head) + 1);
    expect(body.length).toBe(rows.length);
    const separator = head.includes('\t') ? '\t' : head.includes(';') ? ';' : ',';
    const column = head.split(separator).findIndex((title) => /Shaft speed/.test(title));
    rows.forEach((row, i) => {
      const printed = printedNumber(cellOf(row, 'Shaft speed'));
      if (!Number.isFinite(printed)) return;
      const saved = Number((body[i] ?? '').split(separator)[column]);
      expect(Math.abs(saved - printed)).toBeLessThanOrEqual(100);
    });
    await closeCleanly(session);
  });

  it('copies the points for a spreadsheet', async () => {
    const session = await openApp();
    const { page } = session;
    const rows = await readPoints(page);
    const button = await command(page, /Copy/);
    await button.click();
    const text = await page.evaluate(() => navigator.clipboard.readText());
    expect(text).toContain('\t');
    expect(text.trim().split(/\r?\n/).length).toBeGreaterThanOrEqual(rows.length + 1);
    await closeCleanly(session);
  });
});
