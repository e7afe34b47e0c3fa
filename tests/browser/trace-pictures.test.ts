import { describe, expect, it } from 'vitest';
import { MACHINES } from '../machines/analytic-compressor.ts';
import { seededRandom } from '../machines/random.ts';
import { meanLine } from '../machines/read-sheet.ts';
import { drawSheet } from '../machines/sheet-drawing.ts';
import { closeCleanly, load, openApp, openBrowser, type Session } from './harness.ts';
import { openView } from './screen.ts';
import { shootSheet } from './sheet-picture.ts';
import { TracingHand } from './tracing-hand.ts';

const machine = meanLine(MACHINES[0]!);
const speeds = [0.5, 0.7, 0.9].map((share) => Math.round((machine.topSpeedRpm * share) / 1000) * 1000);
const sheet = drawSheet(machine, speeds, [0.7]);

type Named = { name: string; mimeType: string; buffer: Buffer };

async function honest(session: Session, type: 'image/png' | 'image/jpeg'): Promise<Named> {
  const blank = await session.context.newPage();
  const corners = (width: number, height: number) =>
    [
      { x: 0, y: 0 },
      { x: width, y: 0 },
      { x: width, y: height },
      { x: 0, y: height },
    ] as const;
  const picture = await shootSheet(blank, sheet, { name: 'honest', corners, type, quality: 0.8 });
  await blank.close();
  return picture;
}

const named = (name: string, buffer: Buffer | string, mimeType = ''): Named => ({
  name,
  mimeType,
  buffer: Buffer.from(buffer),
});

/** What stands in the browser's database, as text: what must not change when a picture is refused. */
function stored(hand: TracingHand): Promise<string> {
  return hand.page.evaluate(
    () =>
      new Promise<string>((resolve, reject) => {
        const opening = indexedDB.open('lugline');
        opening.onerror = () => reject(opening.error);
        opening.onsuccess = () => {
          const database = opening.result;
          const reading = database.transaction(['maps', 'pictures']);
          const maps = reading.objectStore('maps').getAll();
          const pictures = reading.objectStore('pictures').getAllKeys();
          reading.oncomplete = () => {
            database.close();
            resolve(JSON.stringify([maps.result, pictures.result]));
          };
        };
      }),
  );
}

/** Tries a file that must be refused, and gives what the page says about it. */
async function refused(hand: TracingHand, file: Named): Promise<string> {
  await hand.page.getByLabel('Picture of the sheet', { exact: true }).setInputFiles(file);
  const said = hand.page.getByText(`'${file.name}' was not opened; nothing is changed.`);
  await said.waitFor();
  return (await said.textContent()) ?? '';
}

/** A PDF of one empty page; with `locked` under a password that is not the empty one (ISO 32000-1, 7.6.3: revision 2). */
function pdf(locked: boolean): string {
  const objects = [
    '<< /Type /Catalog /Pages 2 0 R >>',
    '<< /Type /Pages /Kids [3 0 R] /Count 1 >>',
    '<< /Type /Page /Parent 2 0 R /MediaBox [0 0 300 200] >>',
    `<< /Filter /Standard /V 1 /R 2 /O <${'5a'.repeat(32)}> /U <${'3c'.repeat(32)}> /P -4 >>`,
  ];
  let text = '%PDF-1.4\n';
  const places = objects.map((object, i) => {
    const at = text.length;
    text += `${i + 1} 0 obj\n${object}\nendobj\n`;
    return at;
  });
  const table = places.map((at) => `${String(at).padStart(10, '0')} 00000 n \n`).join('');
  const lock = locked ? ` /Encrypt 4 0 R /ID [<${'11'.repeat(16)}> <${'11'.repeat(16)}>]` : '';
  return `${text}xref\n0 5\n0000000000 65535 f \n${table}trailer\n<< /Size 5 /Root 1 0 R${lock} >>\nstartxref\n${text.length}\n%%EOF\n`;
}

describe('pictures that cannot be opened', () => {
  it('are refused with the reason, and change nothing', async () => {
    const session = await openApp();
    const hand = new TracingHand(session.page);
    await hand.begin();
    const png = (await honest(session, 'image/png')).buffer;
    const jpeg = (await honest(session, 'image/jpeg')).buffer;
    const huge = Buffer.from(png);
    huge.writeUInt32BE(60_000, 16);
    huge.writeUInt32BE(60_000, 20);
    await expect.poll(() => stored(hand)).toContain('New map');
    const before = await stored(hand);
    const cases: readonly [Named, RegExp][] = [
      [named('empty.png', ''), /The file is empty/],
      [named('letter.png', 'Dear customer, the sheet is in the post.'), /no picture that can be opened/],
      [named('page.svg', '<html><script>alert(1)</script></html>'), /no picture that can be opened/],
      [named('huge.png', huge), /60\u202f000 by 60\u202f000 pixels; at most 64 million/],
      [named('cut.jpg', jpeg.subarray(0, jpeg.length >> 1)), /cut off/],
      [named('cut.png', png.subarray(0, png.length - 5000)), /cut off/],
      [named('old.gif', 'GIF89a\u0001\u0000\u0001\u0000'), /a GIF/],
      [named('broken.svg', '<svg xmlns="http://www.w3.org/2000/svg"><path d="M0'), /SVG file is damaged/],
      [named('locked.pdf', pdf(true)), /locked by a password/],
      [named('broken.pdf', '%PDF-1.7 and nothing of the kind'), /PDF is damaged/],
    ];
    for (const [file, reason] of cases) expect(await refused(hand, file)).toMatch(reason);
    expect(await stored(hand)).toBe(before);
    await closeCleanly(session);
  });

  it('never take more than a message, whatever byte is changed', async () => {
    const session = await openApp();
    const hand = new TracingHand(session.page);
    await hand.begin();
    const whole = [(await honest(session, 'image/png')).buffer, (await honest(session, 'image/jpeg')).buffer];
    const random = seededRandom(11);
    for (let i = 0; i < 40; i++) {
      const bytes = Buffer.from(whole[i % 2]!);
      // Mostly in the head, where sizes and forms stand.
      for (let n = 0; n < 6; n++) bytes[Math.floor(random() ** 3 * bytes.length)] = Math.floor(random() * 256);
      await hand.page
        .getByLabel('Picture of the sheet', { exact: true })
        .setInputFiles(named(`changed-${i}.png`, bytes));
      await hand.page.getByText(new RegExp(`'changed-${i}.png' was not opened|changed-${i}.png: `)).waitFor();
    }
    await closeCleanly(session);
  });
});

describe('a picture that is dropped or pasted', () => {
  it.each(['drop', 'paste'] as const)('is taken for the map that is traced: %s', async (way) => {
    const session = await openApp();
    const hand = new TracingHand(session.page);
    await hand.begin();
    const { buffer } = await honest(session, 'image/png');
    const carried = await session.page.evaluateHandle((base64) => {
      const bytes = Uint8Array.from(atob(base64), (letter) => letter.charCodeAt(0));
      const transfer = new DataTransfer();
      transfer.items.add(new File([bytes], 'carried.png', { type: 'image/png' }));
      return transfer;
    }, buffer.toString('base64'));
    if (way === 'drop') {
      for (const type of ['dragenter', 'dragover', 'drop'])
        await session.page.dispatchEvent('body', type, { dataTransfer: carried });
    } else {
      await carried.evaluate((data) => {
        document.body.dispatchEvent(
          new ClipboardEvent('paste', { clipboardData: data, bubbles: true, cancelable: true }),
        );
      });
    }
    await hand.stage.locator('canvas').first().waitFor();
    await session.page.getByText('carried.png: 1600 by 1200 pixels').waitFor();
    await closeCleanly(session);
  });
});

describe('drawings and pages', () => {
  it('opens a drawing without running its script or fetching what it refers to', async () => {
    const session = await openApp();
    const hand = new TracingHand(session.page);
    await hand.begin();
    const svg = `<svg xmlns="http://www.w3.org/2000/svg" width="400" height="300" onload="document.title='run'">
      <script>document.title = 'run'; fetch('https://example.invalid/taken');</script>
      <image href="https://example.invalid/picture.png" width="10" height="10"/>
      <foreignObject width="9" height="9"><img xmlns="http://www.w3.org/1999/xhtml" src="https://example.invalid/x.png"/></foreignObject>
      <rect x="50" y="50" width="200" height="100" fill="#336"/></svg>`;
    const title = await session.page.title();
    await hand.page.getByLabel('Picture of the sheet', { exact: true }).setInputFiles(named('drawing.svg', svg));
    await hand.page
      .getByText(/drawing\.svg/)
      .first()
      .waitFor();
    await hand.page.waitForTimeout(300);
    expect(await session.page.title()).toBe(title);
    await closeCleanly(session);
  });

  it('opens the chosen page of a PDF', async () => {
    const session = await openApp();
    // A session of its own: what it draws for the PDF must not count as the program's requests.
    const context = await (await openBrowser()).newContext();
    const maker = await context.newPage();
    await maker.setContent(`<p>The first page</p><div style="break-before: page">${sheet.svg}</div>`);
    const bytes = await maker.pdf({ width: '1700px', height: '1300px' });
    await context.close();
    const hand = new TracingHand(session.page);
    await hand.begin();
    await hand.page.getByLabel('Picture of the sheet', { exact: true }).setInputFiles(named('two pages.pdf', bytes));
    await hand.page.getByRole('button', { name: 'Page 2', exact: true }).click();
    await hand.stage.locator('canvas').first().waitFor();
    await hand.page.getByText(/two pages\.pdf, page 2: [\d\u202f]+ by [\d\u202f]+ pixels/).waitFor();
    const dark = await hand.stage
      .locator('canvas')
      .first()
      .evaluate((canvas) => {
        const { width, height } = canvas as HTMLCanvasElement;
        const data = (canvas as HTMLCanvasElement).getContext('2d')?.getImageData(0, 0, width, height).data ?? [];
        let count = 0;
        for (let i = 0; i < data.length; i += 4) if (data[i + 3]! > 200 && data[i]! < 120) count += 1;
        return count;
      });
    expect(dark).toBeGreaterThan(1000);
    await closeCleanly(session);
  });
});

describe('a page that is killed while a map is traced', () => {
  it('loses at most the last second: picture, axes and points are there again', async () => {
    const session = await openApp();
    const hand = new TracingHand(session.page);
    await hand.begin();
    const picture = await honest(session, 'image/png');
    await hand.openPicture(picture);
    await hand.step('Axes');
    const at = (flow: number, ratio: number) => sheet.placeOf(flow, ratio);
    const { flow, pressureRatio } = sheet.axes;
    await hand.axisPoint(at(flow[0]!, pressureRatio[0]!), [String(flow[0])]);
    await hand.axisPoint(at(flow.at(-1)!, pressureRatio[0]!), [String(flow.at(-1))]);
    await hand.axisPoint(at(flow[0]!, pressureRatio[1]!), [String(pressureRatio[1])]);
    await hand.axisPoint(at(flow[0]!, pressureRatio.at(-1)!), [String(pressureRatio.at(-1))]);
    await hand.step('Trace');
    const points = [0.1, 0.3, 0.5, 0.7].map((beta) => {
      const p = machine.at(speeds[1]!, beta);
      return at(p.correctedMassFlowKgPerS, p.pressureRatio);
    });
    await hand.speedLine(speeds[1]!, points, true);
    await hand.page.waitForTimeout(1000);
    // The renderer dies as it stands: no event reaches the page any more.
    const killer = await session.context.newCDPSession(hand.page);
    killer.send('Page.crash').catch(() => undefined);
    await hand.page.waitForEvent('crash');
    const page = await session.context.newPage();
    await load(page);
    await openView(page, 'Maps');
    await page
      .getByRole('button', { name: /^New map/ })
      .last()
      .click();
    await page.getByRole('button', { name: 'Trace from a picture' }).click();
    const again = new TracingHand(page);
    await again.stage.locator('canvas').first().waitFor();
    await expect.poll(() => again.stage.locator('[data-look="current"]').count()).toBe(4);
    await again.step('Axes');
    expect(await again.stage.locator('[data-look="axis"]').count()).toBe(4);
    await page.getByText('The axes stand.').waitFor();
    await session.context.close();
  });
});
