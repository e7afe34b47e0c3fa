import { cleanup, render, screen, within } from '@testing-library/react';
import userEvent from '@testing-library/user-event';
import { afterEach, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { demoWorkspace } from '../../../src/build/demo.ts';
import {
  type FieldValue,
  knownVeCells,
  knownVeText,
  readKnownVe,
  setBuildField,
  tryMatchInput,
} from '../../../src/build/index.ts';
import { solveOperatingLine } from '../../../src/match/index.ts';
import { createLuglineStore, LuglineContext, type LuglineStore, selectActiveBuild } from '../../../src/store/index.ts';
import { EngineCurves } from '../../../src/views/match/sidebar/CurveEditor.tsx';
import '../../widgets/cssEscape.ts';
import { drawAtFixedSize } from '../fixed-size.ts';

let store: LuglineStore;
let user: ReturnType<typeof userEvent.setup>;

beforeAll(async () => {
  await import('../../../src/views/match/sidebar/KnownVeDialog.tsx');
  drawAtFixedSize(300, 150);
});
beforeEach(() => {
  store = createLuglineStore(demoWorkspace(), { now: () => 0 });
  user = userEvent.setup();
});
afterEach(cleanup);

const build = () => selectActiveBuild(store.getState());
const set = <P extends Parameters<typeof setBuildField>[0]>(path: P, value: FieldValue<P>) =>
  store.getState().run(setBuildField(path, value));

async function openDialog() {
  render(
    <LuglineContext value={store}>
      <EngineCurves />
    </LuglineContext>,
  );
  await user.click(screen.getByRole('button', { name: /^From a dynamometer run or air-mass sensor/ }));
  return screen.findByRole('dialog');
}

/** Power, boost and charge temperature of the build's own line, 4 % more power than it makes: in kW, kPa and °C with decimal commas. */
function rowsOfLine(): string {
  const read = tryMatchInput(build(), 0);
  if (!read.ok) throw new Error('input');
  const points = solveOperatingLine({ ...read.input, engineSpeedsRpm: [3500, 4500, 5500] });
  return knownVeText(
    points.map((point) => {
      if (point.status !== 'ok') throw new Error(point.message);
      const boost = point.manifoldPressurePa - read.input.ambient.pressurePa;
      return [
        String(point.engineSpeedRpm),
        ((1.04 * point.brakePowerW) / 1e3).toFixed(4).replace('.', ','),
        (boost / 1e3).toFixed(4).replace('.', ','),
        (point.manifoldTemperatureK - 273.15).toFixed(3).replace('.', ','),
      ];
    }),
  );
}

describe('volumetric efficiency from a dynamometer run', () => {
  it('is shown row by row, taken as one step with tolerance and note, and undone', async () => {
    set('knownVe.powerRows', rowsOfLine());
    const before = build();
    const dialog = await openDialog();
    const given = within(dialog).getByRole('table', { name: 'What each row gives' });
    const last = [...within(given).getAllByRole('row').at(-1)!.children].map((cell) => cell.textContent);
    const [entered, , toEnter] = last.slice(-3).map((text) => Number.parseFloat(text ?? ''));
    // 4 % more air is 4 % more as it ran; more exhaust raises the back-pressure, so a little more is to be entered.
    expect(toEnter! / entered!).toBeGreaterThan(1.039);
    expect(toEnter! / entered!).toBeLessThan(1.05);
    expect(within(dialog).getByRole('table', { name: /^Before and after/ })).toBeTruthy();

    await user.click(within(dialog).getByRole('button', { name: 'Take this volumetric efficiency' }));
    expect(screen.queryByRole('dialog')).toBeNull();
    const { rows } = build().engine.volumetricEfficiency;
    const taken = Number(rows.find(({ engineSpeed }) => engineSpeed === '4500')?.value);
    expect(taken).toBeGreaterThan(1.04 * 98 - 0.1);
    expect(taken).toBeLessThan(1.05 * 98);
    expect(rows[0]).toEqual(before.engine.volumetricEfficiency.rows[0]);
    // Twice 5.5 % of power and a little more, to two digits.
    expect(Number(build().spread.tolerances.volumetricEfficiency.text)).toBe(11);
    expect(build().notes).toMatch(
      /from 3500 to 5500 rpm taken from a dynamometer run \(3 rows, power at the crankshaft, as measured\)/,
    );

    store.getState().undo();
    expect(build()).toEqual(before);
  });

  it('a cell that cannot be read is named by its row; the other rows count, and nothing typed is lost', async () => {
    const typed = `${rowsOfLine()}\n6000\tfast\t100`;
    set('knownVe.powerRows', typed);
    const dialog = await openDialog();
    expect(within(dialog).getByRole('list', { name: 'What cannot be read' }).textContent).toMatch(
      /^Power of row 4: 'fast'/,
    );
    const given = within(dialog).getByRole('table', { name: 'What each row gives' });
    expect(within(given).getAllByRole('row')).toHaveLength(4);
    await user.click(within(dialog).getAllByRole('button', { name: 'Close' }).at(-1)!);
    expect(build().knownVe.powerRows).toBe(typed);
  });

  it('an air-mass sensor has rows of its own', async () => {
    set('knownVe.powerRows', rowsOfLine());
    set('knownVe.meter', 'air-mass');
    const dialog = await openDialog();
    expect(within(dialog).queryByRole('table', { name: 'What each row gives' })).toBeNull();
    expect(within(dialog).getByRole('grid', { name: 'Rows of the run' }).textContent).toContain('g/s');
    expect(build().knownVe.powerRows).not.toBe('');
  });
});

describe('rows as they are typed', () => {
  const one = (text: string) => {
    set('knownVe.powerRows', text);
    return readKnownVe(build());
  };

  it('the same run in other units and with point or comma is the same', () => {
    const metric = one('4000\t150\t120\t50\t0.85\t300').run!.readings[0]!;
    set('knownVe.powerUnit', 'hp');
    set('knownVe.pressureUnit', 'psi');
    set('knownVe.temperatureUnit', 'degF');
    set('knownVe.bsfcUnit', 'lb/(hp h)');
    // 1 hp = 745.69987 W, 1 psi = 6894.757 Pa, 300 g/kWh = 0.493198 lb/(hp h) by the definitions of the units.
    const us = one('4000\t201,1533\t17,40453\t122\t0,85\t0,493198').run!.readings[0]!;
    for (const key of ['reading', 'manifoldPressurePa', 'chargeTemperatureK', 'lambda', 'bsfcKgPerJ'] as const)
      expect(us[key]! / metric[key]!, key).toBeCloseTo(1, 5);
  });

  it.each([
    ['4000\t\t120', 'Power of row 1 is missing. Enter it, or clear the row.'],
    ['4000\t150\t120\n\t150\t120', 'Engine speed of row 2 is missing. Enter it, or clear the row.'],
    [
      '4000\t150000\t120',
      /^Power of row 1 must be between 0\.5.kW and 5000\.0.kW\. Check the number and its unit \(kW\)\.$/,
    ],
    ['4000\t150\t-95', /^Boost of row 1 must be between|^The boost of row 1 leaves no pressure/],
  ])('%j is refused', (text, message) => {
    const { marks } = one(text);
    expect(marks.map((mark) => mark.message.replaceAll('\u00a0', ' '))).toEqual([expect.stringMatching(message)]);
  });

  it('of more than 200 rows the first 200 count, and it is said', () => {
    const { run, marks } = one(Array.from({ length: 210 }, (_, i) => `${2000 + 10 * i}\t100\t100`).join('\n'));
    expect(run?.readings).toHaveLength(200);
    expect(marks).toEqual([expect.objectContaining({ row: 200, message: expect.stringMatching(/^From row 201 on/) })]);
  });

  it('cells and text are the same; a tab in a cell does not make two of it', () => {
    const cells = [['3000', '100'], [], ['', '5', 'x']];
    expect(knownVeCells(knownVeText(cells))).toEqual([['3000', '100'], [''], ['', '5', 'x']]);
    expect(knownVeText([['a\tb', 'c']])).toBe('a b\tc');
  });
});
