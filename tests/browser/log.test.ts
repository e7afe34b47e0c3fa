import { describe, expect, it } from 'vitest';
import { demoBuild } from '../../src/build/demo.ts';
import { toMatchInput } from '../../src/build/index.ts';
import { demoLog } from '../../src/match/index.ts';
import { closeCleanly, dropFile, load, openApp, shoot, untilStored } from './harness.ts';

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
    await page.getByText(/Drop the log of a pull anywhere/).waitFor();
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
    await page.getByText(/No column holds the manifold pressure/).waitFor();
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
});
