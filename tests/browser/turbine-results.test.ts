import type { Locator, Page } from 'playwright-core';
import { describe, expect, it } from 'vitest';
import { closeCleanly, load, openApp, shoot, typeInto } from './harness.ts';
import { cellOf, changed, field, openDrawer, readColumn, readFindings, readPoints, unfold } from './screen.ts';

const plain = (text: string | null) => (text ?? '').replace(/\u00a0/g, ' ').trim();
const numberIn = (text: string) => Number(text.replaceAll('\u202f', ''));

/** What is said of the boost threshold, rpm; NaN where nothing is. */
async function thresholdRpm(page: Page): Promise<number> {
  const said = (await readFindings(page)).find((text) => text.includes('(boost threshold)')) ?? '';
  return numberIn(/from about ([\d\u202f]+) rpm/i.exec(said)?.[1] ?? 'none');
}

/** Engine speeds whose row says that the turbine holds the boost, and their wastegate flow fractions as printed. */
async function turbineLimited(page: Page): Promise<Map<number, string>> {
  const rows = (await readPoints(page)).filter((row) => (row.Remark ?? '').includes('turbine-limited'));
  return new Map(rows.map((row) => [numberIn(cellOf(row, 'Engine')), cellOf(row, 'Wastegate')]));
}

const map = (page: Page) => page.getByRole('application', { name: /^Compressor map of candidate/ });

/** Pixels of the line that are drawn hollow: wide strokes, of which the core is paper. */
const hollowLength = (page: Page) =>
  map(page).evaluate((svg) =>
    [...svg.querySelectorAll('g.operating-lines path[stroke-width="5.4"]')].reduce(
      (sum, path) => sum + (path as SVGPathElement).getTotalLength(),
      0,
    ),
  );

const words = (drawing: Locator) => drawing.locator('text').allTextContents();

/** The larger candidate, whose exhaust drives the goal late. */
async function showLarger(page: Page): Promise<void> {
  await page.getByRole('button', { name: /^B Larger drop-in/ }).click();
  await expect.poll(() => thresholdRpm(page)).toBeGreaterThan(2000);
}

async function exhaustLoss(page: Page): Promise<Locator> {
  await unfold(page, 'Exhaust');
  return page.getByRole('group', { name: /^Exhaust/ }).getByRole('spinbutton', { name: 'Pressure loss' });
}

/** The turbine's numbers as copied for a spreadsheet: one record a row, by heading without its unit. */
async function copied(page: Page): Promise<Record<string, string>[]> {
  await page.getByRole('button', { name: "Copy the turbine's numbers for a spreadsheet" }).click();
  await expect.poll(() => page.evaluate(() => navigator.clipboard.readText())).toContain('Expansion ratio');
  const [heads = [], ...rows] = (await page.evaluate(() => navigator.clipboard.readText()))
    .trim()
    .split(/\r?\n/)
    .map((line) => line.split('\t'));
  return rows.map((row) => Object.fromEntries(heads.map((head, i) => [head.replace(/ \[.*$/, ''), row[i] ?? ''])));
}

describe('what the turbine makes of a match', () => {
  it('more loss behind it: the boost comes later, more of the line is hollow, and undo takes it all back', async () => {
    const session = await openApp();
    const { page } = session;
    await showLarger(page);
    const loss = await exhaustLoss(page);
    // Lengths on the map are compared below: it keeps its size.
    await openDrawer(page, 'Table');
    const before = { threshold: await thresholdRpm(page), hollow: await hollowLength(page) };
    const few = await turbineLimited(page);
    expect(few.size).toBeGreaterThan(0);
    expect([...few.values()].every((share) => share === '0.0')).toBe(true);
    // Below the threshold the gate is shut, from there up it lets exhaust past.
    for (const [rpm, share] of await readColumn(page, 'Wastegate')) {
      if (rpm > before.threshold) expect(share, `wastegate flow at ${rpm} rpm`).toBeGreaterThan(0);
    }
    expect(await words(map(page))).toContain('turbine-limited');

    await typeInto(loss, '35,5');
    const later = await changed(() => thresholdRpm(page), before.threshold);
    expect(later).toBeGreaterThan(before.threshold + 100);
    await expect.poll(() => hollowLength(page)).toBeGreaterThan(before.hollow);
    expect((await turbineLimited(page)).size).toBeGreaterThan(few.size);
    await shoot(page, 'turbine-limited');

    await page.getByRole('button', { name: /^Undo/ }).click();
    await expect.poll(() => thresholdRpm(page)).toBe(before.threshold);
    expect(await loss.inputValue()).toBe('15');
    expect([...(await turbineLimited(page)).keys()]).toEqual([...few.keys()]);
    await closeCleanly(session);
  });

  it('a finding of a shut gate is picked up by keyboard and points at its engine speed in the table', async () => {
    const session = await openApp();
    const { page } = session;
    const loss = await exhaustLoss(page);
    // So much that the small turbine runs out at the top end as well.
    await typeInto(loss, '90');
    const list = page.getByRole('list', { name: 'Findings of A, worst first' });
    const shut = list.getByRole('button', { name: /the gate is shut and the exhaust drives/ });
    await shut.waitFor();
    const said = plain(await shut.textContent());
    const [, rpm = '', boost = '', goal = ''] =
      /At ([\d\u202f]+) rpm the gate is shut and the exhaust drives ([\d\u202f]+) kPa of boost instead of ([\d\u202f]+) kPa/.exec(
        said,
      ) ?? [];
    expect(Number(boost)).toBeLessThan(Number(goal));
    expect((await readColumn(page, 'Boost')).get(numberIn(rpm))).toBe(Number(boost));
    await shut.focus();
    await page.keyboard.press('Enter');
    await expect.poll(() => shut.getAttribute('aria-pressed')).toBe('true');
    const chosen = page.getByRole('table', { name: 'Operating points' }).locator('tr[aria-current="true"]');
    await expect.poll(async () => plain(await chosen.first().getByRole('rowheader').textContent())).toBe(rpm);
    await closeCleanly(session);
  });

  it('the copied numbers close: expansion ratio, back-pressure ratio and what goes through the turbine', async () => {
    const session = await openApp();
    const { page } = session;
    await openDrawer(page, 'Turbine');
    const rows = await copied(page);
    expect(rows.length).toBeGreaterThan(10);
    for (const row of rows) {
      const value = (head: string) => Number(row[head]);
      // The definitions: total before the turbine over static behind it; before the turbine over the manifold.
      expect(value('p3 absolute') / value('p4 absolute')).toBeCloseTo(value('Expansion ratio'), 2);
      expect(value('p3 absolute') / value('p_m absolute')).toBeCloseTo(value('p3/p_m ratio'), 2);
      expect(row['Held by']).toBe('goal');
    }
    await openDrawer(page, 'Table');
    // Mass balance: through the turbine goes what the gate leaves of air and fuel; rich petrol adds 7 to 9 % of fuel
    // (stoichiometric air-fuel ratio 14.6, lambda 0.80 to 0.92: hand calculation).
    const air = await readColumn(page, 'Air flow');
    for (const row of rows) {
      const through = Number(row['Flow through the turbine']);
      const exhaust = through / (1 - Number(row['Wastegate flow fraction']) / 100);
      const overAir = exhaust / (air.get(Number(row['Engine speed'])) ?? Number.NaN);
      // The table prints air to the gram: 1.5 % at the lowest flow.
      expect(overAir, `${row['Engine speed']} rpm`).toBeGreaterThan(1.055);
      expect(overAir, `${row['Engine speed']} rpm`).toBeLessThan(1.105);
    }
    await closeCleanly(session);
  });

  it('at the same boost the one with less back-pressure makes more power, by the ideal cycle', async () => {
    const session = await openApp();
    const { page } = session;
    await openDrawer(page, 'Differences');
    const summary = page.getByRole('region', { name: 'Drawer' });
    await expect.poll(async () => plain(await summary.textContent())).toContain('More air at the same boost');
    const said = plain(await summary.textContent());
    const match =
      /Both hold ([\d\u202f]+) kPa absolute there: p3\/p_m is ([\d.]+) instead of ([\d.]+), so less burnt gas stays in the cylinders and more fresh air comes in \(\+([\d.]+) %\)/.exec(
        said,
      );
    expect(match, said).not.toBeNull();
    const [of = 0, against = 0, gain = 0] = match!.slice(2).map(Number);
    expect(of).toBeLessThan(against);
    // Heywood, Internal Combustion Engine Fundamentals, ideal-cycle residual gas (from memory): charge ~ (r_c - (p3/p_m)^(1/gamma)) / (r_c - 1),
    // r_c 9.6 as in the demonstration, gamma of exhaust about 1.3. Printed numbers: half a unit in the last place of each.
    const fill = (ratio: number) => (9.6 - ratio ** (1 / 1.3)) / 8.6;
    expect(Math.abs((fill(of) / fill(against) - 1) * 100 - gain)).toBeLessThan(0.15);
    const power = /Power follows: \+([\d.]+) %/.exec(said)?.[1];
    expect(Number(power)).toBeGreaterThanOrEqual(gain);
    const row = page.getByRole('row', { name: /^Air at the same boost/ });
    await expect.poll(async () => plain(await row.textContent())).toContain('better');
    await shoot(page, 'turbine-same-boost');
    await closeCleanly(session);
  });

  it('limits on back-pressure and turbine inlet are crossed, drawn, kept over a reload as typed, and emptied again', async () => {
    const session = await openApp();
    const { page } = session;
    await openDrawer(page, 'Turbine');
    const chart = page.getByRole('application', { name: /^Back-pressure ratio/ });
    await chart.waitFor();
    expect((await words(chart)).some((text) => text.startsWith('limit'))).toBe(false);
    await unfold(page, 'Limits');
    const ratio = field(page, 'Back-pressure ratio');
    await typeInto(ratio, '1,2');
    await page.getByRole('combobox', { name: 'Turbine inlet temp.: unit' }).selectOption({ label: '°F' });
    await typeInto(field(page, 'Turbine inlet temp.'), '1650');
    await expect.poll(async () => (await readFindings(page)).filter((text) => text.startsWith('Stop'))).toHaveLength(2);
    const stops = (await readFindings(page)).slice(0, 2).join(' ');
    // 1650 °F are 899 °C (5/9 of the difference to 32 °F, by definition).
    expect(stops).toMatch(/the exhaust enters the turbine at [\d\u202f]+ °C; the limit is 899 °C/);
    expect(stops).toMatch(/the back-pressure ratio p3\/p_m is 1\.\d\d; the limit is 1\.20/);
    await expect.poll(() => words(chart)).toContain('limit 1.20');
    // Beside the open drawer the map is small, and a name that finds no room is left out.
    await page.getByRole('button', { name: 'Turbine', exact: true }).click();
    await expect.poll(() => words(map(page))).toContain('ceiling-limited');
    await load(page);
    session.lateRequests.length = 0;
    await unfold(page, 'Limits');
    expect(await ratio.inputValue()).toBe('1,2');
    expect(await field(page, 'Turbine inlet temp.').inputValue()).toBe('1650');
    for (const limit of [ratio, field(page, 'Turbine inlet temp.')]) {
      await limit.fill('');
      await limit.press('Tab');
    }
    await expect.poll(async () => (await readFindings(page)).some((text) => text.startsWith('Stop'))).toBe(false);
    await closeCleanly(session);
  });

  it('one candidate without a turbine: computed as before, and said what cannot be known', async () => {
    const session = await openApp({ width: 1024, height: 768, colorScheme: 'dark' });
    const { page } = session;
    await page.getByRole('button', { name: 'Inputs' }).click();
    await unfold(page, 'Candidate A');
    await page.getByRole('button', { name: /turbine on the card/i }).click();
    await page.getByRole('combobox', { name: 'Flow capacity' }).selectOption({ label: 'Not known' });
    await page.getByRole('button', { name: 'Done' }).click();
    await page.getByRole('button', { name: 'Back to the results' }).click();
    await expect
      .poll(async () => (await readFindings(page)).join(' '))
      .toContain('nothing can be said about boost threshold, back-pressure and whether the exhaust drives this boost');
    const heads = Object.keys((await readPoints(page))[0] ?? {}).join(' ');
    expect(heads).not.toContain('p3');
    expect(heads).not.toContain('Wastegate');
    await page.getByText('Side by side', { exact: true }).click();
    await openDrawer(page, 'Differences');
    const row = page.getByRole('row', { name: /^Back-pressure ratio/ });
    await expect.poll(async () => plain(await row.textContent())).toContain('not known');
    await openDrawer(page, 'Turbine');
    await page.getByText(/^No turbine data for A/).waitFor();
    await shoot(page, 'turbine-one-of-two');
    await closeCleanly(session);
  });
});
