import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { describe, expect, it } from 'vitest';
import { ROOT } from '../source-files.ts';
import { closeCleanly, load, openApp, pasteInto, shoot, typeInto, untilStored } from './harness.ts';
import { asPasted, INVENTED_LINES, INVENTED_SURGE } from './invented-map.ts';
import {
  changed,
  field,
  openView,
  printedNumber,
  readColumn,
  readFindings,
  readPoints,
  readTerms,
  startNewBuild,
  unfold,
} from './screen.ts';

const cell = (page: Page, grid: RegExp | string, row: number, column: number) =>
  page.getByRole('grid', { name: grid }).locator(`td[data-row="${row}"][data-column="${column}"]`);

const tab = (page: Page, name: RegExp) => page.getByRole('tab', { name }).click();

async function newMap(page: Page, name: string, source: string): Promise<void> {
  await openView(page, 'Maps');
  await page.getByRole('button', { name: 'New map' }).click();
  await page.getByRole('button', { name: /^Type it in/ }).click();
  await tab(page, /^Sheet/);
  await typeInto(page.getByLabel('Name', { exact: true }), name);
  await typeInto(page.getByLabel('Read by whom, from what, when', { exact: true }), source);
}

/** What the audit says is wrong; its notes and doubts are not. */
async function auditErrors(page: Page): Promise<string[]> {
  const said = await page.getByRole('region', { name: 'Audit of the sheet' }).getByRole('listitem').allTextContents();
  return said.filter((text) => text.startsWith('error'));
}

/** Walks to every operating point on the map and reads what stands there. */
async function readLineOnMap(page: Page): Promise<Record<string, string>[]> {
  const count = (await readColumn(page, 'Shaft speed')).size;
  await page.getByRole('application').focus();
  await page.keyboard.press('Home');
  const read: Record<string, string>[] = [];
  for (let i = 0; i < count; i++) {
    await page.waitForTimeout(40);
    read.push(await readTerms(page.getByRole('region', { name: 'Read-out' })));
    await page.keyboard.press('ArrowRight');
  }
  return read;
}

describe('entering a whole map as a person', () => {
  it('an invented one, by typing and pasting: the operating line stands on it, rises with altitude, and survives a reload', async () => {
    const session = await openApp();
    const { page } = session;
    await newMap(page, 'Invented 58', 'made up for a test, read by nobody');
    await typeInto(field(page, 'Temperature'), '25');
    await page.getByLabel('Temperature: unit', { exact: true }).selectOption('degC');
    await typeInto(field(page, 'Temperature'), '25');
    await page.getByLabel('Pressure, absolute: unit', { exact: true }).selectOption('kPa');
    await typeInto(field(page, 'Pressure, absolute'), '100');
    await typeInto(field(page, 'Maximum shaft speed'), '150000');
    await typeInto(field(page, 'Exducer diameter'), '58,0');

    await tab(page, /^Speed lines/);
    for (const [i, { speed, points }] of INVENTED_LINES.entries()) {
      if (i > 0) await page.getByRole('button', { name: 'Line', exact: true }).click();
      await typeInto(page.getByLabel('Corrected speed, rpm', { exact: true }), speed);
      if (i > 0) {
        await pasteInto(page, cell(page, /^Points of/, 0, 0), asPasted(points));
        continue;
      }
      // The first line by hand, cell after cell.
      for (const [row, values] of points.entries()) {
        await cell(page, /^Points of/, row, 0).click();
        for (const value of values) {
          await page.keyboard.type(value);
          await page.keyboard.press('Tab');
        }
      }
    }
    await tab(page, /^Surge line/);
    await pasteInto(page, cell(page, 'Points of the surge line', 0, 0), INVENTED_SURGE);
    await expect.poll(() => auditErrors(page)).toEqual([]);
    await shoot(page, 'entered-invented');

    await openView(page, 'Match');
    await unfold(page, 'Candidate A');
    await page.getByLabel('Map', { exact: true }).selectOption({ label: 'Invented 58' });
    await unfold(page, 'Air');
    await typeInto(field(page, 'Altitude'), '0');
    await page.getByRole('heading', { name: 'Invented 58', exact: true }).waitFor();
    const atSea = await readColumn(page, 'Shaft speed');
    expect(atSea.size).toBeGreaterThan(10);
    expect((await readFindings(page)).length).toBeGreaterThan(0);
    await typeInto(field(page, 'Altitude'), '2000');
    const above = await changed(() => readColumn(page, 'Shaft speed'), atSea);
    for (const [rpm, speed] of atSea) if (above.has(rpm)) expect(above.get(rpm)).toBeGreaterThan(speed);

    const points = await readPoints(page);
    const findings = await readFindings(page);
    await shoot(page, 'match-invented');
    await untilStored(page, '2000');
    await load(page);
    session.lateRequests.length = 0;
    await expect.poll(() => readPoints(page)).toEqual(points);
    expect(await readFindings(page)).toEqual(findings);
    await closeCleanly(session);
  });

  it("NASA's measured points as they stand in the table: the speeds on screen are those of the measured lines", async () => {
    const csv = readFileSync(join(ROOT, 'tests/fixtures/nasa-hecc-vaned.csv'), 'utf8');
    const session = await openApp();
    const { page } = session;
    await newMap(page, 'Measured, 432 mm wheel', 'NASA HECC archive, vaned diffuser, CSV as published');
    await page.getByLabel('Temperature: unit', { exact: true }).selectOption('K');
    await typeInto(field(page, 'Temperature'), '288.15');
    await page.getByLabel('Pressure, absolute: unit', { exact: true }).selectOption('kPa');
    await typeInto(field(page, 'Pressure, absolute'), '101.325');
    await typeInto(field(page, 'Maximum shaft speed'), '22000');
    await tab(page, /^Speed lines/);
    await page.getByRole('button', { name: 'Paste a table' }).click();
    await pasteInto(page, page.locator('textarea'), csv);
    await page.getByRole('button', { name: /^Take over \d+ lines/ }).click();
    await expect.poll(() => auditErrors(page)).toEqual([]);
    await shoot(page, 'entered-nasa');

    await openView(page, 'Match');
    await startNewBuild(page);
    await setBigEngine(page);
    await unfold(page, 'Candidate A');
    await page.getByLabel('Map', { exact: true }).selectOption({ label: 'Measured, 432 mm wheel' });
    await page.getByRole('button', { name: 'Map and units' }).click();
    await page.getByLabel('Unit of the flow axis', { exact: true }).selectOption('lb/min');
    await page.keyboard.press('Escape');
    await expect.poll(async () => (await readColumn(page, 'Shaft speed')).size).toBeGreaterThan(3);
    await shoot(page, 'match-nasa');

    const measured = readMeasured(csv);
    let checked = 0;
    for (const place of await readLineOnMap(page)) {
      const flow = printedNumber(place['Corrected flow'] ?? '') / 60;
      const ratio = printedNumber(place['Pressure ratio'] ?? '');
      const between = speedBetween(measured, flow, ratio);
      if (between === null) continue;
      checked++;
      // Published points (NASA HECC archive) read by straight lines: good to about a quarter of a percent.
      expect(Math.abs(printedNumber(place['Corrected speed'] ?? '') / between - 1)).toBeLessThan(0.003);
    }
    expect(checked).toBeGreaterThan(5);

    const atSea = await readColumn(page, 'Shaft speed');
    await unfold(page, 'Air');
    await typeInto(field(page, 'Altitude'), '2000');
    const above = await changed(() => readColumn(page, 'Shaft speed'), atSea);
    for (const [rpm, speed] of atSea) if (above.has(rpm)) expect(above.get(rpm)).toBeGreaterThan(speed);
    await closeCleanly(session);
  });

  it('shows a slip at once, leads to its cell, and is content when it is mended', async () => {
    const session = await openApp();
    const { page } = session;
    await openView(page, 'Maps');
    await tab(page, /^Speed lines/);
    const first = cell(page, /^Points of/, 0, 1);
    const before = (await first.textContent()) ?? '';
    await first.click();
    await page.keyboard.type('12.9');
    await page.keyboard.press('Enter');
    const audit = page.getByRole('region', { name: 'Audit of the sheet' });
    await expect.poll(() => audit.getByRole('listitem').count()).toBeGreaterThan(0);
    const entry = audit.getByRole('button').first();
    expect((await entry.textContent()) ?? '').toMatch(/\d/);
    await entry.click();
    await expect.poll(() => page.evaluate(() => document.activeElement?.closest('[role="grid"]') !== null)).toBe(true);
    await page.keyboard.press('ControlOrMeta+z');
    await expect.poll(() => first.textContent()).toBe(before);
    await expect.poll(() => audit.getByRole('listitem').count()).toBe(0);
    await closeCleanly(session);
  });
});

/** An engine of 90 litres at 2.3 bar breathes what the measured wheel passes between its 85 and 95 % lines. */
async function setBigEngine(page: Page): Promise<void> {
  await unfold(page, 'Engine');
  await typeInto(field(page, 'Displacement'), '90');
  await unfold(page, 'Engine speeds');
  await typeInto(field(page, 'From'), '1500');
  await typeInto(field(page, 'To'), '1900');
  await typeInto(field(page, 'In steps of'), '50');
  // Both losses stand at the flow that they were measured at.
  for (const path of ['Inlet', 'Charge path and cooler']) {
    await unfold(page, path);
    await typeInto(page.getByRole('spinbutton', { name: /at air flow/ }), '3.0');
  }
  await unfold(page, 'Goal');
  await pasteInto(page, cell(page, /boost/i, 0, 0), '1000\t2.3\n1500\t2.3\n1900\t2.3');
}

interface Reading {
  speed: number;
  flow: number;
  ratio: number;
}

/** Throttle coordinate of a point: along a line of constant throttle the head, about PR - 1, grows with the square of the flow. */
const throttle = (flow: number, ratio: number) => (ratio - 1) / flow ** 2;

/** Lines of the published table by their nominal percent, each in order from choke to surge. */
function readMeasured(csv: string): Reading[][] {
  const lines = new Map<string, Reading[]>();
  for (const row of csv.trim().split(/\r?\n/).slice(1)) {
    const [percent = '', speed, flow, ratio] = row.split(',');
    const line = lines.get(percent) ?? [];
    lines.set(percent, line);
    line.push({ speed: Number(speed), flow: Number(flow), ratio: Number(ratio) });
  }
  return [...lines.values()].map((line) => line.sort((a, b) => throttle(a.flow, a.ratio) - throttle(b.flow, b.ratio)));
}

/**
 * Speed at a flow and pressure ratio from the measured points alone: where the throttle line through the place crosses each measured line,
 * straight between neighbouring points, and then straight in flow between the two lines around it. null where it crosses none on one side.
 */
function speedBetween(lines: readonly Reading[][], flow: number, ratio: number): number | null {
  const wanted = throttle(flow, ratio);
  const crossings = lines
    .map((line) => {
      const next = line.findIndex((point) => throttle(point.flow, point.ratio) >= wanted);
      const a = line[next - 1];
      const b = line[next];
      if (a === undefined || b === undefined) return null;
      const from = throttle(a.flow, a.ratio);
      const share = (wanted - from) / (throttle(b.flow, b.ratio) - from);
      return { flow: a.flow + share * (b.flow - a.flow), speed: a.speed + share * (b.speed - a.speed) };
    })
    .filter((crossing) => crossing !== null)
    .sort((a, b) => a.flow - b.flow);
  const above = crossings.findIndex((crossing) => crossing.flow >= flow);
  const low = crossings[above - 1];
  const high = crossings[above];
  if (low === undefined || high === undefined) return null;
  return low.speed + ((flow - low.flow) / (high.flow - low.flow)) * (high.speed - low.speed);
}
