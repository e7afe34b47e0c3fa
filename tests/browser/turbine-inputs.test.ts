import type { Locator, Page } from 'playwright-core';
import { describe, expect, it } from 'vitest';
import { closeCleanly, load, openApp, shoot, typeInto } from './harness.ts';
import { changed, field, openView, readColumn, readFindings, unfold } from './screen.ts';

const plain = (text: string | null) => (text ?? '').replace(/\u00a0/g, ' ').trim();

/** What the sidebar says of the shown candidate's turbine. */
const said = async (page: Page) =>
  plain(
    await page
      .getByRole('complementary', { name: 'Inputs' })
      .locator('p', { hasText: /^Turbine/ })
      .textContent(),
  );

/** Opens the card at its turbine with the keyboard alone. */
async function openTurbine(page: Page): Promise<Locator> {
  const inputs = page.getByRole('button', { name: 'Inputs', exact: true });
  if (await inputs.isVisible()) await inputs.click();
  await unfold(page, 'Candidate A');
  const button = page.getByRole('button', { name: /turbine on the card/i });
  await button.focus();
  await page.keyboard.press('Enter');
  const card = page.getByRole('dialog', { name: 'Card of candidate A' });
  await card.waitFor();
  return card.getByRole('region', { name: 'Turbine', exact: true });
}

/** The A/R of the turbine housing, in inches as housings are marked. */
async function enterAreaRadius(page: Page, inches: string): Promise<void> {
  await page.getByRole('combobox', { name: 'Turbine A/R: unit' }).selectOption({ label: 'in' });
  await typeInto(field(page, 'Turbine A/R'), inches);
}

const source = (page: Page) => page.getByRole('combobox', { name: 'Flow capacity' });

describe('the turbine of a candidate', () => {
  it('is estimated from calipers by keyboard alone, and the line is then one that the exhaust drives', async () => {
    const session = await openApp();
    const { page } = session;
    // Its notes are unfolded then, and stay so.
    await readFindings(page);
    const turbine = await openTurbine(page);
    await expect.poll(() => source(page).evaluate((select) => select === document.activeElement)).toBe(true);
    await page.keyboard.type('Not');
    await expect.poll(() => turbine.textContent()).toContain('cannot be told');
    // A list forgets the letters typed to find an entry after a pause.
    await page.waitForTimeout(1_200);
    await page.keyboard.type('Est');
    await turbine.getByRole('combobox', { name: 'Turbine efficiency' }).selectOption({ label: 'A number' });
    await field(page, 'Turbine A/R').fill('');
    await expect
      .poll(() => turbine.getByRole('status').allTextContents())
      .toEqual(['Still to be measured: turbine A/R. Until then no turbine is computed.']);
    expect((await readFindings(page)).join(' ')).toContain('No turbine is computed');
    // Invented: the A/R of a small housing, with a comma.
    await enterAreaRadius(page, '0,58');
    await turbine.getByText(/passes [\d.]+.kg\/s at an expansion ratio of 2, ±15/).waitFor();
    await shoot(page, 'turbine-estimated');
    await page.keyboard.press('Escape');
    await page.getByRole('dialog').waitFor({ state: 'detached' });
    // The keyboard is back where it came from.
    await expect
      .poll(() => page.evaluate(() => document.activeElement?.getAttribute('aria-label') ?? ''))
      .toMatch(/turbine on the card/i);
    await expect.poll(() => said(page)).toBe('Turbine estimated, ±15 %');
    await expect.poll(async () => (await readFindings(page)).join(' ')).not.toContain('No turbine is computed');
    await closeCleanly(session);
  });

  it('larger by its A/R passes more; typed in another unit it is the same turbine', async () => {
    const session = await openApp();
    const { page } = session;
    const turbine = await openTurbine(page);
    await source(page).selectOption({ label: 'Estimated from the measurements here' });
    const capacity = async () =>
      Number(/passes ([\d.]+)/.exec(plain(await turbine.getByText(/passes/).textContent()))?.[1]);
    await enterAreaRadius(page, '0.50');
    const small = await capacity();
    await enterAreaRadius(page, '0.80');
    const large = await changed(capacity, small);
    expect(large).toBeGreaterThan(small);
    // 0.80 in are 20.32 mm (the inch is 25.4 mm by definition).
    await page.getByRole('combobox', { name: 'Turbine A/R: unit' }).selectOption({ label: 'mm' });
    expect(Number(await field(page, 'Turbine A/R').inputValue())).toBeCloseTo(20.32, 2);
    expect(await capacity()).toBe(large);
    await closeCleanly(session);
  });

  it('gets a new sheet that opens in the Maps view and belongs to it', async () => {
    const session = await openApp();
    const { page } = session;
    const turbine = await openTurbine(page);
    await source(page).selectOption({ label: 'From a turbine sheet' });
    await turbine.getByRole('button', { name: 'New turbine sheet' }).click();
    await page.getByRole('dialog').waitFor({ state: 'detached' });
    const shelf = page.getByRole('navigation', { name: 'Shelf of maps' });
    await shelf.getByRole('button', { name: /^Turbine of Factory size/ }).waitFor();
    await openView(page, 'Match');
    await unfold(page, 'Candidate A');
    await expect.poll(() => said(page)).toBe('Turbine sheet “Turbine of Factory size”, not complete yet');
    // A turbine sheet is nowhere offered as a compressor map.
    const maps = page.getByRole('combobox', { name: 'Map', exact: true });
    expect((await maps.getByRole('option').allTextContents()).join()).not.toContain('Turbine of Factory size');
    await closeCleanly(session);
  });

  it('asks for what each kind of efficiency needs, and keeps what was typed for the others', async () => {
    const session = await openApp({ width: 1024, height: 768, colorScheme: 'dark' });
    const { page } = session;
    const turbine = await openTurbine(page);
    await source(page).selectOption({ label: 'Estimated from the measurements here' });
    const kind = turbine.getByRole('combobox', { name: 'Turbine efficiency' });
    await kind.selectOption({ label: 'A number' });
    await typeInto(field(page, 'Efficiency'), '68,5');
    await kind.selectOption({ label: 'Parabola over U/C0' });
    await typeInto(field(page, '… at U/C0 of'), '7');
    await turbine.getByText(/'7' is too high\. Type 0\.3 to 1\.2\./).waitFor();
    await shoot(page, 'turbine-efficiency');
    await kind.selectOption({ label: 'A number' });
    expect(await field(page, 'Efficiency').inputValue()).toBe('68,5');
    await turbine.getByRole('switch', { name: /holds the bearing/ }).press('Space');
    await expect.poll(() => field(page, 'Mechanical efficiency').count()).toBe(0);
    await closeCleanly(session);
  });
});

describe('the exhaust in the sidebar', () => {
  it('takes loss and temperature, remembers what was typed over a reload, and more loss costs air', async () => {
    const session = await openApp();
    const { page } = session;
    const turbine = await openTurbine(page);
    await source(page).selectOption({ label: 'Estimated from the measurements here' });
    await turbine.getByRole('combobox', { name: 'Turbine efficiency' }).selectOption({ label: 'A number' });
    await enterAreaRadius(page, '0,58');
    await page.getByRole('button', { name: 'Done' }).click();
    await unfold(page, 'Exhaust');
    const exhaust = page.getByRole('group', { name: /^Exhaust/ });
    await expect
      .poll(async () => plain(await exhaust.getByRole('status').textContent()))
      .toMatch(/^[\d\u202f]+ °C to [\d\u202f]+ °C along the line, estimated from fuel, lambda and consumption\.$/);
    const loss = exhaust.getByRole('spinbutton', { name: 'Pressure loss' });
    await typeInto(loss, '5,0');
    const free = await changed(() => readColumn(page, 'Air flow'), new Map());
    await typeInto(loss, '60');
    const choked = await changed(() => readColumn(page, 'Air flow'), free);
    // The last engine speed, where most exhaust flows: the cylinders fill less against more back-pressure.
    const top = Math.max(...free.keys());
    expect(choked.get(top)).toBeLessThan(free.get(top) ?? 0);
    await exhaust.getByRole('combobox', { name: 'Turbine inlet temperature' }).selectOption({ label: 'Entered' });
    const cell = exhaust
      .getByRole('grid', { name: 'Turbine inlet temperature, points' })
      .locator('td[data-row="0"][data-column="1"]');
    await cell.click();
    await page.keyboard.type('965');
    await page.keyboard.press('Enter');
    await expect
      .poll(async () => plain(await page.getByRole('button', { name: /^Exhaust/ }).textContent()))
      .toContain('60 kPa, 965 °C');
    await shoot(page, 'exhaust-entered');
    await typeInto(exhaust.getByRole('spinbutton', { name: 'Back-pressure ratio of vol. efficiency' }), '1;2');
    await load(page);
    session.lateRequests.length = 0;
    await unfold(page, 'Exhaust');
    expect(await loss.inputValue()).toBe('60');
    expect(await exhaust.getByRole('spinbutton', { name: 'Back-pressure ratio of vol. efficiency' }).inputValue()).toBe(
      '1;2',
    );
    await closeCleanly(session);
  });
});
