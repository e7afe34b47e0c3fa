import type { Page } from 'playwright-core';
import { describe, expect, inject, it } from 'vitest';
import { load, openApp, typeInto } from './harness.ts';
import { field, openBuildName, openView } from './screen.ts';

/** Names of the caches in which the browser keeps the page's parts: one for each version that it has. */
const keptVersions = (page: Page) => page.evaluate(() => caches.keys());

const untilActive = (page: Page) =>
  expect.poll(() => page.evaluate(async () => (await navigator.serviceWorker.ready).active?.state)).toBe('activated');

describe('the program without a server', () => {
  it('opens again from what the browser keeps, every view of it, with what was entered', async () => {
    const { context, page } = await openApp({ serviceWorkers: 'allow' });
    const kept = () =>
      page.evaluate(async () => {
        const names = await caches.keys();
        const counts = await Promise.all(names.map(async (name) => (await (await caches.open(name)).keys()).length));
        return [names.length, Math.max(0, ...counts) > 20];
      });
    await expect.poll(kept).toEqual([1, true]);
    await untilActive(page);
    const name = await openBuildName(page);
    await context.setOffline(true);
    await page.reload();
    await expect.poll(() => openBuildName(page)).toBe(name);
    await openView(page, 'Maps');
    await page.getByRole('navigation', { name: 'Shelf of maps' }).waitFor();
    await openView(page, 'Altitude');
    await page.getByRole('heading', { name: /Hold this goal/ }).waitFor();
    await openView(page, 'Match');
    await field(page, 'Altitude').waitFor();
    await context.close();
  });

  it('says that a newer version is there, and goes on with it on request only, with all that was typed', async () => {
    const { context, page } = await openApp({ serviceWorkers: 'allow' });
    const build = () => page.evaluate(() => document.documentElement.dataset.build ?? 'first');
    const notice = page.getByText('A newer version of the program is ready.');
    await untilActive(page);
    await load(page);
    expect(await notice.count()).toBe(0);
    const [first] = await keptVersions(page);
    await context.addCookies([{ name: 'build', value: 'newer', url: inject('appUrl') }]);
    await page.evaluate(async () => (await navigator.serviceWorker.ready).update());
    await notice.waitFor();
    expect((await keptVersions(page)).toSorted()).toEqual([first, 'lugline-newer'].toSorted());
    // Whoever does not press it, and comes again, still has the version that he knows, and is told again.
    await load(page);
    await notice.waitFor();
    expect(await build()).toBe('first');

    // A text that cannot be read, and one in a field that was not left.
    await typeInto(field(page, 'Air temperature'), 'warm');
    await field(page, 'Altitude').click();
    await page.keyboard.press('ControlOrMeta+a');
    await page.keyboard.type('1777');
    await page.getByRole('button', { name: 'Go on with it' }).click();
    await expect.poll(() => build().catch(() => 'on its way')).toBe('newer');
    await field(page, 'Altitude').waitFor();
    expect(await field(page, 'Altitude').inputValue()).toBe('1777');
    expect(await field(page, 'Air temperature').inputValue()).toBe('warm');
    await expect.poll(() => keptVersions(page)).toEqual(['lugline-newer']);
    expect(await notice.count()).toBe(0);
    await context.close();
  });

  it('is told to the browser as a program of its own, with icons that are there', async () => {
    const { context, page } = await openApp();
    const href = await page.locator('link[rel="manifest"]').getAttribute('href');
    const manifest = await page.evaluate(async (address) => (await fetch(address)).json(), href ?? '');
    expect(manifest).toMatchObject({ name: 'Lugline', start_url: './', display: 'standalone' });
    for (const { src } of manifest.icons as { src: string }[]) {
      expect(await page.evaluate(async (address) => (await fetch(address)).status, src)).toBe(200);
    }
    await context.close();
  });
});
