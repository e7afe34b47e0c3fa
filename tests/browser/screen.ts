import type { Locator, Page } from 'playwright-core';
import { expect } from 'vitest';

/** A number as the page prints it: '148 200', '−1.2', '79.5 kPa'. NaN for what is no number, such as the dash of a missing value. */
export function printedNumber(text: string): number {
  const match = /^[+]?([−-]?)([\d\u202f]+(?:\.\d+)?)/.exec(text.trim());
  if (match === null) return Number.NaN;
  return Number(`${match[1] === '' ? '' : '-'}${match[2]?.replaceAll('\u202f', '')}`);
}

/** The number field with that label. */
export function field(page: Page, label: string): Locator {
  return page.getByRole('spinbutton', { name: label, exact: true });
}

/** One row of the table of operating points as it stands on the screen: text under each heading, the unit included ('Shaft speed, rpm'). */
export type PrintedRow = Readonly<Record<string, string>>;

/** The table of operating points, read off the screen once all its rows are up to date, those out of sight as well. */
export async function readPoints(page: Page): Promise<PrintedRow[]> {
  await openDrawer(page, 'Table');
  const table = page.getByRole('table', { name: 'Operating points' }).and(page.locator(':not([aria-busy])'));
  await table.waitFor();
  return table.evaluate((element) => {
    // A heading stands in two parts ('Shaft', 'speed, rpm') that only the layout puts a space between.
    const heads = [...element.querySelectorAll('thead th')].map((th) =>
      [...th.childNodes]
        .map((part) => part.textContent?.trim() ?? '')
        .join(' ')
        .trim(),
    );
    return [...element.querySelectorAll('tbody tr')].map((tr) => {
      const cells = [...tr.querySelectorAll('th,td')];
      const texts = cells.map((cell) => cell.textContent?.trim() ?? '');
      // A row without a point has one wide cell that says why.
      if (cells.length < heads.length) return { [heads[0] ?? '']: texts[0] ?? '', Remark: texts.at(-1) ?? '' };
      return Object.fromEntries(heads.map((head, i) => [head, texts[i] ?? '']));
    });
  });
}

/** A row's text under the heading that begins so; '' where there is none. */
export function cellOf(row: PrintedRow, heading: string): string {
  return Object.entries(row).find(([title]) => title.startsWith(heading))?.[1] ?? '';
}

/** One column of the points as numbers, by engine speed; rows without a point are left out. */
export async function readColumn(page: Page, heading: string): Promise<Map<number, number>> {
  const column = new Map<number, number>();
  for (const row of await readPoints(page)) {
    const value = printedNumber(cellOf(row, heading));
    if (Number.isFinite(value)) column.set(printedNumber(cellOf(row, 'Engine')), value);
  }
  return column;
}

/** The findings of the candidate that the map shows, in the order in which they stand: stops and cautions, then the notes. */
export async function readFindings(page: Page): Promise<string[]> {
  const shown = page
    .getByRole('region', { name: /^Candidate [A-D]$/ })
    .filter({ has: page.locator('[aria-pressed="true"]') });
  const notes = shown.getByRole('button', { name: /notes? on/, expanded: false });
  if ((await notes.count()) > 0) await notes.click();
  return (await shown.first().getByRole('listitem').allTextContents()).map((text) =>
    text.replace(/\u00a0/g, ' ').trim(),
  );
}

/** Opens the drawer below the map at one of its parts; whichever was open closes. */
export async function openDrawer(page: Page, part: 'Table' | 'Turbine' | 'Differences'): Promise<void> {
  const button = page.getByRole('region', { name: 'Drawer' }).getByRole('button', { name: part, exact: true });
  if ((await button.getAttribute('aria-expanded')) === 'false') await button.click();
}

/** Waits until `read` gives something else than `before`: the page computes as one types, never at once for a reader outside of it. */
export async function changed<T>(read: () => Promise<T>, before: T): Promise<T> {
  await expect.poll(read).not.toEqual(before);
  return read();
}

/** A list of terms as it stands: what follows each term. */
export function readTerms(box: Locator): Promise<Record<string, string>> {
  return box.evaluate((element) =>
    Object.fromEntries(
      [...element.querySelectorAll('dt')].map((dt) => [dt.textContent ?? '', dt.nextElementSibling?.textContent ?? '']),
    ),
  );
}

export async function openView(page: Page, name: 'Match' | 'Altitude' | 'Maps' | 'Log' | 'Sheet'): Promise<void> {
  await page.getByRole('navigation', { name: 'Views' }).getByRole('button', { name, exact: true }).click();
}

/** An entry of the open menu, whether it does something or is one of several to choose from. */
export function menuEntry(page: Page, entry: string | RegExp): Locator {
  return page.getByRole('menuitem', { name: entry }).or(page.getByRole('menuitemradio', { name: entry }));
}

/** Chooses an entry of the menu of builds. */
export async function chooseInBuildMenu(page: Page, entry: string | RegExp): Promise<void> {
  await page.getByRole('button', { name: /^Build: / }).click();
  await menuEntry(page, entry).click();
}

/** A new build with the answers that stand in the fields. */
export async function startNewBuild(page: Page): Promise<void> {
  await chooseInBuildMenu(page, 'New build…');
  await page.getByRole('button', { name: 'Start', exact: true }).click();
}

/** Name of the open build, as the header says it. */
export async function openBuildName(page: Page): Promise<string> {
  const label = await page.getByRole('button', { name: /^Build: / }).getAttribute('aria-label');
  return (label ?? '').replace(/^Build: /, '').replace(/ invented$/, '');
}

/** Opens a folded group of inputs. */
export async function unfold(page: Page, title: string): Promise<void> {
  const name = new RegExp(`^${title}`);
  const folded = page.getByRole('button', { name, expanded: false });
  await folded
    .or(page.getByRole('button', { name, expanded: true }))
    .first()
    .waitFor();
  if ((await folded.count()) > 0) await folded.first().click();
}
