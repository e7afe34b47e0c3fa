import type { BrowserContext, Page } from 'playwright-core';
import { describe, expect, inject, it } from 'vitest';
import { buildToFile } from '../../../src/build/index.ts';
import { dropFile, load, openApp, openBrowser } from '../../browser/harness.ts';
import { field, openView } from '../../browser/screen.ts';
import { TracingHand } from '../../browser/tracing-hand.ts';
import { buildWithMap } from '../../build/anyChange.ts';
import { chance, rounds, SEED, tell } from '../chance.ts';

/** Which of these texts stand somewhere in the browser's database; looked up there, not brought here. */
function stored(page: Page, texts: readonly string[]): Promise<string[]> {
  return page.evaluate(async (wanted) => {
    const done = <T>(request: IDBRequest<T>) =>
      new Promise<T>((resolve, reject) => {
        request.onsuccess = () => resolve(request.result);
        request.onerror = () => reject(request.error);
      });
    const database = await done(indexedDB.open('lugline'));
    const names = ['builds', 'maps', 'meta'];
    const transaction = database.transaction(names);
    const all = await Promise.all(names.map((name) => done(transaction.objectStore(name).getAll())));
    database.close();
    const text = JSON.stringify(all);
    return wanted.filter((one) => text.includes(one));
  }, texts);
}

/** The page ends as when its process dies: none of its own handlers runs. */
async function kill(page: Page): Promise<void> {
  const client = await page.context().newCDPSession(page);
  const crashed = page.waitForEvent('crash');
  client.send('Page.crash').catch(() => undefined);
  await crashed;
  await page.close();
}

async function freshPage(context: BrowserContext): Promise<Page> {
  const page = await context.newPage();
  await load(page);
  return page;
}

/** Types into a field as a script does: the text is there, the field is not left. 'next': into the first that nobody typed into yet. */
function put(page: Page, index: number | 'next', text: string): Promise<string | null> {
  return page.evaluate(
    ([at, value]) => {
      const fields = [
        ...document.querySelectorAll<HTMLInputElement | HTMLTextAreaElement>('main input, main textarea'),
      ];
      const seen = fields.filter(
        (element) =>
          element.checkVisibility() && !element.disabled && !/^(checkbox|radio|range|file)$/.test(element.type),
      );
      const element = at === 'next' ? seen.find(({ dataset }) => dataset.swept === undefined) : seen[at];
      if (element === undefined) return null;
      element.dataset.swept = 'yes';
      const base = element instanceof HTMLTextAreaElement ? HTMLTextAreaElement : HTMLInputElement;
      element.focus();
      Object.getOwnPropertyDescriptor(base.prototype, 'value')?.set?.call(element, value);
      element.dispatchEvent(new Event('input', { bubbles: true }));
      return element.getAttribute('aria-label') ?? element.labels?.[0]?.textContent ?? element.name;
    },
    [index, text] as const,
  );
}

const VIEWS = ['Match', 'Altitude', 'Maps', 'Sheet'] as const;
const FOLDED = 'main button[aria-expanded]:not([aria-haspopup])';
/** Opens the fold of that number; in the Match view that closes the one before. */
function unfold(page: Page, at: number): Promise<void> {
  return page.evaluate(
    ([selector, number]) => {
      const fold = document.querySelectorAll<HTMLElement>(selector)[number];
      if (fold?.getAttribute('aria-expanded') === 'false') fold.click();
    },
    [FOLDED, at] as const,
  );
}
/** All that is folded away is opened, as far as one does not close another. */
async function unfoldAll(page: Page): Promise<void> {
  await page.evaluate(() => {
    for (const button of document.querySelectorAll<HTMLElement>('main button[aria-expanded="false"]'))
      if (button.getAttribute('aria-haspopup') === null) button.click();
  });
}

describe('a page that is killed', () => {
  const many = rounds(3, 1000);

  it(`${many} times while it is typed into: what was typed a second before is there again`, async () => {
    const by = chance(SEED);
    const { context, page: first } = await openApp();
    let page = first;
    let text = 0;
    let longestMs = 0;
    for (let round = 0; round < many; round += 1) {
      const typedAt: { text: number; at: number }[] = [];
      const until = Date.now() + 200 + by.below(2500);
      const input = field(page, 'Altitude');
      await input.click();
      while (Date.now() < until) {
        text = (text + 1) % 2900;
        await input.fill(String(100 + text));
        typedAt.push({ text: 100 + text, at: Date.now() });
        await page.waitForTimeout(20 + by.below(150));
      }
      const killedAt = Date.now();
      await kill(page);
      page = await freshPage(context);
      const found = Number(await field(page, 'Altitude').inputValue());
      const index = typedAt.findLastIndex((typed) => typed.text === found);
      // The first that is lost is the one typed after what was found.
      const lost = typedAt[index + 1];
      const lostMs = lost === undefined ? 0 : killedAt - lost.at;
      longestMs = Math.max(longestMs, lostMs);
      // A second by promise, and what this machine takes to let a script type while others use it.
      expect(lostMs, `round ${round}: ${found} was found`).toBeLessThan(2000);
    }
    tell(`${many} kills, at most ${longestMs} ms of typing lost`);
    await context.close();
  });
});

describe('every field', () => {
  it('keeps what is typed without being left: it stands in the database after the usual wait, and after a kill', async () => {
    const { context, page: first } = await openApp();
    let page = first;
    let kept = 0;
    const lost: string[] = [];
    for (const view of VIEWS) {
      await openView(page, view);
      await unfoldAll(page);
      // A field that is reached twice holds what was typed last.
      const marks = new Map<string, string>();
      let typed = 0;
      const folds = await page.locator(FOLDED).count();
      // With the first row open, so that none is gone through twice: the second text would replace the first.
      await unfold(page, 0);
      for (let index = 0, fold = 1; ; index += 1) {
        const mark = `q${view.slice(0, 3)}${index}x`;
        const name = await put(page, 'next', mark);
        if (name === null && fold >= folds) break;
        if (name === null) {
          await unfold(page, fold);
          fold += 1;
          continue;
        }
        const isStored = await expect
          .poll(() => stored(page, [mark]), { timeout: 6000, interval: 100 })
          .toEqual([mark])
          .then(
            () => true,
            () => false,
          );
        if (isStored) {
          marks.set(name, mark);
          typed += 1;
        } else lost.push(`${view}: ${name}`);
      }
      await kill(page);
      page = await freshPage(context);
      const found = await stored(page, [...marks.values()]);
      lost.push(...[...marks.values()].filter((mark) => !found.includes(mark)));
      kept += typed;
    }
    expect(lost).toEqual([]);
    expect(kept).toBeGreaterThan(60);
    tell(`${kept} fields keep what is typed without being left`);
    await context.close();
  });

  const many = rounds(150, 10_000);
  it(`takes ${many} nasty strings without a complaint, a script or a number that is none`, async () => {
    const by = chance(SEED + 2);
    const session = await openApp();
    const { page } = session;
    const counts: Record<string, number> = {};
    let done = 0;
    let slow = 0;
    while (done < many) {
      const view = by.one(VIEWS);
      await openView(page, view);
      await unfoldAll(page);
      const fields = await page.locator('main input:visible, main textarea:visible').count();
      const put25: string[] = [];
      for (let i = 0; i < 25 && done < many; i += 1) {
        const from = Date.now();
        const text = by.one(NASTY);
        const name = await put(page, by.below(Math.max(1, fields)), text);
        if (name === null) continue;
        put25.push(`${view}, ${name}: ${JSON.stringify(text.slice(0, 20))}`);
        if (Date.now() - from > 1000) slow += 1;
        counts[name] = (counts[name] ?? 0) + 1;
        done += 1;
      }
      const shown = await page.evaluate(() => document.querySelector('main')?.textContent ?? '');
      expect(shown, put25.join('\n')).not.toMatch(/\bNaN\b|\bInfinity\b|\[object /);
      const attributes = await page.evaluate(
        () => document.querySelector('main')?.innerHTML.match(/="[^"]*NaN[^"]*"/g) ?? [],
      );
      expect(attributes, put25.join('\n')).toEqual([]);
      expect(await page.evaluate(() => 'foreign' in window)).toBe(false);
    }
    expect(session.complaints).toEqual([]);
    tell(`${done} strings in ${Object.keys(counts).length} fields, ${slow} of them took more than a second`);
    await session.context.close();
  });
});

const NASTY: readonly [string, ...string[]] = [
  '',
  ' ',
  '-',
  '1e999',
  '9'.repeat(300),
  '0.'.padEnd(300, '0'),
  '-0',
  '1,2,3',
  '٣٫٥',
  '１２',
  'nan',
  '-inf',
  '-1e-320',
  '\u0000\u0001\u001f',
  '\ud800',
  '\ufffe',
  '\u202e321',
  'a\u0301'.repeat(50),
  '👩‍👩‍👧‍👦',
  '<img src=x onerror="window.foreign=1">',
  '"><script>window.foreign=1</script>',
  "';window.foreign=1;'",
  '{{constructor}}',
  '__proto__',
  'constructor',
  'url(#a)',
  '=HYPERLINK("x")',
  '%s%n%x',
  '../../etc',
  'x'.repeat(5000),
  '1 000.5',
  "1'000",
  '1/3',
  '5 %',
  '12o',
  '\t1\t',
  '0x10',
  '1_000',
  '−5',
];

describe('pastes and pictures', () => {
  it('longer than a table is refused with a sentence, and a long one within the limit leaves the page quick', async () => {
    const session = await openApp();
    const { page } = session;
    await openView(page, 'Maps');
    const line = (i: number) =>
      `${80_000 + 1000 * (i % 20)}\t${(0.05 + 0.00005 * i).toFixed(5)}\t${(1.5 + 0.0001 * i).toFixed(4)}`;
    const pasteRows = async (count: number) => {
      const text = ['rpm\tkg/s\tPR', ...Array.from({ length: count }, (_, i) => line(i))].join('\n');
      await page.evaluate((value) => navigator.clipboard.writeText(value), text);
      await page.getByRole('gridcell').first().click();
      await page.keyboard.press('ControlOrMeta+v');
    };
    await pasteRows(25_000);
    await page
      .getByText(/at most 5000|at most 500\u202f000/)
      .first()
      .waitFor();
    const nodes = await page.evaluate(() => document.querySelectorAll('*').length);
    expect(nodes).toBeLessThan(20_000);
    tell(`a paste of 25,000 rows is refused; ${nodes} nodes on the page`);
    expect(session.complaints).toEqual([]);
    await session.context.close();
  });

  it.each([
    ['uses within uses', nestedUses(12, 10)],
    ['patterns within patterns', nestedPatterns(8, 20)],
    [
      'entities within entities',
      `<!DOCTYPE svg [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;&a;&a;&a;">]><svg xmlns="http://www.w3.org/2000/svg"><text>&b;</text></svg>`,
    ],
  ])('a drawing of %s is refused before it is drawn', async (_name, svg) => {
    const session = await openApp();
    const { page } = session;
    const hand = new TracingHand(page);
    await hand.begin();
    const from = Date.now();
    await page.getByLabel('Picture of the sheet', { exact: true }).setInputFiles({
      name: 'drawing.svg',
      mimeType: 'image/svg+xml',
      buffer: Buffer.from(svg),
    });
    await page.getByText(/was not opened; nothing is changed/).waitFor();
    tell(`${_name}: refused after ${Date.now() - from} ms`);
    expect(session.complaints).toEqual([]);
    await session.context.close();
  });

  it('a backup of 40,000 empty entries is refused and the page stays awake', async () => {
    const session = await openApp();
    const { page } = session;
    const empty = JSON.stringify({ format: 'lugline-backup', version: 1, builds: Array(40_000).fill({}), shelf: [] });
    await dropFile(page, 'empty.json', empty);
    await page.getByText('More than 500 entries cannot be read').waitFor();
    await dropFile(page, 'one.json', JSON.stringify({ ...buildToFile(buildWithMap('one')), name: 'After it' }));
    await page.getByRole('button', { name: 'Build: After it' }).waitFor();
    expect(session.complaints).toEqual([]);
    await session.context.close();
  });
});

function nestedUses(levels: number, each: number): string {
  const level = (i: number) =>
    `<g id="a${i}">${Array.from({ length: each }, () => `<use href="#a${i - 1}"/>`).join('')}</g>`;
  const defs = Array.from({ length: levels }, (_, i) => level(i + 1)).join('');
  return `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 10 10"><defs><rect id="a0" width="1" height="1"/>${defs}</defs><use href="#a${levels}"/></svg>`;
}

function nestedPatterns(levels: number, each: number): string {
  const level = (i: number) =>
    `<pattern id="p${i}" width="1" height="1">${Array.from({ length: each }, () => `<rect width="1" height="1" fill="url(#p${i - 1})"/>`).join('')}</pattern>`;
  const defs = Array.from({ length: levels }, (_, i) => level(i + 1)).join('');
  return `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 10 10"><defs>${defs}</defs><rect width="9" height="9" fill="url(#p${levels})"/></svg>`;
}

describe('a browser that does not answer', () => {
  it('is named in the header with the time, and a new window opens all the same and takes up what is stored later', async () => {
    const { context, page } = await openApp();
    await field(page, 'Altitude').fill('1234');
    await expect.poll(() => stored(page, ['1234'])).toEqual(['1234']);
    const holder = await context.newPage();
    await holder.goto(`${inject('appUrl')}lugline-build.schema.json`);
    await holder.evaluate(async () => {
      const database = await new Promise<IDBDatabase>((resolve) => {
        const request = indexedDB.open('lugline');
        request.onsuccess = () => resolve(request.result);
      });
      const transaction = database.transaction([...database.objectStoreNames], 'readwrite');
      const until = Date.now() + 20_000;
      const hold = () => {
        if (Date.now() < until) transaction.objectStore('meta').get('revision').onsuccess = hold;
      };
      hold();
    });
    await field(page, 'Altitude').fill('1300');
    await page.getByRole('button', { name: /Storage waits since/ }).waitFor();
    const second = await context.newPage();
    await second.goto(inject('appUrl'));
    await second.getByText('The browser does not answer').waitFor();
    await second.getByRole('button', { name: 'Save a file now' }).waitFor();
    await expect.poll(() => field(second, 'Altitude').inputValue()).toBe('1300');
    await expect.poll(() => second.getByText('The browser does not answer').count()).toBe(0);
    await context.close();
    expect((await openBrowser()).contexts()).not.toContain(context);
  });
});
