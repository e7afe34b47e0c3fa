import type { Page } from 'playwright-core';
import { describe, expect, it } from 'vitest';
import { closeCleanly, load, openApp, pasteInto, shoot, typeInto } from './harness.ts';
import { changed, chooseInBuildMenu, field, openDrawer, openView, readFindings } from './screen.ts';

/** The example of an invented V6, two small turbos against one large, as a person opens it. */
async function openV6(width = 1440) {
  const session = await openApp({ width });
  await chooseInBuildMenu(session.page, 'Open the V6 example');
  await candidate(session.page, 'A').getByText('Two small').first().waitFor();
  return session;
}

const candidate = (page: Page, letter: 'A' | 'B') =>
  page.getByRole('region', { name: `Candidate ${letter}`, exact: true });
const openInputs = (page: Page, title: RegExp) =>
  page.getByRole('complementary', { name: 'Inputs' }).getByRole('button', { name: title }).click();
const openCard = (page: Page, letter: 'A' | 'B') =>
  page.getByRole('button', { name: new RegExp(`^Card of candidate ${letter}`) }).click();

describe('two turbos', () => {
  it('titles say per turbo while there are several, and no longer when one is chosen', async () => {
    const session = await openV6();
    const { page } = session;
    const figures = () => candidate(page, 'A').locator('dl').first().textContent();
    expect(await figures()).toContain('Shaft speed per turbo');
    expect(await figures()).not.toContain('Wheel power per turbo');
    const flow = page.getByText(/Corrected air flow per turbo/);
    expect(await flow.count()).toBeGreaterThan(0);
    await shoot(page, 'v6-per-turbo');
    const before = await readFindings(page);
    await openInputs(page, /^Candidate A/);
    await page.getByLabel('Turbos', { exact: true }).selectOption({ label: 'One' });
    await expect.poll(figures).not.toContain('per turbo');
    expect(await changed(() => readFindings(page), before)).not.toEqual(before);
    await closeCleanly(session);
  });

  it('a gate that is too small is named, with the boost that creeps, and a larger one is not', async () => {
    const session = await openV6();
    const { page } = session;
    const creeps = async () => (await readFindings(page)).filter((said) => /wide open and the boost creeps/.test(said));
    await openCard(page, 'A');
    await typeInto(field(page, 'Wastegate opening'), '8');
    await page.getByRole('button', { name: 'Done' }).click();
    await expect.poll(async () => (await creeps()).length).toBe(1);
    await shoot(page, 'v6-creep');
    await openCard(page, 'A');
    await typeInto(field(page, 'Wastegate opening'), '40');
    await page.getByRole('button', { name: 'Done' }).click();
    await expect.poll(async () => (await creeps()).length).toBe(0);
    await closeCleanly(session);
  });

  it('spool-up asks for the inertia of both rotors, and answers what is entered; an engine speed too low is said', async () => {
    const session = await openV6();
    const { page } = session;
    await openDrawer(page, 'Differences');
    const spool = page.getByRole('region', { name: 'Spool-up' });
    await expect.poll(() => spool.textContent()).toMatch(/inertia of the rotor of Two small is not known/);
    for (const [letter, inertia] of [
      ['A', '12'],
      ['B', '60'],
    ] as const) {
      await openCard(page, letter);
      const card = page.getByRole('dialog');
      await card.getByLabel('Inertia of the rotor', { exact: true }).selectOption({ label: 'A number' });
      await typeInto(card.getByRole('region', { name: 'Rotor' }).getByRole('spinbutton'), inertia);
      await page.getByRole('button', { name: 'Done' }).click();
    }
    const said = async () => (await spool.getByRole('status').textContent()) ?? '';
    await typeInto(field(page, 'At engine speed'), '4000');
    await expect.poll(said).toMatch(/at 4000.rpm .*B takes about .* as long as A \(±\d+.%\)/);
    const lines = () => spool.textContent();
    const before = await lines();
    await typeInto(field(page, 'Volume of the charge path'), '40');
    await changed(lines, before);
    expect(await lines()).toMatch(/ESTIMATE .* never a promise/);
    await shoot(page, 'v6-spool');
    await typeInto(field(page, 'At engine speed'), '1000');
    await expect.poll(said).toMatch(/not compared/);
    await closeCleanly(session);
  });

  it('a control unit table pasted is held against the ceilings of two turbos', async () => {
    const session = await openV6();
    const { page } = session;
    await openView(page, 'Altitude');
    await page.getByText('Control unit table', { exact: true }).click();
    await pasteInto(page, page.getByLabel('Engine speeds, rpm'), '3000\t4500\t6000');
    await pasteInto(page, page.getByLabel('Breakpoints of the second axis'), '100\t80');
    // Far over any ceiling in the last cell, no boost to speak of in the others.
    await pasteInto(page, page.getByLabel('The table that is there already'), '130\t120\r\n130\t120\r\n130\t390\r\n');
    const answer = page.getByRole('region', { name: 'Answer' }).getByRole('heading');
    await expect.poll(() => answer.textContent(), { timeout: 90_000 }).toMatch(/^1 of 6 cells is over the limit of /);
    expect(await page.locator('td[data-state="over"]').count()).toBe(1);
    await shoot(page, 'v6-table');
    await closeCleanly(session);
  });

  it.each([390, 820, 1024, 1440, 1920])(
    'at the counter, %d wide, both verdicts and every title stand whole',
    async (width) => {
      const session = await openV6(width);
      const { page } = session;
      await page.getByRole('button', { name: /Counter mode/ }).click();
      const counter = page.getByRole('dialog', { name: 'Counter mode' });
      await counter.waitFor();
      const cut = () =>
        counter
          .locator('[aria-label="Verdict"] button, dt')
          .evaluateAll((all) =>
            all.filter((one) => one.scrollWidth > one.clientWidth + 1).map((one) => one.textContent),
          );
      await expect.poll(cut).toEqual([]);
      expect(await counter.locator('[aria-label="Verdict"]').textContent()).toContain('(per turbo)');
      await closeCleanly(session);
    },
  );
});

describe('volumetric efficiency from a run', () => {
  it('is pasted with decimal commas, survives a reload, is taken in one step, and undone', async () => {
    const session = await openApp();
    const { page } = session;
    await openInputs(page, /^Engine(?! speeds)/);
    const open = page.getByRole('button', { name: /^From a dynamometer run/ });
    await open.click();
    const dialog = page.getByRole('dialog');
    const grid = dialog.getByRole('grid', { name: 'Rows of the run' });
    await pasteInto(
      page,
      grid.locator('td').first(),
      'n\tP\tboost\tT\r\n4000\t145,5\t135\t50\r\n5000\t180\t13x\t55\r\n6000\t192\t128\t58\r\n',
    );
    await dialog.getByText(/^Boost of row 2: '13x'/).waitFor();
    const given = dialog.getByRole('table', { name: 'What each row gives' }).locator('tbody tr');
    await expect.poll(() => given.count()).toBe(2);
    await shoot(page, 'known-ve');
    await dialog.getByRole('button', { name: 'Take this volumetric efficiency' }).click();
    await dialog.waitFor({ state: 'detached' });
    await page.getByRole('button', { name: /^Undo: take the volumetric efficiency of the dynamometer run/ }).click();
    await load(page);
    session.lateRequests.length = 0;
    await open.click();
    await expect.poll(() => dialog.getByRole('grid', { name: 'Rows of the run' }).textContent()).toContain('145,5');
    await closeCleanly(session);
  });
});
