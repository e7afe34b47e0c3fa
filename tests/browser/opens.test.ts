import { describe, expect, it } from 'vitest';
import { closeCleanly, openApp, shoot } from './harness.ts';
import { menuEntry, openBuildName, openView, readFindings, readPoints } from './screen.ts';

describe('opening the page on a new machine', () => {
  it('shows a demonstration build with two candidates, marked as invented', async () => {
    const session = await openApp();
    const { page } = session;
    expect(await page.title()).toContain('Lugline');
    expect(await openBuildName(page)).not.toBe('');
    expect(await page.getByText('invented', { exact: true }).count()).toBeGreaterThan(0);
    expect(await page.getByRole('region', { name: /^Candidate [AB]$/ }).count()).toBe(2);
    expect((await readPoints(page)).length).toBeGreaterThan(10);
    expect((await readFindings(page)).length).toBeGreaterThan(1);
    await shoot(page, 'opens-light');
    await closeCleanly(session);
  });

  it('asks the network for nothing and complains of nothing, wherever one goes', async () => {
    const session = await openApp();
    const { page } = session;
    for (const button of [/^Build: /, /^Your data: /, /^Colours: /, /^Help/]) {
      await page.getByRole('button', { name: button }).click();
      const opened = page.locator('[role="dialog"], [role="menu"]');
      await opened.first().waitFor();
      await page.keyboard.press('Escape');
      await opened.first().waitFor({ state: 'detached' });
    }
    await page.getByRole('button', { name: /^Colours: / }).click();
    await menuEntry(page, /Dark/).click();
    await expect.poll(() => page.locator('html').getAttribute('data-theme')).toBe('dark');
    await page.getByRole('region', { name: 'Candidate B' }).getByRole('button').first().click();
    await openView(page, 'Log');
    await page.getByRole('button', { name: 'Try the invented log' }).click();
    await page.getByRole('region', { name: 'What the log comes to' }).waitFor();
    const views = page.getByRole('navigation', { name: 'Views' }).getByRole('button');
    for (const view of await views.all()) {
      await view.click();
      await expect.poll(() => page.getByRole('main').locator('button').count()).toBeGreaterThan(3);
      await page.waitForTimeout(300);
    }
    await openView(page, 'Maps');
    await page.getByRole('tab').first().waitFor();
    for (const tab of await page.getByRole('tab').all()) await tab.click();
    await openView(page, 'Match');
    // Of the inputs one opens at a time.
    const folds = page.getByRole('main').locator('h2 button[aria-expanded], h3 button[aria-expanded]');
    const count = await folds.count();
    expect(count).toBeGreaterThan(8);
    for (let i = 0; i < count; i += 1) {
      if ((await folds.nth(i).getAttribute('aria-expanded')) === 'false') await folds.nth(i).click();
    }
    await page.waitForTimeout(500);
    await shoot(page, 'opens-dark-b');
    await closeCleanly(session);
  });

  it('puts cautions and the limits of the method within reach', async () => {
    const session = await openApp();
    const { page } = session;
    expect((await page.getByRole('main').textContent()) ?? '').toMatch(
      /makers' limits, local codes and licensed practice/,
    );
    await page.getByRole('button', { name: /^Help/ }).click();
    const dialog = page.getByRole('dialog');
    let help = '';
    for (const tab of await dialog.getByRole('tab').all()) {
      await tab.click();
      help += (await dialog.getByRole('tabpanel').textContent()) ?? '';
    }
    for (const word of ['maximum shaft speed', 'surge', 'steady-state', 'local codes', 'qualified'])
      expect(help).toContain(word);
    await page.keyboard.press('Escape');
    await closeCleanly(session);
  });
});
