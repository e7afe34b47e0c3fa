import type { Page } from 'playwright-core';
import { describe, expect, it } from 'vitest';
import { closeCleanly, openApp, shoot } from './harness.ts';
import { openView } from './screen.ts';

/** Roles that a person operates; each must say what it is (WCAG 2.2, 4.1.2 name, role, value). */
const OPERATED = new Set(
  'button checkbox combobox gridcell link listbox menuitem option radio searchbox slider spinbutton switch tab textbox'.split(
    ' ',
  ),
);

interface AxNode {
  ignored: boolean;
  role?: { value?: string };
  name?: { value?: string };
  backendDOMNodeId?: number;
}

/** What the browser itself hands to a screen reader. */
async function namelessControls(page: Page): Promise<string[]> {
  const client = await page.context().newCDPSession(page);
  const { nodes } = (await client.send('Accessibility.getFullAXTree')) as { nodes: AxNode[] };
  const operated = nodes.filter((node) => !node.ignored && OPERATED.has(node.role?.value ?? ''));
  expect(operated.length).toBeGreaterThan(10);
  const nameless = operated.filter((node) => (node.name?.value ?? '').trim() === '' && node.role?.value !== 'gridcell');
  const described: string[] = [];
  for (const { backendDOMNodeId, role } of nameless) {
    const { node } = await client.send('DOM.describeNode', { backendNodeId: backendDOMNodeId ?? 0 });
    described.push(`${role?.value}: <${node.localName} ${(node.attributes ?? []).join(' ')}>`);
  }
  await client.detach();
  return described;
}

/** Controls smaller than 24 by 24 CSS pixels that stand nearer than 24 to another (WCAG 2.2, 2.5.8 target size, minimum). */
function smallTargets(page: Page): Promise<string[]> {
  return page.evaluate(() => {
    const boxes = [...document.querySelectorAll('button, select, input, a[href], [role="menuitem"], summary')]
      .map((element) => ({ element, box: element.getBoundingClientRect() }))
      .filter(({ element, box }) => box.width > 1 && box.height > 1 && element.checkVisibility());
    const middle = (box: DOMRect) => ({ x: box.x + box.width / 2, y: box.y + box.height / 2 });
    return boxes
      .filter(({ box }) => box.width < 24 || box.height < 24)
      .filter(({ element, box }) =>
        boxes.some(({ element: other, box: around }) => {
          if (other === element || other.contains(element) || element.contains(other)) return false;
          const at = middle(box);
          const dx = Math.max(around.left - at.x, 0, at.x - around.right);
          const dy = Math.max(around.top - at.y, 0, at.y - around.bottom);
          return Math.hypot(dx, dy) < 12;
        }),
      )
      .map(({ element, box }) => `${element.outerHTML.slice(0, 120)} ${box.width.toFixed(0)}x${box.height.toFixed(0)}`);
  });
}

describe.each(['Match', 'Altitude', 'Maps', 'Sheet'] as const)('the %s view', (view) => {
  it('names every control, gives each room for a finger, and never scrolls sideways', async () => {
    const session = await openApp({ width: 1024, height: 768 });
    const { page } = session;
    await openView(page, view);
    // The sheet has nothing to walk on: it is paper.
    await page
      .getByRole(view === 'Sheet' ? 'article' : 'application')
      .first()
      .waitFor();
    expect(await namelessControls(page)).toEqual([]);
    expect(await smallTargets(page)).toEqual([]);
    const overflow = await page.evaluate(() => document.documentElement.scrollWidth - window.innerWidth);
    expect(overflow).toBeLessThanOrEqual(0);
    await shoot(page, `${view.toLowerCase()}-1024`);
    await closeCleanly(session);
  });

  it('has one main heading, a title and a language, in light and dark', async () => {
    for (const colorScheme of ['light', 'dark'] as const) {
      const session = await openApp({ colorScheme });
      const { page } = session;
      await openView(page, view);
      expect(await page.getByRole('heading', { level: 1 }).count()).toBe(1);
      expect(await page.title()).not.toBe('');
      expect(await page.locator('html').getAttribute('lang')).toBe('en');
      await shoot(page, `${view.toLowerCase()}-${colorScheme}`);
      await closeCleanly(session);
    }
  });
});

/** Whether the focused element looks different from the same element without focus: what a person goes by. */
async function showsFocus(page: Page): Promise<boolean> {
  const outlined = await page.evaluate(() => {
    const style = getComputedStyle(document.activeElement ?? document.body);
    return style.outlineStyle !== 'none' && Number.parseFloat(style.outlineWidth) >= 1;
  });
  if (outlined) return true;
  const box = await page.evaluate(() => {
    const { x, y, width, height } = (document.activeElement ?? document.body).getBoundingClientRect();
    return { x: x - 8, y: y - 8, width: width + 16, height: height + 16 };
  });
  const clip = { ...box, x: Math.max(0, box.x), y: Math.max(0, box.y) };
  const focused = await page.screenshot({ clip });
  const element = await page.evaluateHandle(() => document.activeElement as HTMLElement);
  await element.evaluate((e) => e.blur());
  const plain = await page.screenshot({ clip });
  await element.evaluate((e) => e.focus());
  return !focused.equals(plain);
}

describe('without a mouse', () => {
  it('reaches the fields, the map and the table by the tab key, each with a focus that can be seen', async () => {
    const session = await openApp();
    const { page } = session;
    const stops: string[] = [];
    const unseen: string[] = [];
    for (let i = 0; i < 130; i++) {
      await page.keyboard.press('Tab');
      const stop = await page.evaluate(() => {
        const element = document.activeElement;
        if (element === null || element === document.body) return null;
        const label = document.querySelector(`label[for="${element.id}"]`)?.textContent;
        return element.getAttribute('aria-label') ?? label ?? element.textContent ?? '';
      });
      if (stop === null) break;
      stops.push(stop.trim());
      if (!(await showsFocus(page))) unseen.push(stop.trim());
    }
    const all = stops.join('\n');
    for (const place of ['Altitude', 'Air temperature', 'Compressor map', 'Engine speed', 'Table'])
      expect(all).toContain(place);
    expect(unseen).toEqual([]);
    await closeCleanly(session);
  });
});
