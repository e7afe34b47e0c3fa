import { describe, expect, it } from 'vitest';
import { closeCleanly, openApp, typeInto } from './harness.ts';
import { changed, chooseInBuildMenu, field, openBuildName, readPoints, startNewBuild } from './screen.ts';

describe('several builds on one machine', () => {
  it('are duplicated, renamed, changed apart, deleted, and brought back by undo', async () => {
    const session = await openApp();
    const { page } = session;
    const original = await openBuildName(page);
    const points = await readPoints(page);

    await chooseInBuildMenu(page, 'Duplicate');
    await expect.poll(() => openBuildName(page)).not.toBe(original);
    expect(await readPoints(page)).toEqual(points);

    await chooseInBuildMenu(page, /^Rename/);
    const dialog = page.getByRole('dialog');
    await dialog.getByRole('textbox').fill('The same car, higher up');
    await page.keyboard.press('Enter');
    await expect.poll(() => openBuildName(page)).toBe('The same car, higher up');

    await typeInto(field(page, 'Altitude'), '3100');
    const higher = await changed(() => readPoints(page), points);
    await chooseInBuildMenu(page, original);
    await expect.poll(() => readPoints(page)).toEqual(points);
    await chooseInBuildMenu(page, 'The same car, higher up');
    await expect.poll(() => readPoints(page)).toEqual(higher);

    await chooseInBuildMenu(page, 'Delete');
    await expect.poll(() => openBuildName(page)).toBe(original);
    await page.keyboard.press('ControlOrMeta+z');
    await expect.poll(() => openBuildName(page)).toBe('The same car, higher up');
    expect(await readPoints(page)).toEqual(higher);
    await closeCleanly(session);
  });

  it('starts a new build, and goes on when the last one is deleted', async () => {
    const session = await openApp();
    const { page } = session;
    await startNewBuild(page);
    await expect.poll(() => openBuildName(page)).toMatch(/New build/);
    await chooseInBuildMenu(page, 'Delete');
    await chooseInBuildMenu(page, 'Delete');
    await expect.poll(() => openBuildName(page)).toMatch(/\S/);
    await field(page, 'Altitude').waitFor();
    await closeCleanly(session);
  });
});
