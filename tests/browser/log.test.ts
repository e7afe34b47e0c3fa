import { describe, expect, it } from 'vitest';
import { demoBuild } from '../../src/build/demo.ts';
import { toMatchInput } from '../../src/build/index.ts';
import { demoLog } from '../../src/match/index.ts';
import { demoInput, solvedAt, steps } from '../match/log/made-log.ts';
import { metric, plain } from '../metric-words.ts';
import { closeCleanly, dropFile, load, openApp, shoot, untilStored } from './harness.ts';
import { field, menuEntry } from './screen.ts';

/** The log of the demonstration car as a German logger writes it: semicolons, decimal commas, another name for everything. */
function germanLog(): string {
  const text = demoLog(toMatchInput(demoBuild(), 0)) ?? '';
  const [, , ...rows] = text.trim().split('\n');
  const names =
    'Zeit [s];Motordrehzahl [1/min];Saugrohrdruck [kPa];Turboladerdrehzahl [1/min];Ladelufttemperatur [°C];Drosselklappe [%];Umgebungsdruck [kPa]';
  return [names, ...rows.map((row) => row.replaceAll(',', ';').replaceAll('.', ','))].join('\n');
}

type Session = Awaited<ReturnType<typeof openApp>>;
const rows = (session: Session) => session.page.getByText(/^720 rows, 36 s, 1 session/);

describe('a road log', () => {
  it('is dropped anywhere, read, and laid over the map; it is there again after a reload', async () => {
    const session = await openApp();
    const { page } = session;
    await dropFile(page, 'pull.csv', germanLog());
    await rows(session).waitFor();
    await page.getByRole('heading', { name: 'On the map of A' }).waitFor();
    await shoot(page, 'log');
    expect(await page.getByRole('checkbox', { name: 'Pull 2' }).isChecked()).toBe(true);
    expect(await page.getByText(/dynamometer or a closed course/).count()).toBe(1);
    // One step of undo takes it away, and one brings it back.
    await page.getByRole('button', { name: /^Undo: add a road log/ }).click();
    await page.getByText(/drop the file anywhere on this page/).waitFor();
    await page.getByRole('button', { name: /^Redo: add a road log/ }).click();
    await rows(session).waitFor();
    await untilStored(page, 'pull.csv');
    await load(page);
    // The visit's own requests.
    session.lateRequests.length = 0;
    await page.getByRole('button', { name: 'Log', exact: true }).click();
    await rows(session).waitFor();
    expect(await page.getByText(/not on this machine/).count()).toBe(0);
    await closeCleanly(session);
  });

  it('is opened through the file dialog, and its columns can be changed', async () => {
    const session = await openApp();
    const { page } = session;
    await page.getByRole('button', { name: 'Log', exact: true }).click();
    const coming = page.waitForEvent('filechooser');
    await page.getByRole('button', { name: 'Open a log…' }).first().click();
    await (await coming).setFiles({ name: 'pull.txt', mimeType: 'text/plain', buffer: Buffer.from(germanLog()) });
    await rows(session).waitFor();
    await page.getByRole('button', { name: /Columns, as they were understood/ }).click();
    const role = page.getByRole('combobox', { name: 'Column Saugrohrdruck [kPa] is' });
    expect(await role.inputValue()).toBe('manifoldPressure');
    await role.selectOption('unused');
    await page.getByRole('button', { name: /No column holds the manifold pressure/ }).waitFor();
    await role.selectOption('manifoldPressure');
    await page.getByRole('heading', { name: 'On the map of A' }).waitFor();
    await closeCleanly(session);
  });

  it('that cannot be read says why and changes nothing', async () => {
    const session = await openApp();
    const { page } = session;
    await dropFile(page, 'empty.csv', 'a,b\nc,d\n');
    await page.getByText("'empty.csv' was not opened; nothing is changed.").waitFor();
    expect(await page.getByRole('button', { name: /^Nothing to undo/ }).count()).toBe(1);
    await closeCleanly(session);
  });

  it('comes with an invented one of the demonstration car', async () => {
    const session = await openApp();
    const { page } = session;
    await page.getByRole('button', { name: 'Log', exact: true }).click();
    await page.getByRole('button', { name: 'Try the invented log' }).click();
    await rows(session).waitFor();
    await page.getByRole('heading', { name: /Volumetric efficiency/ }).waitFor();
    // The answer comes first, and leads to the curve that it speaks of.
    await page.getByRole('button', { name: /the engine draws .* less air than entered/ }).click();
    expect(await page.getByRole('combobox', { name: 'Which log is shown' }).textContent()).toContain('(invented)');
    // Its one bias is found: above 4,500 rpm the car breathes less than is entered. Taking that is one step, and undone as one.
    const table = page.getByRole('table', { name: 'Before and after taking the volumetric efficiency' });
    await table.waitFor();
    await page.getByRole('button', { name: 'Take this volumetric efficiency' }).click();
    await page.getByRole('button', { name: /^Undo: take the volumetric efficiency of the log/ }).click();
    await table.waitFor();
    await table.scrollIntoViewIfNeeded();
    await shoot(page, 'log-take');
    await closeCleanly(session);
  });

  it('with the pressure before the compressor offers the inlet loss: one press, one step of undo', async () => {
    // The demonstration's car with a filter that loses a fifth more than is entered, by the solver of the line, forwards.
    const entered = demoInput(0);
    const lossPa = 1.2 * entered.inletPath.lossPa;
    const points = solvedAt({ ...entered, inletPath: { ...entered.inletPath, lossPa } }, steps(2500, 6500, 25));
    const lines = points.map((p, i) =>
      [
        i / 20,
        p.engineSpeedRpm,
        p.manifoldPressurePa / 1000,
        p.shaftSpeedRpm,
        p.manifoldTemperatureK - 273.15,
        p.compressorInletPressurePa / 1000,
        100,
        entered.ambient.pressurePa / 1000,
      ]
        .map((value) => value.toFixed(3))
        .join(','),
    );
    const names =
      'Time [s],Engine speed [rpm],MAP [kPa],Turbo speed [rpm],Charge temperature [degC],Pressure before compressor [kPa],Throttle [%],Barometer [kPa]';
    const session = await openApp();
    const { page } = session;
    await dropFile(page, 'filter.csv', [names, ...lines].join('\n'));
    await page.getByRole('button', { name: /^The volumetric efficiency that this log gives/ }).click();
    const take = page.getByRole('button', { name: /^Take this inlet loss: / });
    await take.scrollIntoViewIfNeeded();
    await shoot(page, 'log-inlet-loss');
    const words = (await take.textContent()) ?? '';
    const [, taken, before] = /: ([\d.]+) kPa instead of ([\d.]+) kPa$/.exec(words)!;
    // The fit is drawn towards what was entered, by design: most of the fifth, and not past it.
    const share = (Number(taken) / Number(before) - 1) / 0.2;
    expect(share).toBeGreaterThan(0.6);
    expect(share).toBeLessThan(1.1);
    await take.click();
    const loss = async () => {
      await page.getByRole('button', { name: 'Match', exact: true }).click();
      const group = page.getByRole('button', { name: /^Inlet/ });
      if ((await group.getAttribute('aria-expanded')) === 'false') await group.click();
      // The first loss of the page is the inlet's; the charge path's comes after it.
      return field(page, 'Pressure loss').first().inputValue();
    };
    expect(await loss()).toBe(taken);
    await page.getByRole('button', { name: /^Undo: take the inlet loss of the log/ }).click();
    expect(await loss()).toBe(before);
    expect(await page.getByRole('button', { name: /^Undo: add a road log/ }).count()).toBe(1);
    await closeCleanly(session);
  });

  it('is walked by hand and by keys: dragging over time selects rows, Escape lets go, the table is one stop of the Tab key', async () => {
    const session = await openApp();
    const { page } = session;
    await dropFile(page, 'pull.csv', germanLog());
    const chart = page.getByRole('application', { name: /^Shaft speed over time/ });
    await chart.scrollIntoViewIfNeeded();
    const box = (await chart.boundingBox())!;
    const at = (share: number) => [box.x + share * box.width, box.y + box.height / 2] as const;
    await page.mouse.move(...at(0.3));
    await page.mouse.down();
    await page.mouse.move(...at(0.4), { steps: 5 });
    await page.mouse.up();
    const said = page.getByText(/^Selected: /);
    const words = await said.textContent();
    const [, from, to, count] = /Selected: ([\d.]+) to ([\d.]+) s, (\d+) rows/.exec(words ?? '')!;
    expect(Number(to) - Number(from)).toBeGreaterThan(2);
    expect(Number(count)).toBeGreaterThan(20);
    await page.getByRole('button', { name: 'Zoom to the selection' }).click();
    await page.getByText(`${from} to ${to} s`, { exact: true }).waitFor();
    await page.getByRole('button', { name: 'Show all of it' }).click();
    await chart.focus();
    await page.keyboard.press('Escape');
    await said.waitFor({ state: 'hidden' });
    await page.keyboard.press('ArrowRight');
    await page.keyboard.press('Shift+ArrowRight');
    await page.keyboard.press('Shift+ArrowRight');
    await said.waitFor();
    await chart.dblclick();
    await said.waitFor({ state: 'hidden' });
    await page.getByRole('button', { name: 'Rows of the pulls' }).click();
    const grid = page.getByRole('grid', { name: /^Rows of the pulls/ });
    expect(await grid.locator('[tabindex="0"]').count()).toBe(1);
    await grid.locator('[tabindex="0"]').focus();
    await page.keyboard.press('End');
    await page.keyboard.press('ArrowUp');
    const chosen = grid.locator('[aria-selected="true"]');
    expect(await chosen.evaluate((row) => row === document.activeElement)).toBe(true);
    const time = await chosen.locator('td').first().textContent();
    await page
      .getByLabel('The row that is pointed at')
      .getByText(time ?? '', { exact: true })
      .waitFor();
    await closeCleanly(session);
  });

  it('says no metric unit in US units, nor do two that are held against each other', async () => {
    const session = await openApp();
    const { page } = session;
    await page.getByRole('button', { name: /^Colours: / }).click();
    await menuEntry(page, 'US').click();
    for (const name of ['first.csv', 'second.csv']) {
      await dropFile(page, name, `${germanLog()}${name === 'first.csv' ? '' : '\n'}`);
      await page.getByRole('button', { name: /^Columns, as they were understood/ }).waitFor();
    }
    const main = page.getByRole('main');
    const folded = main.getByRole('button', { expanded: false });
    const choice = page.getByRole('combobox', { name: 'The log that this one is held against' });
    // Parts come when the second log is read and what stands above them is drawn.
    await expect
      .poll(async () => {
        while ((await folded.count()) > 0) await folded.first().click();
        return choice.count();
      })
      .toBe(1);
    await choice.selectOption({ index: 1 });
    await page.getByRole('table', { name: 'Change since the other log' }).waitFor();
    await page
      .getByRole('grid', { name: /^Rows of the pulls/ })
      .locator('tr[tabindex]')
      .first()
      .click();
    // What a choice offers is not said; each text for itself, for cells stand side by side without a blank.
    const texts = await main
      .locator('*:not(option, select)')
      .evaluateAll((all) =>
        all.flatMap(({ childNodes }) =>
          [...childNodes].flatMap((node) => (node.nodeType === 3 ? [node.textContent] : [])),
        ),
      );
    const said = texts.join('\n');
    expect(said).toMatch(/zero of the manifold sensor/);
    expect(plain(said)).toMatch(/psi/);
    // The file's own reading is named in the file's own unit.
    expect(metric(said.replace(/reads [\d.]+[\s\u00a0]kPa \(line/g, ''))).toEqual([]);
    await closeCleanly(session);
  });

  it('is held against another one of the same car', async () => {
    const session = await openApp();
    const { page } = session;
    await dropFile(page, 'first.csv', germanLog());
    await rows(session).waitFor();
    await dropFile(page, 'second.csv', `${germanLog()}\n`);
    await page.getByRole('button', { name: /^Against another log of this car/ }).click();
    const choice = page.getByRole('combobox', { name: 'The log that this one is held against' });
    const first = await choice.locator('option', { hasText: 'first.csv' }).getAttribute('value');
    await choice.selectOption(first);
    await page.getByRole('table', { name: 'Change since the other log' }).waitFor();
    // The same rows twice: nothing has changed.
    await page
      .getByText(/Nothing has changed by more than the bands/)
      .first()
      .waitFor();
    await closeCleanly(session);
  });
});
