import { describe, expect, it } from 'vitest';
import { MACHINES } from '../machines/analytic-compressor.ts';
import { meanLine } from '../machines/read-sheet.ts';
import { drawSheet } from '../machines/sheet-drawing.ts';
import { closeCleanly, download, openApp } from './harness.ts';
import { openView } from './screen.ts';
import { shootSheet } from './sheet-picture.ts';
import { TracingHand } from './tracing-hand.ts';

const machine = meanLine(MACHINES[1]!);
const speeds = [0.5, 0.7, 0.9].map((share) => Math.round((machine.topSpeedRpm * share) / 1000) * 1000);
const sheet = drawSheet(machine, speeds, [0.7]);
const { flow, pressureRatio } = sheet.axes;

/** A session with a picture whose axes stand. */
async function calibrated() {
  const session = await openApp();
  const blank = await session.context.newPage();
  const corners = (width: number, height: number) =>
    [
      { x: 0, y: 0 },
      { x: width, y: 0 },
      { x: width, y: height },
      { x: 0, y: height },
    ] as const;
  const picture = await shootSheet(blank, sheet, { name: 'scan', corners, type: 'image/png', quality: 1 });
  await blank.close();
  const hand = new TracingHand(session.page);
  await hand.begin();
  await hand.openPicture(picture);
  await hand.step('Axes');
  await hand.page.getByRole('radio', { name: 'Photo' }).check({ force: true });
  for (const [f, r] of [
    [flow[0]!, pressureRatio[0]!],
    [flow.at(-1)!, pressureRatio[0]!],
    [flow.at(-1)!, pressureRatio.at(-1)!],
    [flow[0]!, pressureRatio.at(-1)!],
  ] as const)
    await hand.axisPoint(sheet.placeOf(f, r), [String(f), String(r)]);
  await hand.page.getByText('The axes stand.').waitFor();
  await hand.step('Trace');
  return { session, hand };
}

const cellTexts = (hand: TracingHand) =>
  hand.page
    .getByRole('grid', { name: /^Points of/ })
    .locator('td[data-column]')
    .allTextContents();
const points = (hand: TracingHand) => hand.stage.locator('[data-look="current"]');

it('a drag of one pixel moves a point, and ‘Next’ puts the cursor into the speed of the line that comes', async () => {
  const { session, hand } = await calibrated();
  const { keyboard, mouse } = hand.page;
  await hand.tools.getByRole('button', { name: 'Snap' }).click();
  await hand.stage.focus();
  await keyboard.press('ArrowRight');
  await keyboard.press('Enter');
  await expect.poll(() => points(hand).count()).toBe(1);
  const [flowBefore = ''] = await cellTexts(hand);
  const { x, y, width, height } = (await points(hand).boundingBox())!;
  await mouse.move(x + width / 2, y + height / 2);
  await mouse.down();
  await mouse.move(x + width / 2 + 1, y + height / 2);
  await mouse.up();
  await expect.poll(async () => Number((await cellTexts(hand))[0])).toBeGreaterThan(Number(flowBefore));
  await hand.tools.getByRole('button', { name: 'Next', exact: true }).click();
  const speed = hand.tools.getByLabel('Speed');
  await expect.poll(() => speed.evaluate((field) => field === document.activeElement)).toBe(true);
  await keyboard.type('90000');
  expect(await speed.inputValue()).toBe('90000');
  await closeCleanly(session);
});

it('the picture keeps its place and size on a narrow screen, whatever is clicked on it', async () => {
  const { session, hand } = await calibrated();
  await hand.page.setViewportSize({ width: 800, height: 1000 });
  await hand.tools.getByRole('button', { name: 'Snap' }).click();
  await hand.stage.scrollIntoViewIfNeeded();
  const before = await hand.stage.boundingBox();
  for (const [at, share] of [0.3, 0.45, 0.6].entries()) {
    await hand.click(sheet.placeOf(flow.at(-1)! * share, pressureRatio.at(-1)! * 0.6));
    await expect.poll(() => points(hand).count()).toBe(at + 1);
    expect(await hand.stage.boundingBox()).toEqual(before);
  }
  await closeCleanly(session);
});

it('two fingers apart by twice as much show the picture twice as large, and set no point', async () => {
  const { session, hand } = await calibrated();
  const { keyboard } = hand.page;
  await hand.tools.getByRole('button', { name: 'Snap' }).click();
  await hand.stage.focus();
  await keyboard.press('ArrowRight');
  await keyboard.press('Enter');
  await keyboard.press('Escape');
  for (let i = 0; i < 4; i++) await keyboard.press('Shift+ArrowDown');
  await keyboard.press('Enter');
  await expect.poll(() => points(hand).count()).toBe(2);
  const apart = async () => {
    const [a, b] = await points(hand).evaluateAll((all) => all.map((point) => point.getBoundingClientRect().top));
    return Math.abs(a! - b!);
  };
  const before = await apart();
  const { x, y, width, height } = (await hand.stage.boundingBox())!;
  const cdp = await session.context.newCDPSession(hand.page);
  const fingers = (type: 'touchStart' | 'touchMove', half: number) =>
    cdp.send('Input.dispatchTouchEvent', {
      type,
      touchPoints: [-half, half].map((off, id) => ({ x: x + width / 2 + off, y: y + height / 2, id })),
    });
  await fingers('touchStart', 50);
  for (let half = 60; half <= 100; half += 10) await fingers('touchMove', half);
  await cdp.send('Input.dispatchTouchEvent', { type: 'touchEnd', touchPoints: [] });
  await expect.poll(apart).toBeGreaterThan(before * 1.8);
  expect(await apart()).toBeLessThan(before * 2.2);
  expect(await points(hand).count()).toBe(2);
  await closeCleanly(session);
});

describe('tracing without a mouse', () => {
  it('places, nudges, inserts and deletes points by keys; table and picture agree, and undo takes each back', async () => {
    const { session, hand } = await calibrated();
    const { keyboard } = hand.page;
    await hand.tools.getByRole('button', { name: 'Snap' }).click();
    await hand.stage.focus();
    await keyboard.press('ArrowRight');
    await keyboard.press('Enter');
    await expect.poll(() => points(hand).count()).toBe(1);
    const first = (await cellTexts(hand)).slice(0, 2).map(Number);
    await keyboard.press('Shift+ArrowRight');
    await expect.poll(async () => Number((await cellTexts(hand))[0])).toBeGreaterThan(first[0]!);
    // Ten pixels of a picture whose flow axis is 1,410 px long.
    const step = (10 * flow.at(-1)!) / 1410;
    expect(Number((await cellTexts(hand))[0]) - first[0]!).toBeCloseTo(step, 3);
    await keyboard.press('Escape');
    for (let i = 0; i < 4; i++) await keyboard.press('Shift+ArrowDown');
    await keyboard.press('Enter');
    await expect.poll(() => points(hand).count()).toBe(2);
    await keyboard.press('PageDown');
    await keyboard.press('Insert');
    await expect.poll(() => points(hand).count()).toBe(3);
    await keyboard.press('Delete');
    await expect.poll(() => points(hand).count()).toBe(2);
    await keyboard.press('ControlOrMeta+z');
    await expect.poll(() => points(hand).count()).toBe(3);
    await keyboard.press('ControlOrMeta+z');
    await expect.poll(() => points(hand).count()).toBe(2);
    await closeCleanly(session);
  });

  it('moves the point on the picture when its cell is typed into', async () => {
    const { session, hand } = await calibrated();
    const at = sheet.placeOf(flow[2]!, pressureRatio[2]!);
    const grid = hand.page.getByRole('grid', { name: /^Points of/ });
    await grid.locator('td[data-row="0"][data-column="0"]').click();
    await hand.page.keyboard.type(String(flow[2]));
    await hand.page.keyboard.press('Tab');
    await hand.page.keyboard.type(String(pressureRatio[2]));
    await hand.page.keyboard.press('Enter');
    await expect.poll(() => points(hand).count()).toBe(1);
    const [wanted] = await hand.onScreen([at]);
    const box = await points(hand).first().locator('circle').last().boundingBox();
    expect(Math.abs((box?.x ?? 0) + (box?.width ?? 0) / 2 - wanted!.x)).toBeLessThan(1.5);
    expect(Math.abs((box?.y ?? 0) + (box?.height ?? 0) / 2 - wanted!.y)).toBeLessThan(1.5);
    await closeCleanly(session);
  });
});

describe('following a line from one click', () => {
  it('proposes points along the whole line, which are taken in one step and undone in one', async () => {
    const { session, hand } = await calibrated();
    await hand.tools.getByLabel(/^Speed/).fill(String(speeds[1]));
    await hand.tools.getByRole('button', { name: 'Follow' }).click();
    const middle = machine.at(speeds[1]!, 0.45);
    await hand.click(sheet.placeOf(middle.correctedMassFlowKgPerS, middle.pressureRatio));
    const bar = hand.page.getByRole('group', { name: 'Followed line' });
    await bar.getByRole('button', { name: /^Take \d+ points/ }).click();
    await expect.poll(() => points(hand).count()).toBeGreaterThan(5);
    const count = await points(hand).count();
    const texts = await cellTexts(hand);
    for (let row = 0; row < count; row++) {
      const read = Number(texts[3 * row]);
      // The line's own pressure ratio at the flow that was read, within 0.4 % of full scale.
      let [low, high] = [0, 1];
      for (let i = 0; i < 40; i++) {
        const beta = (low + high) / 2;
        if (machine.at(speeds[1]!, beta).correctedMassFlowKgPerS < read) low = beta;
        else high = beta;
      }
      const exact = machine.at(speeds[1]!, low).pressureRatio;
      expect(Math.abs(Number(texts[3 * row + 1]) - exact) / pressureRatio.at(-1)!).toBeLessThan(0.004);
    }
    await hand.page.keyboard.press('ControlOrMeta+z');
    await expect.poll(() => points(hand).count()).toBe(0);
    await closeCleanly(session);
  });
});

describe('a traced map as a file', () => {
  it('carries its picture, axes and marks to another machine', async () => {
    const { session, hand } = await calibrated();
    const at = (beta: number) => {
      const p = machine.at(speeds[1]!, beta);
      return sheet.placeOf(p.correctedMassFlowKgPerS, p.pressureRatio);
    };
    await hand.speedLine(speeds[1]!, [at(0.2), at(0.5), at(0.8)], true);
    await hand.reference(298.15, 100);
    await hand.page.getByRole('button', { name: 'Back to the plot' }).click();
    const file = await download(hand.page, () => hand.page.getByRole('button', { name: /as a map file$/ }).click());
    await closeCleanly(session);
    const other = await openApp();
    await openView(other.page, 'Maps');
    await other.page
      .getByLabel('Map files')
      .setInputFiles({ name: file.name, mimeType: 'application/json', buffer: file.bytes });
    await other.page.getByText(/'New map' is on the shelf/).waitFor();
    await other.page.getByRole('button', { name: 'Trace from a picture' }).click();
    const there = new TracingHand(other.page);
    await there.stage.locator('canvas').first().waitFor();
    await expect.poll(() => points(there).count()).toBe(3);
    await closeCleanly(other);
  });
});
