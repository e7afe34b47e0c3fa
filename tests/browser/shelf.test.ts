import type { Page } from 'playwright-core';
import { describe, expect, it } from 'vitest';
import { parseMapFile } from '../../src/build/index.ts';
import { closeCleanly, download, dropFile, openApp } from './harness.ts';
import { chooseInBuildMenu, openBuildName, openView, readFindings, readPoints } from './screen.ts';

const shelf = (page: Page) => page.getByRole('navigation', { name: 'Shelf of maps' });

/** Names on the shelf, the way they are listed. */
async function shelfNames(page: Page): Promise<string[]> {
  const entries = await shelf(page).getByRole('listitem').getByRole('button').all();
  return Promise.all(entries.map(async (entry) => ((await entry.locator('span').first().textContent()) ?? '').trim()));
}

describe('the shelf of maps', () => {
  it('duplicates, renames, deletes, and takes the deletion back', async () => {
    const session = await openApp();
    const { page } = session;
    await openView(page, 'Maps');
    // The demonstration's two compressor maps and two turbine sheets.
    await expect.poll(() => shelfNames(page)).toHaveLength(4);
    const before = await shelfNames(page);
    await shelf(page)
      .getByRole('button', { name: /^Duplicate/ })
      .click();
    await expect.poll(() => shelfNames(page)).toHaveLength(5);
    await shelf(page)
      .getByRole('button', { name: /^Rename/ })
      .click();
    await shelf(page)
      .getByRole('textbox', { name: /^New name of/ })
      .fill('Reworked housing');
    await page.keyboard.press('Enter');
    await expect.poll(() => shelfNames(page)).toContain('Reworked housing');
    const withCopy = await shelfNames(page);
    await shelf(page)
      .getByRole('button', { name: /^Delete .*Reworked housing/ })
      .click();
    await expect.poll(() => shelfNames(page)).toEqual(before);
    await page
      .getByRole('region', { name: 'Messages on files and storage' })
      .getByRole('button', { name: 'Undo' })
      .click();
    await expect.poll(() => shelfNames(page)).toEqual(withCopy);
    await closeCleanly(session);
  });

  it('leaves a build its map when the map is taken off the shelf', async () => {
    const session = await openApp();
    const { page } = session;
    const points = await readPoints(page);
    await openView(page, 'Maps');
    await shelf(page).getByRole('listitem').first().getByRole('button').first().click();
    await shelf(page)
      .getByRole('button', { name: /^Delete/ })
      .click();
    await openView(page, 'Match');
    expect(await readPoints(page)).toEqual(points);
    await closeCleanly(session);
  });

  it('saves a map as a file that a script can read and another machine can open', async () => {
    const one = await openApp();
    await openView(one.page, 'Maps');
    await expect.poll(() => shelfNames(one.page)).toHaveLength(4);
    const [name = ''] = await shelfNames(one.page);
    await shelf(one.page).getByRole('listitem').first().getByRole('button').first().click();
    const file = await download(one.page, () =>
      shelf(one.page)
        .getByRole('button', { name: /as a map file$/ })
        .click(),
    );
    await closeCleanly(one);
    const parsed = parseMapFile(JSON.parse(file.bytes.toString('utf8')));
    if (!parsed.ok) throw new Error(parsed.problems.map((problem) => problem.message).join(' '));
    expect(JSON.parse(file.bytes.toString('utf8'))).toMatchObject({ format: 'lugline-map', version: 1, name });

    const two = await openApp();
    await openView(two.page, 'Maps');
    for (let left = 3; left >= 0; left--) {
      await shelf(two.page)
        .getByRole('button', { name: /^Delete/ })
        .click();
      await expect.poll(() => shelfNames(two.page)).toHaveLength(left);
    }
    await dropFile(two.page, file.name, file.bytes.toString('utf8'));
    await expect.poll(() => shelfNames(two.page)).toEqual([name]);
    await closeCleanly(two);
  });
});

describe('a backup of everything', () => {
  it('brings all builds and maps to a fresh profile, with the same numbers', async () => {
    const one = await openApp();
    await chooseInBuildMenu(one.page, 'Duplicate');
    await chooseInBuildMenu(one.page, /^Rename/);
    await one.page.getByRole('dialog').getByRole('textbox').fill('Kept for next year');
    await one.page.keyboard.press('Enter');
    await expect.poll(() => openBuildName(one.page)).toBe('Kept for next year');
    const points = await readPoints(one.page);
    const findings = await readFindings(one.page);
    const file = await download(one.page, () => chooseInBuildMenu(one.page, 'Save a backup of everything'));
    await closeCleanly(one);

    const two = await openApp();
    await dropFile(two.page, file.name, file.bytes.toString('utf8'));
    await two.page.getByRole('button', { name: 'Restore', exact: true }).click();
    if ((await openBuildName(two.page)) !== 'Kept for next year')
      await chooseInBuildMenu(two.page, 'Kept for next year');
    await expect.poll(() => readPoints(two.page)).toEqual(points);
    expect(await readFindings(two.page)).toEqual(findings);
    await closeCleanly(two);
  });
});
