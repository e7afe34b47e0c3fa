import { describe, expect, it } from 'vitest';
import { closeCleanly, openApp } from './harness.ts';
import { cellOf, openDrawer, printedNumber, readFindings, readPoints, readTerms } from './screen.ts';

describe('reading the map', () => {
  it('walks the operating line by keyboard: the read-out says what the table says', async () => {
    const session = await openApp();
    const { page } = session;
    const rows = (await readPoints(page)).filter((row) => cellOf(row, 'Shaft speed') !== '');
    const readOut = page.getByRole('region', { name: 'Read-out' });
    await page.getByRole('application').focus();
    await page.keyboard.press('Home');
    for (const row of rows.slice(0, 4)) {
      await expect.poll(() => readOut.textContent()).toContain(`${cellOf(row, 'Engine')} rpm`);
      const terms = await readTerms(readOut);
      expect(
        Math.abs(printedNumber(terms['Shaft speed'] ?? '') - printedNumber(cellOf(row, 'Shaft speed'))),
      ).toBeLessThanOrEqual(100);
      expect(printedNumber(terms['Pressure ratio'] ?? '')).toBeCloseTo(printedNumber(cellOf(row, 'Pressure ratio')), 1);
      await page.keyboard.press('ArrowRight');
    }
    await closeCleanly(session);
  });

  it('reads any place under the pointer, and by arrow keys after Enter', async () => {
    const session = await openApp();
    const { page } = session;
    const readOut = page.getByRole('region', { name: 'Read-out' });
    const map = page.getByRole('application');
    const box = await map.boundingBox();
    if (box === null) throw new Error('The map is not drawn.');
    const at = async (u: number, v: number) => {
      await page.mouse.move(box.x + box.width * u, box.y + box.height * v);
      await page.waitForTimeout(60);
      return (await readOut.textContent()) ?? '';
    };
    const left = await at(0.35, 0.6);
    const right = await at(0.5, 0.6);
    expect(left).toMatch(/kg\/s|lb\/min|m3\/s|m³\/s|cfm/);
    expect(right).not.toBe(left);
    await map.focus();
    await page.keyboard.press('Home');
    await page.keyboard.press('Enter');
    const before = await readOut.textContent();
    await page.keyboard.press('Shift+ArrowUp');
    await expect.poll(() => readOut.textContent()).not.toBe(before);
    await closeCleanly(session);
  });

  it('zooms and comes back by keyboard', async () => {
    const session = await openApp();
    const { page } = session;
    const map = page.getByRole('application');
    await map.focus();
    const whole = await map.innerHTML();
    await page.keyboard.press('+');
    await page.keyboard.press('+');
    await expect.poll(() => map.innerHTML()).not.toBe(whole);
    await page.keyboard.press('0');
    await page.keyboard.press('Escape');
    await expect.poll(async () => ticks(await map.innerHTML())).toEqual(ticks(whole));
    await closeCleanly(session);
  });

  it('words the findings with units, worst first, and each points at its engine speed', async () => {
    const session = await openApp();
    const { page } = session;
    const findings = await readFindings(page);
    expect(findings.length).toBeGreaterThan(1);
    const severities = await page
      .getByRole('region', { name: 'Candidate A', exact: true })
      .locator('ol [data-severity]')
      .evaluateAll((all) =>
        all.filter((e) => e.tagName === 'BUTTON').map((e) => e.getAttribute('data-severity') ?? ''),
      );
    const order = ['stop', 'caution', 'good', 'note'];
    expect(severities).toEqual([...severities].sort((a, b) => order.indexOf(a) - order.indexOf(b)));
    const about = findings.findIndex((text) => /At [\d\u202f]+ rpm/.test(text));
    expect(about).toBeGreaterThanOrEqual(0);
    const speed = /At ([\d\u202f]+) rpm/.exec(findings[about] ?? '')?.[1] ?? '';
    await openDrawer(page, 'Table');
    await page
      .getByRole('list', { name: /of A, worst first|on A/ })
      .getByRole('button')
      .nth(about)
      .click();
    const current = page.getByRole('table', { name: 'Operating points' }).locator('tr[aria-current="true"] th');
    await expect.poll(() => current.textContent()).toBe(speed);
    await closeCleanly(session);
  });
});

/** The axis numbers of a drawing, in order. */
function ticks(svg: string): string[] {
  return [...svg.matchAll(/>(\d+(?:\.\d+)?)<\/text>/g)].map((match) => match[1] ?? '');
}
