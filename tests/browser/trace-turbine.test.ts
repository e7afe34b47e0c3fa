import type { Locator } from 'playwright-core';
import { describe, expect, it } from 'vitest';
import { draftToTurbineSheet, mapFileToDraft } from '../../src/build/index.ts';
import { drawTurbine, ELLIPSE_LINES, type EllipseLine, ellipseFlow } from '../machines/turbine-drawing.ts';
import { closeCleanly, download, dropFile, load, openApp, pasteInto, shoot } from './harness.ts';
import { openView } from './screen.ts';
import { type Shooting, shootSheet } from './sheet-picture.ts';
import { TracingHand } from './tracing-hand.ts';

const sheet = drawTurbine(ELLIPSE_LINES);
const FULL_SCALE = { ratio: sheet.axes.expansionRatio.at(-1)!, flow: sheet.axes.flow.at(-1)! };

const straight: Shooting['corners'] = (width, height) => [
  { x: 0, y: 0 },
  { x: width, y: 0 },
  { x: width, y: height },
  { x: 0, y: height },
];
const turned: Shooting['corners'] = (width, height) => {
  const [cos, sin] = [Math.cos(0.035), Math.sin(0.035)];
  return straight(width, height).map(({ x, y }) => ({
    x: width / 2 + 0.94 * (cos * (x - width / 2) - sin * (y - height / 2)),
    y: height / 2 + 0.94 * (sin * (x - width / 2) + cos * (y - height / 2)),
  })) as unknown as ReturnType<Shooting['corners']>;
};
const leaning: Shooting['corners'] = (width, height) => [
  { x: 0.1 * width, y: 0.05 * height },
  { x: 0.92 * width, y: 0.09 * height },
  { x: 0.99 * width, y: 0.97 * height },
  { x: 0.03 * width, y: 0.93 * height },
];

const SHOOTINGS: readonly (Shooting & { mode: 'axes' | 'grid' })[] = [
  { name: 'turbine straight', corners: straight, type: 'image/png', quality: 1, mode: 'axes' },
  { name: 'turbine turned 2 degrees', corners: turned, type: 'image/jpeg', quality: 0.6, mode: 'axes' },
  { name: 'turbine in perspective', corners: leaning, type: 'image/png', quality: 1, mode: 'grid' },
];

const ratiosOf = ({ from, to }: EllipseLine): number[] =>
  Array.from({ length: 8 }, (_, i) => from + (to - from) * (0.02 + (0.96 * i) / 7));

describe('a turbine sheet of known curves, traced by mouse', () => {
  it.each(SHOOTINGS)('gives the curves back: $name', async (shooting) => {
    const session = await openApp();
    const blank = await session.context.newPage();
    const picture = await shootSheet(blank, sheet, shooting);
    await blank.close();
    const { page } = session;
    const at = (ratio: number, flow: number) => picture.placeOf(sheet.placeOf(ratio, flow));
    const hand = new TracingHand(page);
    await hand.begin('New turbine sheet');
    expect(await page.getByRole('tab', { name: 'Complete', exact: true }).count()).toBe(0);
    await hand.openPicture(picture);
    await hand.step('Axes');
    await page.getByLabel('Flow is printed in').selectOption({ label: 'kg√K/(s·kPa)' });
    // A flow parameter has no reference state, and none is asked for.
    expect(await page.getByText(/Reference state/).count()).toBe(0);
    if (shooting.mode === 'axes') {
      await hand.axisPoint(at(1, 0), ['1']);
      await hand.axisPoint(at(3, 0), ['3']);
      await hand.axisPoint(at(1, 0.004), ['0.004']);
      await hand.axisPoint(at(1, 0.016), ['0.016']);
    } else {
      await page.getByRole('radio', { name: 'Photo' }).check({ force: true });
      for (const [ratio, flow] of [
        [1, 0],
        [3, 0],
        [3, 0.016],
        [1, 0.016],
      ] as const)
        await hand.axisPoint(at(ratio, flow), [String(ratio), String(flow)]);
    }
    await page.getByText('The axes stand.').waitFor();
    expect(await page.getByText(/rises to the left|rises downwards/).count()).toBe(0);
    await shoot(page, `trace-${shooting.name.replace(/\W+/g, '-')}-axes`);
    await hand.step('Trace');
    for (const [i, line] of ELLIPSE_LINES.entries()) {
      if (i > 0) await hand.choose('Another line');
      await hand.tools.getByLabel(/^Speed/).fill(String(line.speed));
      await hand.along(ratiosOf(line).map((ratio) => at(ratio, ellipseFlow(line, ratio))));
    }
    // The fitted curve lies over each line, drawn in the picture.
    await expect.poll(() => hand.stage.locator('[data-line="fitted"]').count()).toBe(ELLIPSE_LINES.length - 1);
    expect(await hand.stage.locator('[data-line="current"]').count()).toBe(1);
    await shoot(page, `trace-${shooting.name.replace(/\W+/g, '-')}`);
    await hand.step('Check');
    await page.getByText('Nothing doubtful found').waitFor();
    await page.getByText('Fitted exponent').waitFor();
    await shoot(page, `trace-${shooting.name.replace(/\W+/g, '-')}-check`);
    await page.getByRole('button', { name: 'Back to the plot' }).click();
    const file = await download(page, () => page.getByRole('button', { name: /as a map file$/ }).click());
    const read = sheetOf(file.bytes.toString('utf8'));
    expect(read.flow).toEqual({ kind: 'parameter', pressureUnit: 'kPa' });
    expect(read.lines.map(({ speedRpm }) => speedRpm)).toEqual(ELLIPSE_LINES.map(({ speed }) => speed));
    for (const [i, line] of ELLIPSE_LINES.entries()) {
      const wanted = ratiosOf(line);
      const points = read.lines[i]!.points;
      expect(points).toHaveLength(wanted.length);
      points.forEach((point, k) => {
        // The aim of reading itself: within 0.4 % of full scale.
        expect(Math.abs(point.expansionRatio - wanted[k]!) / FULL_SCALE.ratio).toBeLessThan(0.004);
        expect(Math.abs(point.flow - ellipseFlow(line, wanted[k]!)) / FULL_SCALE.flow).toBeLessThan(0.004);
      });
    }
    await closeCleanly(session);
  });

  it('follows a stroke from the lowest expansion ratio, takes it as one step, and is there after a reload', async () => {
    const session = await openApp();
    const blank = await session.context.newPage();
    const picture = await shootSheet(blank, sheet, SHOOTINGS[0]!);
    await blank.close();
    const { page } = session;
    const at = (ratio: number, flow: number) => picture.placeOf(sheet.placeOf(ratio, flow));
    const hand = new TracingHand(page);
    await hand.begin('New turbine sheet');
    await hand.openPicture(picture);
    await hand.step('Axes');
    await page.getByLabel('Flow is printed in').selectOption({ label: 'kg√K/(s·kPa)' });
    await hand.axisPoint(at(1, 0), ['1']);
    await hand.axisPoint(at(3, 0), ['3']);
    await hand.axisPoint(at(1, 0.004), ['0.004']);
    await hand.axisPoint(at(1, 0.016), ['0.016']);
    await hand.step('Trace');
    const line = ELLIPSE_LINES[1]!;
    await hand.tools.getByRole('button', { name: 'Follow' }).click();
    await hand.click(at(2.6, ellipseFlow(line, 2.6)));
    const take = page.getByRole('button', { name: /^Take \d+ points/ });
    await take.click();
    const cells = page.getByRole('grid', { name: /^Points of the line without a speed/ });
    await expect.poll(async () => (await readGrid(cells)).length).toBeGreaterThan(5);
    const rows = await readGrid(cells);
    const ratios = rows.map(([ratio = 0]) => ratio);
    expect(ratios).toEqual(ratios.toSorted((a, b) => a - b));
    for (const [ratio = 0, flow = 0] of rows)
      expect(Math.abs(flow - ellipseFlow(line, ratio)) / FULL_SCALE.flow).toBeLessThan(0.004);
    await page.getByRole('button', { name: 'Undo' }).click();
    await expect.poll(async () => (await readGrid(cells)).length).toBe(0);
    await page.getByRole('button', { name: 'Redo' }).click();
    await expect.poll(async () => (await readGrid(cells)).length).toBe(rows.length);
    await page.waitForTimeout(1000);
    const again = await session.context.newPage();
    await load(again);
    await openView(again, 'Maps');
    await again
      .getByRole('button', { name: /^New turbine sheet\s*1 line/ })
      .last()
      .click();
    expect(await readGrid(again.getByRole('grid', { name: /^Points of the line without a speed/ }))).toEqual(rows);
    await closeCleanly(session);
  });
});

describe('a turbine sheet in a file', () => {
  it('comes back by dropping it on the page, as a turbine sheet', async () => {
    const session = await openApp();
    const { page } = session;
    await openView(page, 'Maps');
    await page.getByRole('button', { name: 'New turbine sheet', exact: true }).click();
    await page.getByRole('button', { name: /^Type it in/ }).click();
    // The keyboard is in the first cell already.
    for (const row of [
      ['1,5', '10.2', '64'],
      ['2', '12,4', '69'],
      ['2.5', '13.1', ''],
    ]) {
      for (const [i, text] of row.entries()) {
        await page.keyboard.type(text);
        await page.keyboard.press(i === 2 ? 'Enter' : 'Tab');
      }
      await page.keyboard.press('Home');
    }
    await page.getByRole('tab', { name: /^Sheet/ }).click();
    await page.getByRole('radio', { name: 'lb/min' }).check({ force: true });
    await page.getByLabel('Common on sheets').selectOption({ label: '15 °C, 101.325 kPa' });
    await page.getByText(/^Fitted through 3 points/).waitFor();
    await shoot(page, 'turbine-typed');
    for (const absent of ['Maximum shaft speed', 'Exducer diameter'])
      expect(await page.getByRole('spinbutton', { name: absent }).count()).toBe(0);
    for (const absent of [/^Surge line/, /^Islands/])
      expect(await page.getByRole('tab', { name: absent }).count()).toBe(0);
    await page.getByText('Nothing doubtful found').waitFor();
    const file = await download(page, () => page.getByRole('button', { name: /as a map file$/ }).click());
    const text = file.bytes.toString('utf8');
    expect(JSON.parse(text)).toMatchObject({ format: 'lugline-map', kind: 'turbine' });
    expect(sheetOf(text)).toMatchObject({
      flow: { kind: 'corrected', unit: 'lb/min', reference: { temperatureK: 288.15, pressurePa: 101325 } },
      lines: [
        {
          points: [
            { expansionRatio: 1.5, flow: 10.2, efficiency: 0.64 },
            { expansionRatio: 2, flow: 12.4, efficiency: 0.69 },
            { expansionRatio: 2.5, flow: 13.1 },
          ],
        },
      ],
    });
    await page.getByRole('button', { name: /^Delete 'New turbine sheet'/ }).click();
    await dropFile(page, file.name, text);
    const back = page.getByRole('button', { name: /^New turbine sheet\s*1 line/ });
    await back.last().click();
    await page.getByRole('tab', { name: /^Lines/ }).click();
    await page.getByRole('grid', { name: /in any order$/ }).waitFor();
    await closeCleanly(session);
  });
});

describe('a turbine sheet that is pasted', () => {
  it('takes a table of several lines with decimal commas, its columns known by their headings', async () => {
    const session = await openApp();
    const { page } = session;
    await openView(page, 'Maps');
    await page.getByRole('button', { name: 'New turbine sheet', exact: true }).click();
    await page.getByRole('button', { name: /^Paste a table/ }).click();
    const table = [
      ['Speed [rpm]', 'Efficiency [%]', 'ER', 'Corrected flow [lb/min]'],
      ...PASTED.flatMap(({ speed, points }) =>
        points.map(([ratio, flow, efficiency]) =>
          [speed, efficiency, ratio, flow].map((n) => String(n).replace('.', ',')),
        ),
      ),
    ];
    await pasteInto(
      page,
      page.getByRole('textbox', { name: /^Columns for expansion ratio/ }),
      table.map((row) => row.join('\t')).join('\n'),
    );
    await page.getByText('Preview, not taken over yet.').waitFor();
    await shoot(page, 'turbine-pasted');
    await page.getByRole('button', { name: 'Take over 2 lines' }).click();
    await page.getByRole('tab', { name: /^Sheet/ }).click();
    await page.getByLabel('Common on sheets').selectOption({ label: '25 °C, 100 kPa' });
    await page.getByText(/^Fitted through 6 points/).waitFor();
    const file = await download(page, () => page.getByRole('button', { name: /as a map file$/ }).click());
    expect(sheetOf(file.bytes.toString('utf8'))).toMatchObject({
      flow: { kind: 'corrected', unit: 'lb/min' },
      lines: PASTED.map(({ speed, points }) => ({
        speedRpm: speed,
        points: points.map(([expansionRatio, flow, percent]) => ({ expansionRatio, flow, efficiency: percent! / 100 })),
      })),
    });
    await closeCleanly(session);
  });
});

const PASTED = [
  {
    speed: 60000,
    points: [
      [1.2, 8.5, 58],
      [1.5, 11.9, 66],
      [1.9, 13.4, 64],
    ],
  },
  {
    speed: 90000,
    points: [
      [1.5, 11.2, 61],
      [2.1, 13.6, 70],
      [2.8, 14.3, 69],
    ],
  },
];

function sheetOf(text: string) {
  const draft = mapFileToDraft(JSON.parse(text), 'read');
  if (!draft.ok) throw new Error(JSON.stringify(draft.problems));
  const read = draftToTurbineSheet(draft.value);
  if (!read.ok) throw new Error(JSON.stringify(read.problems));
  return read.sheet;
}

/** The filled rows of a table of points as numbers: expansion ratio, flow. */
async function readGrid(grid: Locator): Promise<number[][]> {
  const rows = await grid.evaluate((element) => {
    const texts: string[][] = [];
    for (const cell of element.querySelectorAll<HTMLElement>('[role="gridcell"][data-row]')) {
      const row = Number(cell.dataset.row);
      texts[row] = [...(texts[row] ?? []), cell.textContent ?? ''];
    }
    return texts;
  });
  return rows.filter((row) => row[0] !== '').map((row) => row.slice(0, 2).map(Number));
}
