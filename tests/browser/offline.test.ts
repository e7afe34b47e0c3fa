import { describe, expect, it } from 'vitest';
import { openApp } from './harness.ts';
import { field, openBuildName, openView } from './screen.ts';

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
    await expect
      .poll(() => page.evaluate(async () => (await navigator.serviceWorker.ready).active?.state))
      .toBe('activated');
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
