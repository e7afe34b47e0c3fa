import { describe, expect, it } from 'vitest';
import { closeCleanly, load, openApp, typeInto, untilStored } from './harness.ts';
import { changed, field, openBuildName, openView, readFindings, readPoints } from './screen.ts';

describe('what was entered', () => {
  it('is all there again after a reload', async () => {
    const session = await openApp();
    const { page } = session;
    const before = await readPoints(page);
    await typeInto(field(page, 'Altitude'), '1350');
    await typeInto(field(page, 'Air temperature'), '31,5');
    const points = await changed(() => readPoints(page), before);
    const findings = await readFindings(page);
    const name = await openBuildName(page);
    await untilStored(page, '1350', '31,5');
    session.lateRequests.length = 0;
    await load(page);
    session.lateRequests.length = 0;
    expect(await openBuildName(page)).toBe(name);
    expect(await field(page, 'Altitude').inputValue()).toBe('1350');
    expect(await field(page, 'Air temperature').inputValue()).toBe('31,5');
    await expect.poll(() => readPoints(page)).toEqual(points);
    expect(await readFindings(page)).toEqual(findings);
    await closeCleanly(session);
  });

  it('is there even when the page is reloaded at once, the text that cannot be read included', async () => {
    const session = await openApp();
    const { page } = session;
    await typeInto(field(page, 'Altitude'), '1777');
    await typeInto(field(page, 'Air temperature'), 'warm');
    await load(page);
    session.lateRequests.length = 0;
    expect(await field(page, 'Altitude').inputValue()).toBe('1777');
    expect(await field(page, 'Air temperature').inputValue()).toBe('warm');
    await closeCleanly(session);
  });

  it('is undone and redone step by step, with the numbers that belong to it', async () => {
    const session = await openApp();
    const { page } = session;
    await typeInto(field(page, 'Altitude'), '100');
    const first = await readPoints(page);
    // Keystrokes within a second are one step of undo: a second change of mind comes later.
    await page.waitForTimeout(1_100);
    await typeInto(field(page, 'Altitude'), '2600');
    const second = await changed(() => readPoints(page), first);
    await page.keyboard.press('ControlOrMeta+z');
    await expect.poll(() => readPoints(page)).toEqual(first);
    expect(await field(page, 'Altitude').inputValue()).toBe('100');
    await page.keyboard.press('ControlOrMeta+Shift+z');
    await expect.poll(() => readPoints(page)).toEqual(second);
    expect(await field(page, 'Altitude').inputValue()).toBe('2600');
    await page.getByRole('button', { name: /^Undo: / }).click();
    await expect.poll(() => readPoints(page)).toEqual(first);
    await closeCleanly(session);
  });

  it('outlives a text that cannot be read: the text stays, the last good value stays in use', async () => {
    const session = await openApp();
    const { page } = session;
    await typeInto(field(page, 'Altitude'), '900');
    const good = await readPoints(page);
    await typeInto(field(page, 'Altitude'), 'high up');
    expect(await field(page, 'Altitude').inputValue()).toBe('high up');
    expect(await field(page, 'Altitude').getAttribute('aria-invalid')).toBe('true');
    expect(await page.getByText('stays in use').first().textContent()).toContain('900');
    expect(await readPoints(page)).toEqual(good);
    await openView(page, 'Maps');
    await openView(page, 'Match');
    expect(await field(page, 'Altitude').inputValue()).toBe('high up');
    // Out of range: said with the range, and nothing is clamped.
    await typeInto(field(page, 'Altitude'), '90000');
    expect(await field(page, 'Altitude').inputValue()).toBe('90000');
    expect(await readPoints(page)).toEqual(good);
    await typeInto(field(page, 'Altitude'), '1200');
    await changed(() => readPoints(page), good);
    expect(await field(page, 'Altitude').getAttribute('aria-invalid')).not.toBe('true');
    await closeCleanly(session);
  });

  it('takes US units and a decimal comma, and shows what was typed', async () => {
    const session = await openApp();
    const { page } = session;
    await page.getByLabel('Altitude: unit', { exact: true }).selectOption('m');
    await typeInto(field(page, 'Altitude'), '1524');
    const metric = await readPoints(page);
    await page.getByLabel('Altitude: unit', { exact: true }).selectOption('ft');
    await typeInto(field(page, 'Altitude'), '4,000');
    await changed(() => readPoints(page), metric);
    // 5,000 ft is 1,524 m exactly (international foot, NIST SP 811).
    await typeInto(field(page, 'Altitude'), '5,000');
    await expect.poll(() => readPoints(page)).toEqual(metric);
    expect(await field(page, 'Altitude').inputValue()).toBe('5,000');
    await closeCleanly(session);
  });
});
