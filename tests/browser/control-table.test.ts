import type { Page } from 'playwright-core';
import { describe, expect, it } from 'vitest';
import { closeCleanly, download, openApp, pasteInto, shoot } from './harness.ts';
import { openView } from './screen.ts';

const upToDate = (page: Page) => page.getByText('Up to date with the inputs.').waitFor();
const answer = (page: Page) => page.getByRole('region', { name: 'Answer' }).getByRole('heading');
const clipboard = (page: Page) => page.evaluate(() => navigator.clipboard.readText());

/** The numbers that the table shows, without their signs. */
const shown = (page: Page) =>
  page
    .getByRole('region', { name: 'Control unit table, scrolls' })
    .locator('tbody tr')
    .evaluateAll((rows) =>
      rows.map((row) => [...row.querySelectorAll('td')].map((cell) => cell.firstChild?.textContent ?? '')),
    );

async function openTable(page: Page): Promise<void> {
  await openView(page, 'Altitude');
  await page.getByText('Control unit table', { exact: true }).click();
  await upToDate(page);
}

/** A table of a few seconds of work, on a core that other tests may share. */
const STUDIED = { timeout: 60_000 };

describe('the table for the control unit', () => {
  it("takes pasted breakpoints, gives bare numbers to paste, and holds the tuner's own table against the ceilings; undo takes it back", async () => {
    const session = await openApp();
    const { page } = session;
    await openTable(page);
    await pasteInto(page, page.getByLabel('Engine speeds, rpm'), '3.000;4.000;5.000;6.000'.replaceAll('.', ''));
    await pasteInto(page, page.getByLabel('Breakpoints of the second axis'), '100,5\t90\t79,5\r\n');
    await expect.poll(async () => (await shown(page)).map((row) => row.length), STUDIED).toEqual([3, 3, 3, 3]);
    await upToDate(page);
    expect(await answer(page).textContent()).toMatch(/^The table for A asks for \d+ to \d+.kPa/);

    await page.getByRole('button', { name: 'Copy the bare numbers for the control unit' }).click();
    await page.getByRole('button', { name: 'Copied' }).waitFor();
    const copied = await clipboard(page);
    expect(
      copied
        .trimEnd()
        .split('\n')
        .map((row) => row.split('\t')),
    ).toEqual(await shown(page));
    expect(copied).toMatch(/^[\d\t\n]+$/);

    // The same with one cell raised by 40 kPa, as another program would write it.
    const rows = copied
      .trimEnd()
      .split('\n')
      .map((row) => row.split('\t').map(Number));
    rows[3]![0]! += 40;
    const yours = rows.map((row) => row.map((value) => value.toFixed(1).replace('.', ',')).join('\t')).join('\r\n');
    await pasteInto(page, page.getByLabel('The table that is there already'), yours);
    await expect
      .poll(() => answer(page).textContent(), STUDIED)
      .toMatch(/^1 of 12 cells is over the limit of .*, the worst by \d+\.\d.kPa at 6000.rpm and 100\.5.kPa\.$/);
    const over = page.locator('td[data-state="over"]');
    expect(await over.count()).toBe(1);
    expect(await over.textContent()).toMatch(/▲[A-Z]/);
    await shoot(page, 'control-table');

    const csv = await download(page, () => page.getByRole('button', { name: 'Save the table as a CSV file' }).click());
    expect(csv.name).toBe('factory-size-control-unit-table.csv');
    expect(csv.bytes.toString('utf8')).toContain('knock');

    await page.keyboard.press('Escape');
    await page.getByRole('button', { name: /^Undo/ }).click();
    await expect.poll(() => answer(page).textContent(), STUDIED).toMatch(/^The table for A asks for/);
    await closeCleanly(session);
  });

  it('says what cannot be read, keeps it, and is cancelled and begun again', async () => {
    const session = await openApp();
    const { page } = session;
    await openTable(page);
    await page.getByLabel('Breakpoints of the second axis').fill('100 ninety 80');
    await page
      .getByText(/'ninety' is not a number/)
      .first()
      .waitFor();
    expect(await page.getByLabel('Breakpoints of the second axis').inputValue()).toBe('100 ninety 80');
    const many = Array.from({ length: 32 }, (_, i) => 100 - i).join(' ');
    await page.getByLabel('Breakpoints of the second axis').fill(many);
    await page.getByRole('progressbar', { name: 'Share of the table done' }).waitFor();
    await page.getByRole('button', { name: 'Cancel', exact: true }).click();
    await page.getByText('Of other inputs.').waitFor();
    await page.getByLabel('Breakpoints of the second axis').fill('100 90');
    await page.getByRole('button', { name: 'Compute the table' }).click();
    await upToDate(page);
    expect((await shown(page))[0]).toHaveLength(2);
    await closeCleanly(session);
  });

  it('stands on a page of its own behind the sheet', async () => {
    const session = await openApp();
    const { page } = session;
    await openView(page, 'Sheet');
    await page.getByText(/^2 pages/).waitFor();
    await page.getByRole('switch', { name: 'Table for the control unit' }).click();
    await page.getByText(/^3 pages/).waitFor();
    const last = page.getByRole('article', { name: 'Page 3 of 3' });
    const text = (await last.textContent()) ?? '';
    for (const part of ['Control unit table: Demo', 'The table for A asks for', 'knock and lambda watched']) {
      expect(text).toContain(part);
    }
    await closeCleanly(session);
  });
});
