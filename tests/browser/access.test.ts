import axe, { type AxeResults } from 'axe-core';
import type { Page } from 'playwright-core';
import { describe, expect, it } from 'vitest';
import { closeCleanly, openApp, shoot } from './harness.ts';
import { chooseInBuildMenu, openDrawer, openView } from './screen.ts';

/** What axe-core finds (WCAG 2.2 A and AA, and its own best practices): each rule with the elements that break it. */
async function axeFinds(page: Page): Promise<string[]> {
  await page.evaluate(axe.source);
  const { violations } = await page.evaluate(() =>
    (globalThis as unknown as { axe: { run(): Promise<AxeResults> } }).axe.run(),
  );
  return violations.map(({ id, nodes }) => `${id}: ${nodes.map(({ html }) => html.slice(0, 150)).join(' | ')}`);
}

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
      expect(await axeFinds(page)).toEqual([]);
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

/** What opens over or within the views, each from a page as it opens. */
const OPENED: readonly (readonly [string, (page: Page) => Promise<void>])[] = [
  ['the log', (page) => openView(page, 'Log')],
  ['the table of points', (page) => openDrawer(page, 'Table')],
  ['the turbine', (page) => openDrawer(page, 'Turbine')],
  ['the differences', (page) => openDrawer(page, 'Differences')],
  ['counter mode', (page) => page.getByRole('button', { name: 'Counter mode' }).click()],
  ['a new build', (page) => chooseInBuildMenu(page, 'New build…')],
  ['the help', (page) => page.getByRole('button', { name: 'Help', exact: true }).click()],
  ['the key', (page) => page.getByRole('button', { name: 'Key', exact: true }).click()],
  [
    'a new map',
    async (page) => {
      await openView(page, 'Maps');
      await page.getByRole('button', { name: 'New map' }).click();
    },
  ],
];

describe.each([1440, 390])('axe-core, %i px wide', (width) => {
  it.each(OPENED)('finds nothing in %s', async (_what, open) => {
    const session = await openApp({ width });
    const { page } = session;
    await open(page);
    await page.waitForTimeout(300);
    expect(await axeFinds(page)).toEqual([]);
    await closeCleanly(session);
  });
});

describe('on a phone', () => {
  it('what opens from the bar of the map stands on the screen as a whole, and no number of the drawer is cut', async () => {
    const session = await openApp({ width: 390, height: 844 });
    const { page } = session;
    for (const name of ['Key', 'Map and units']) {
      await page.getByRole('button', { name, exact: true }).click();
      const box = await page.getByRole('region', { name, exact: true }).boundingBox();
      expect(box!.x, name).toBeGreaterThanOrEqual(0);
      expect(box!.x + box!.width, name).toBeLessThanOrEqual(390);
      expect(box!.y + box!.height, name).toBeLessThanOrEqual(844);
      await page.keyboard.press('Escape');
    }
    for (const part of ['Turbine', 'Differences'] as const) {
      await openDrawer(page, part);
      const cells = page.getByRole('region', { name: 'Drawer' }).locator('td, tbody th');
      await cells.first().waitFor();
      const cut = await cells.evaluateAll((all) =>
        all.filter((one) => one.scrollWidth > one.clientWidth + 1).map((one) => one.textContent),
      );
      expect(cut, part).toEqual([]);
    }
    await closeCleanly(session);
  });
});

describe('on a tablet', () => {
  it('a part of the drawer that is opened stands on the screen, where it lay under the end of the page', async () => {
    const session = await openApp({ width: 820, height: 1180 });
    const { page } = session;
    await openDrawer(page, 'Differences');
    const drawer = page.getByRole('region', { name: 'Drawer' });
    await drawer.locator('td').first().waitFor();
    await expect
      .poll(async () => {
        const box = (await drawer.boundingBox())!;
        return box.height > 200 && box.y + box.height < 1181;
      })
      .toBe(true);
    await closeCleanly(session);
  });
});

describe('without a mouse', () => {
  it('reaches the map within twelve presses of Tab, and leaves every grid with one', async () => {
    const session = await openApp();
    const { page } = session;
    const inMap = () => page.evaluate(() => document.activeElement?.getAttribute('role') === 'application');
    let presses = 0;
    while (presses < 40 && !(await inMap())) {
      await page.keyboard.press('Tab');
      presses += 1;
    }
    expect(presses).toBeLessThanOrEqual(12);
    await openView(page, 'Maps');
    const grid = page.getByRole('grid').first();
    await grid.getByRole('gridcell').first().click();
    await page.keyboard.press('Escape');
    const stops = await grid.evaluate(
      (element) =>
        [...element.querySelectorAll('[tabindex="0"], input, button')].filter((e) => e.checkVisibility()).length,
    );
    expect(stops).toBe(1);
    await closeCleanly(session);
  });

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
