import { describe, expect, it } from 'vitest';
import { readLogText } from '../../src/build/index.ts';
import { auditSheet } from '../../src/compressor/audit.ts';
import { followStroke, snapToStroke } from '../../src/reading/pixels/index.ts';
import { openFileText } from '../../src/storage/files.ts';
import { parseClipboardTable } from '../../src/widgets/index.ts';
import { bytesOf, inventedDrive, PLAIN_NAMES, plainCells, writeLog } from '../build/log/invented.ts';
import { GOOD } from '../compressor/good-sheet.ts';
import { largePicture, ON_STROKE } from '../reading/pixels/large-picture.ts';
import { hostileTexts } from '../storage/hostile-texts.ts';
import { machine, measure } from './measure.ts';

describe('what follows the pointer or a keystroke', () => {
  it('audit of a usual sheet, 8 lines of 9 points and islands', () => {
    console.log(machine());
    expect(measure('audit', () => auditSheet(GOOD), { runs: 200, targetMs: 1 }).medianMs).toBeLessThan(1);
  });

  it('a stroke of 1,500 px in a picture of 40 megapixels', () => {
    const image = largePicture();
    const followed = measure('follow a stroke', () => followStroke(image, ON_STROKE), { runs: 12, targetMs: 30 });
    expect(followed.medianMs).toBeLessThan(60);
    measure('snap to a stroke', () => snapToStroke(image, ON_STROKE, 8), { runs: 50, targetMs: 4 });
  });
});

describe('what comes from outside', () => {
  it('a large hostile text on the clipboard', () => {
    const text = '"a"b\t'.repeat(3000);
    const parsed = measure('parse a pasted table', () => parseClipboardTable(text), { runs: 20, targetMs: 20 });
    expect(parsed.p95Ms).toBeLessThan(2000);
  });

  it('a road log of 72,000 rows and 12 columns', () => {
    const more = [
      'Lambda',
      'Fuel flow [g/s]',
      'Baro [kPa]',
      'Wastegate duty [%]',
      'Vehicle speed [km/h]',
      'EGT [degC]',
    ];
    const cells = (drive: ReturnType<typeof inventedDrive>, row: number) =>
      [
        ...plainCells(drive, row),
        0.85 + (row % 13) / 900,
        12 + (row % 31) / 7,
        98.3,
        row % 97,
        60 + (row % 80),
        700 + (row % 90),
      ].map((cell) => Number(cell.toFixed(3)));
    const bytes = bytesOf(writeLog(inventedDrive({ rateHz: 4500 }), { names: [...PLAIN_NAMES, ...more], cells }));
    measure(`read a log of ${(bytes.length / 1e6).toFixed(1)} MB`, () => readLogText(bytes), {
      runs: 10,
      targetMs: 300,
    });
  });

  it('a thousand damaged, foreign, huge and hostile files, the slowest', () => {
    const times = hostileTexts().map((text) => {
      const from = performance.now();
      openFileText(text, 'fresh');
      return performance.now() - from;
    });
    console.log(`open or refuse a file, the slowest of ${times.length}: ${Math.max(...times).toFixed(1)} ms`);
    expect(Math.max(...times)).toBeLessThan(2000);
  });
});
