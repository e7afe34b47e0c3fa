import { describe, expect, it } from 'vitest';
import { closeCleanly, openApp } from './harness.ts';
import { changed, readColumn, readPoints, unfold } from './screen.ts';

describe('a curve over engine speed', () => {
  it('is dragged: more volumetric efficiency, more air; one undo takes the whole drag back', async () => {
    const session = await openApp();
    const { page } = session;
    await unfold(page, 'Engine');
    const chart = page.getByRole('group', { name: /^Volumetric efficiency.*Tab to a point/ });
    await chart.scrollIntoViewIfNeeded();
    const before = await readPoints(page);
    const flowBefore = await readColumn(page, 'Air flow');
    const point = chart.locator('[tabindex="0"]').nth(1);
    const box = await point.boundingBox();
    if (box === null) throw new Error('The chart has no point.');
    const x = box.x + box.width / 2;
    const y = box.y + box.height / 2;
    await page.mouse.move(x, y);
    await page.mouse.down();
    for (let i = 1; i <= 8; i++) await page.mouse.move(x, y - 2 * i);
    await page.mouse.up();
    await changed(() => readPoints(page), before);
    const flowAfter = await readColumn(page, 'Air flow');
    const more = [...flowAfter].filter(([rpm, flow]) => flow > (flowBefore.get(rpm) ?? Number.POSITIVE_INFINITY));
    const less = [...flowAfter].filter(([rpm, flow]) => flow < (flowBefore.get(rpm) ?? 0));
    expect(more.length).toBeGreaterThan(0);
    expect(less).toEqual([]);
    await page.keyboard.press('ControlOrMeta+z');
    await expect.poll(() => readPoints(page)).toEqual(before);
    await closeCleanly(session);
  });

  it('is moved by arrow keys too', async () => {
    const session = await openApp();
    const { page } = session;
    await unfold(page, 'Engine');
    const chart = page.getByRole('group', { name: /^Volumetric efficiency.*Tab to a point/ });
    const before = await readColumn(page, 'Air flow');
    await chart.locator('[tabindex="0"]').first().focus();
    await page.keyboard.press('Shift+ArrowDown');
    const after = await changed(() => readColumn(page, 'Air flow'), before);
    const lowest = Math.min(...before.keys());
    expect(after.get(lowest) ?? Number.NaN).toBeLessThan(before.get(lowest) ?? 0);
    await closeCleanly(session);
  });
});
