import { describe, expect, it } from 'vitest';
import { closeCleanly, openApp, shoot } from './harness.ts';

describe('opening the page on a new machine', () => {
  it('shows the demonstration build and neither complains nor asks the network for anything', async () => {
    const session = await openApp();
    const { page } = session;
    expect(await page.title()).toContain('Lugline');
    await shoot(page, 'opens-light');
    await closeCleanly(session);
  });
});
