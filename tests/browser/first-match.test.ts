import type { Page } from 'playwright-core';
import { describe, expect, it } from 'vitest';
import { closeCleanly, openApp, pasteInto, shoot, typeInto } from './harness.ts';
import { INVENTED_LINES } from './invented-map.ts';
import { readPdf } from './read-pdf.ts';
import { chooseInBuildMenu, field, openView, unfold } from './screen.ts';

const LB_PER_KG = 2.204_622_622; // 1 lb = 0.453 592 37 kg exactly (NIST SP 811, appendix B)

/** The invented sheet as a US spreadsheet has it: thousands of rpm, pounds a minute, efficiency in per cent. */
const US_SHEET = [
  ['Speed, krpm', 'Flow, lb/min', 'PR', 'Eff, %'],
  ...INVENTED_LINES.flatMap(({ speed, points }) =>
    points.map(([flow, ratio, efficiency]) => [
      String(Number(speed) / 1000),
      (Number(flow) * 60 * LB_PER_KG).toFixed(1),
      ratio,
      efficiency,
    ]),
  ),
]
  .map((row) => row.join('\t'))
  .join('\n');

describe('the first match of a shop that works in US units', () => {
  it('goes from a new build to a printed sheet without changing one unit', async () => {
    const session = await openApp();
    const { page } = session;
    const done: string[] = [];
    /** One action of the person: a press, a choice, a field filled in, a paste. */
    const act = async (what: string, how: () => Promise<unknown>) => {
      await how();
      done.push(what);
    };
    const press = (name: string | RegExp, scope: Page | ReturnType<Page['getByRole']> = page) =>
      act(`press ${name}`, () =>
        scope
          .getByRole('button', { name, exact: typeof name === 'string' })
          .first()
          .click(),
      );
    const type = (label: string, text: string) => act(`${label}: ${text}`, () => typeInto(field(page, label), text));

    await act('menu of builds, New build', () => chooseInBuildMenu(page, 'New build…'));
    const dialog = page.getByRole('dialog');
    await act('units: US', () => dialog.getByText('US', { exact: true }).click());
    await act('name', () => typeInto(dialog.getByLabel('Name of the build', { exact: true }), 'Invented pickup'));
    await type('Displacement', '122');
    await type('Highest engine speed', '6500');
    await type('Boost goal, gauge', '17');
    await press('Start', dialog);

    await act('Maps', () => openView(page, 'Maps'));
    await press('New map');
    await press(/^Paste/);
    await act('paste the sheet', () => pasteInto(page, page.getByPlaceholder(/^Paste here/), US_SHEET));
    await press(/^Take over/);
    await act('tab Sheet', () => page.getByRole('tab', { name: /^Sheet/ }).click());
    await act('map name', () => typeInto(page.getByLabel('Name', { exact: true }), 'Invented 58'));
    await type('Temperature', '77');
    await type('Pressure, absolute', '14.5');
    await type('Maximum shaft speed', '150000');

    await act('Match', () => openView(page, 'Match'));
    await act('Candidate A', () => unfold(page, 'Candidate A'));
    await act('its map', () => page.getByLabel('Map', { exact: true }).selectOption({ label: 'Invented 58' }));
    await act('Air', () => unfold(page, 'Air'));
    await type('Altitude', '5280');
    await type('Air temperature', '86');
    await page.getByRole('heading', { name: 'Invented 58', exact: true }).waitFor();
    await shoot(page, 'first-match-us');

    await act('Sheet', () => openView(page, 'Sheet'));
    await page.getByRole('article', { name: /^Page 1/ }).waitFor();
    await act('car', () => typeInto(page.getByLabel('Car', { exact: true }), 'Invented pickup'));
    await expect.poll(() => page.getByRole('button', { name: 'Print', exact: true }).isEnabled()).toBe(true);
    done.push('press Print');
    const paper = await readPdf(await page.pdf({ preferCSSPageSize: true, printBackground: true }));
    const text = JSON.stringify(paper);
    for (const unit of ['5280 ft', '86 °F', 'lb/min', 'psi', 'hp', 'lb·ft']) expect(text, unit).toContain(unit);
    for (const unit of [/\d °C/, /\d kPa/, /\d bar/, /\d kW/, /\d kg\/s/, /\d hPa/, /\d N·m/])
      expect(text).not.toMatch(unit);

    console.info(
      `${done.length} actions, none of them a change of unit:\n${done.map((a, i) => `${i + 1}. ${a}`).join('\n')}`,
    );
    await closeCleanly(session);
  });
});
