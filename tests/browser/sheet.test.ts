import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { demoBuild } from '../../src/build/demo.ts';
import { type Build, parseBuildFile, toMatchInput } from '../../src/build/index.ts';
import {
  boostThreshold,
  calibrationTable,
  findings,
  holdGoal,
  lowestHeldPressure,
  type OperatingPoint,
  solveCeilings,
  solveOperatingLine,
  standardPlace,
} from '../../src/match/index.ts';
import { closeCleanly, download, dropFile, openApp, type Session, shoot } from './harness.ts';
import { readPdf } from './read-pdf.ts';
import { chooseInBuildMenu } from './screen.ts';

const PAPERS = [
  { key: 'a4', format: 'A4', widthPt: 595.28, heightPt: 841.89 },
  { key: 'letter', format: 'Letter', widthPt: 612, heightPt: 792 },
] as const;
const INKS = ['color', 'backgroundColor', 'borderTopColor', 'borderLeftColor', 'fill', 'stroke'] as const;

async function openSheet(page: Page, isReady = true): Promise<void> {
  await page.getByRole('navigation', { name: 'Views' }).getByRole('button', { name: 'Sheet', exact: true }).click();
  await page.getByRole('article', { name: /^Page 1/ }).waitFor();
  if (isReady) await ready(page);
}

async function ready(page: Page): Promise<void> {
  await expect.poll(() => page.getByRole('button', { name: 'Print', exact: true }).isEnabled()).toBe(true);
}

async function choose(page: Page, paper: string, candidates: string): Promise<void> {
  await ready(page);
  await page.getByLabel('Paper', { exact: true }).selectOption(paper);
  await page.getByLabel('Candidates on the sheet', { exact: true }).selectOption(candidates);
  const size = paper === 'a4' ? '210mm' : '215.9mm';
  await expect
    .poll(() =>
      page.locator('[data-sheet-pages]').evaluate((e) => (e as HTMLElement).style.getPropertyValue('--paper-width')),
    )
    .toBe(size);
  await expect.poll(() => page.locator('[data-sheet-pages] figure > svg').count()).toBe(candidates === 'both' ? 2 : 1);
}

async function print(page: Page, format: 'A4' | 'Letter') {
  return readPdf(await page.pdf({ format, preferCSSPageSize: true, printBackground: true }));
}

/** Everything on paper whose box reaches over its page's margins, or into the next page: with what it is. */
function misfits(page: Page): Promise<string[]> {
  return page.evaluate(() => {
    const found: string[] = [];
    const slack = 0.6;
    for (const article of document.querySelectorAll('[data-sheet-pages] article')) {
      const box = article.getBoundingClientRect();
      const style = getComputedStyle(article);
      const inside = {
        left: box.left + Number.parseFloat(style.paddingLeft),
        right: box.right - Number.parseFloat(style.paddingRight),
        top: box.top + Number.parseFloat(style.paddingTop),
        bottom: box.bottom - Number.parseFloat(style.paddingBottom),
      };
      const foot = article.querySelector('footer')?.getBoundingClientRect().top ?? inside.bottom;
      for (const part of article.querySelectorAll('tr, th, td, li, p, dt, dd, h1, h2, figure, svg, [data-band]')) {
        const { left, right, top, bottom } = part.getBoundingClientRect();
        const isBelow = bottom > foot + slack && part.closest('footer') === null;
        if (left < inside.left - slack || right > inside.right + slack || top < inside.top - slack || isBelow) {
          found.push(`${part.tagName} ${part.textContent?.slice(0, 40)}`);
        }
        // A line that cannot break and is wider than its cell is cut on paper or runs into its neighbour.
        if (part instanceof HTMLElement && part.scrollWidth > part.clientWidth + 1 && part.clientWidth > 0) {
          found.push(`too narrow: ${part.tagName} ${part.textContent?.slice(0, 40)}`);
        }
      }
    }
    return found;
  });
}

/** Bands whose boxes lie over one another on paper. */
function overlaps(page: Page): Promise<string[]> {
  return page.evaluate(() =>
    [...document.querySelectorAll('[data-sheet-pages] article')].flatMap((article) => {
      const bands = [...article.querySelectorAll('[data-band]')].map((band) => ({
        key: band.getAttribute('data-band'),
        box: band.getBoundingClientRect(),
      }));
      return bands.flatMap(({ key, box }, i) => {
        const next = bands[i + 1];
        return next !== undefined && next.box.top < box.bottom - 0.5 ? [`${key} over ${next.key}`] : [];
      });
    }),
  );
}

/** Thousands parted by a space, as the PDF's text has it, the typographic minus: as the sheet prints, but by the platform's own formatter. */
const number = (value: number, decimals: number) =>
  new Intl.NumberFormat('en-US', {
    useGrouping: 'min2',
    minimumFractionDigits: decimals,
    maximumFractionDigits: decimals,
  })
    .format(value)
    .replaceAll(',', ' ')
    .replace(/^-(?=[0.,]*$)/, '')
    .replace('-', '−');

/** The row of the table that an operating point of the headless door makes, in the units that a fresh profile has. */
function expectedRow(point: OperatingPoint, ambientPa: number): string {
  if (point.status !== 'ok') throw new Error('a solved point expected');
  const share = (value: number | null) => (value === null ? '–' : number(value * 100, 1));
  return [
    number(point.engineSpeedRpm, 0),
    number((point.manifoldPressurePa - ambientPa) / 1000, 0),
    number(point.pressureRatio, 2),
    number(point.airMassFlowKgPerS, 3),
    // To four digits, as everywhere.
    number(Number(point.shaftSpeedRpm.toPrecision(4)), 0),
    share(point.speedMargin),
    share(point.surgeMargin),
    share(point.chokeMargin),
    share(point.efficiency),
    number(point.compressorOutletTemperatureK - 273.15, 0),
    number(point.manifoldTemperatureK - 273.15, 0),
    number(point.wheelPowerW / 1000, 0),
    number(point.brakePowerW / 1000, 0),
    number(point.torqueNm, 0),
    number((point.turbineInletPressurePa ?? Number.NaN) / 1000, 0),
    number(point.backPressureRatio ?? Number.NaN, 2),
    number(point.expansionRatio ?? Number.NaN, 2),
    share(point.wastegateShare),
    share(point.injectorDuty),
  ].join(' ');
}

/** Rows of printed points, marks of remarks taken off. */
function printedRows(lines: readonly string[], rpm: string): string[] {
  return lines.map((line) => line.replace(/^[a-z] ?(?=\d)/, '')).filter((line) => line.startsWith(`${rpm} `));
}

function solved(build: Build, index: number) {
  const input = toMatchInput(build, index);
  return { input, points: solveOperatingLine(input) };
}

describe.each(PAPERS)('the match sheet on $format', ({ key, format, widthPt, heightPt }) => {
  // What stands on the sheet goes by the choices made here alone, so one page of each build does for all of these.
  let demo: Session;
  let v6: Session;
  beforeAll(async () => {
    demo = await openApp();
    await openSheet(demo.page, false);
    v6 = await openApp();
    await chooseInBuildMenu(v6.page, 'Open the V6 example');
    await openSheet(v6.page, false);
  });
  afterAll(async () => {
    await closeCleanly(demo);
    await closeCleanly(v6);
  });

  it.each([
    ['both', 2, ''],
    ['one', 1, ''],
    ['both', 2, ' of the V6'],
  ] as const)(
    'with %s: two pages of the right size, nothing cut, split or one over the other',
    async (who, maps, build) => {
      const { page } = build === '' ? demo : v6;
      await choose(page, key, who);
      await page.emulateMedia({ media: 'print' });
      expect(await page.locator('[data-sheet-pages] figure > svg').count()).toBe(maps);
      expect(await misfits(page)).toEqual([]);
      expect(await overlaps(page)).toEqual([]);
      const pdf = await print(page, format);
      expect(pdf.map(({ width, height }) => [Math.abs(width - widthPt) < 1, Math.abs(height - heightPt) < 1])).toEqual([
        [true, true],
        [true, true],
      ]);
      expect(pdf.map(({ lines }) => lines.at(-1)?.match(/page \d of \d$/)?.[0])).toEqual([
        'page 1 of 2',
        'page 2 of 2',
      ]);
      await page.emulateMedia({ media: null });
      await shoot(page, `sheet-${key}-${who}${build.slice(8)}`);
    },
  );

  it('prints the numbers of the headless door', async () => {
    const { page } = demo;
    await choose(page, key, 'both');
    const lines = (await print(page, format)).flatMap((one) => one.lines);
    const build = demoBuild();
    let compared = 0;
    for (const index of [0, 1]) {
      const { input, points } = solved(build, index);
      for (const point of points) {
        const rpm = number(point.engineSpeedRpm, 0);
        const expected = expectedRow(point, input.ambient.pressurePa);
        // Calibration rows begin with the engine speed too, but hold letters, and fewer numbers.
        const rows = printedRows(lines, rpm).filter((line) => line.split(' ').length === expected.split(' ').length);
        if (rows.length === 0) continue;
        expect(rows[index]).toBe(expected);
        compared += 1;
      }
      const threshold = boostThreshold(points);
      if (threshold?.status === 'found') {
        const rounded = Math.round(threshold.engineSpeedRpm / 10) * 10;
        expect(lines.join(' ')).toContain(`Boost threshold ${number(rounded, 0)} rpm; turbine-limited`);
      }
      const stop = findings(points, input).find(({ code }) => code === 'left-of-surge');
      const said = `${number(Math.abs(stop?.values.surgeMargin ?? 0) * 100, 1)} % left of the surge line`;
      expect(lines.join(' ').includes(said)).toBe(stop !== undefined);
    }
    expect(compared).toBeGreaterThanOrEqual(12);
  });
});

describe('the match sheet', () => {
  it('prints the calibration table of the headless door, whole', async () => {
    const session = await openApp();
    const { page } = session;
    await openSheet(page);
    await choose(page, 'a4', 'one');
    const lines = (await print(page, 'A4')).flatMap((one) => one.lines);
    const { input } = solved(demoBuild(), 0);
    // The day's deviation from the standard temperature at 620 m (288.15 - 0.0065 x 620 = 284.12 K), humidity 45 %: as the demonstration has it.
    const rule = {
      temperature: { kind: 'deviation-held', deviationK: 297.15 - 284.12 },
      relativeHumidity: 0.45,
    } as const;
    const place = standardPlace(2000, rule);
    if (!place.ok) throw new Error(place.message);
    const ceilings = solveCeilings(input, [place.place], input.engineSpeedsRpm, {
      ...input.limits,
      stayBelowTopLine: false,
    });
    const held = holdGoal(input, { places: [place.place], engineSpeedsRpm: input.engineSpeedsRpm });
    const options = { kind: 'gauge', stepPa: 1000, bladesPastSensor: 6 } as const;
    const table = calibrationTable(ceilings, held, options, (place, ceiling, from) =>
      lowestHeldPressure(input, ceilings.limits, place, ceiling, from),
    );
    let compared = 0;
    for (const cell of table.cells[0] ?? []) {
      const row = lines.find(
        (line) => line.startsWith(`${number(cell.engineSpeedRpm, 0)} `) && /\d [A-Z]( |$)/.test(line),
      );
      if (row === undefined || cell.allowed === null) continue;
      // Nine places: 0 to 3,000 m by 500, and two of their own; 2,000 m is the fifth.
      expect(row.match(/[\d.]+ [A-Z]/g)?.[4]?.split(' ')[0]).toBe(number(cell.allowed.pressurePa / 1e5, 2));
      compared += 1;
    }
    expect(compared).toBeGreaterThanOrEqual(6);
    await closeCleanly(session);
  });

  it('tells the candidates apart without colour: every ink is grey, one line is dashed, the markers differ', async () => {
    const session = await openApp({ colorScheme: 'dark' });
    const { page } = session;
    await openSheet(page);
    await choose(page, 'a4', 'both');
    await page.emulateMedia({ media: 'print', colorScheme: 'dark' });
    const coloured = await page.locator('[data-sheet-pages]').evaluate((sheet, inks) => {
      const found = new Set<string>();
      for (const node of [sheet, ...sheet.querySelectorAll('*')]) {
        const style = getComputedStyle(node);
        for (const name of inks) {
          const [r, g, b] = (style[name].match(/\d+(\.\d+)?/g) ?? []).map(Number);
          if (r !== undefined && (r !== g || g !== b)) found.add(`${node.tagName} ${name} ${style[name]}`);
        }
      }
      return [...found];
    }, INKS);
    expect(coloured).toEqual([]);
    const drawn = await page.locator('[data-sheet-pages] figure > svg').evaluateAll((maps) =>
      maps.map((map) => {
        const lines = [...map.querySelectorAll('.operating-lines path')];
        return lines.map((line) => ({
          dash: line.getAttribute('stroke-dasharray'),
          d: line.getAttribute('d') ?? '',
          width: line.getAttribute('stroke-width'),
        }));
      }),
    );
    // Circles are drawn with arcs, diamonds with straight strokes.
    const [a = [], b = []] = drawn;
    const closed = (marks: typeof a) => marks.filter(({ d }) => /z$/i.test(d));
    expect(closed(a).some(({ d }) => /a/i.test(d))).toBe(true);
    expect(closed(b).some(({ d }) => !/a/i.test(d))).toBe(true);
    // The line itself; under it lies a wider one of paper.
    const dashes = drawn.map((marks) => marks.find(({ width }) => width === '2.4')?.dash);
    expect(dashes[0]).toBeNull();
    expect(dashes[1]).toMatch(/^\d/);
    await closeCleanly(session);
  });

  it('says that the calibration table is being computed, prints none of it, and keeps the button back', async () => {
    // A worker that never answers.
    const session = await openApp({ initScript: 'window.Worker = class { postMessage() {} terminate() {} };' });
    const { page } = session;
    await openSheet(page, false);
    expect(await page.getByRole('button', { name: 'Print', exact: true }).isDisabled()).toBe(true);
    const text = (await print(page, 'A4')).flatMap(({ lines }) => lines).join(' ');
    expect(text).toContain('The calibration table is being computed. It is not on this sheet yet.');
    expect(text).not.toMatch(/allowed boost/i);
    await closeCleanly(session);
  });

  it('fills in what is typed; a long list and long remarks are still whole', async () => {
    const session = await openApp();
    const { page } = session;
    await openSheet(page);
    await page.getByLabel('Shop', { exact: true }).fill('Holm Street Turbo & Engine');
    await page.getByLabel('Customer ref.', { exact: true }).fill('Job 0412');
    await page.getByLabel('Remarks', { exact: true }).fill('A remark that is long enough to wrap. '.repeat(20));
    await page.getByRole('button', { name: /^Fitment list/ }).click();
    for (let i = 0; i < 14; i += 1) await page.getByRole('button', { name: 'Add a part' }).click();
    await page.getByLabel('Part 24', { exact: true }).fill('Last of the parts');
    await expect.poll(() => page.locator('[data-sheet-pages]').textContent()).toContain('Last of the parts');
    await page.emulateMedia({ media: 'print' });
    expect(await misfits(page)).toEqual([]);
    expect(await overlaps(page)).toEqual([]);
    const pdf = await print(page, 'A4');
    const text = pdf.flatMap(({ lines }) => lines).join(' ');
    for (const words of ['Holm Street Turbo & Engine', 'Job 0412', 'Last of the parts']) expect(text).toContain(words);
    expect(text.match(/wrap\./g)?.length).toBe(20);
    await closeCleanly(session);
  });
});

const sheetText = (page: Page) => page.locator('[data-sheet-pages]').evaluate((sheet) => sheet.textContent ?? '');

async function filedBuild(session: Session): Promise<{ text: string; file: string }> {
  const { page } = session;
  await openSheet(page);
  await page.getByRole('button', { name: 'Put today’s date' }).click();
  await page.getByRole('button', { name: 'File this sheet' }).click();
  await page.getByText('Nothing has changed since', { exact: false }).waitFor();
  const { bytes } = await download(page, () => chooseInBuildMenu(page, 'Save as a build file'));
  await ready(page);
  return { text: await sheetText(page), file: bytes.toString('utf8') };
}

describe('a filed sheet', () => {
  it('re-opens on a fresh profile to the same sheet, and says that nothing has changed', async () => {
    const one = await openApp();
    const { text, file } = await filedBuild(one);
    await closeCleanly(one);
    const parsed = parseBuildFile(JSON.parse(file));
    expect(parsed.ok && parsed.value.filed?.figures.length).toBeGreaterThan(300);

    const two = await openApp();
    await dropFile(two.page, 'filed.json', file);
    await two.page
      .getByText(/is open\.|was here already/)
      .first()
      .waitFor();
    await openSheet(two.page);
    await two.page.getByText('Nothing has changed since', { exact: false }).waitFor();
    // The profile has a build of that name, its own demonstration: the one that came is numbered.
    await expect.poll(async () => (await sheetText(two.page)).replaceAll(' (2)', '')).toBe(text);
    await closeCleanly(two);
  });

  it('of an older program with another number says which, and from which program', async () => {
    const one = await openApp();
    const { file } = await filedBuild(one);
    await closeCleanly(one);
    const old = JSON.parse(file) as {
      name: string;
      filed: { programVersion: string; figures: { key: string; value: number }[] };
    };
    // Shaft speeds are told to 10 rpm, everywhere.
    const shown = (rpm: number) => number(Number(rpm.toPrecision(4)), 0);
    old.filed.programVersion = '0.0.9';
    const shaft = old.filed.figures.find(({ key }) => key === 'shaftSpeedRpm');
    if (shaft === undefined) throw new Error('a shaft speed expected');
    const was = shaft.value;
    shaft.value = was * 1.02;

    const two = await openApp();
    await dropFile(two.page, 'old.json', JSON.stringify({ ...old, name: 'Older sheet' }));
    await two.page
      .getByText(/is open\.|was here already/)
      .first()
      .waitFor();
    await openSheet(two.page);
    const filing = two.page.getByRole('group', { name: /^Filing/ });
    const said = (await filing.textContent())?.replace(/[\u00a0\u202f]/g, ' ');
    expect(said).toContain('It was made by program 0.0.9; this is ');
    expect(said).toContain('1 of its numbers are different now.');
    expect(said).toContain(`shaft speed was ${shown(was * 1.02)} rpm, is ${shown(was)} rpm.`);
    await shoot(two.page, 'sheet-older');
    await closeCleanly(two);
  });
});
