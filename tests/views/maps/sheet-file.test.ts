import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { sheetKindOfTable } from '../../../src/views/maps/index.ts';

/** NASA HECC data archive (2023): a table of speed lines as it was published. */
const NASA = readFileSync(new URL('../../fixtures/nasa-hecc-vaned.csv', import.meta.url), 'utf8');

describe('a text file that is opened', () => {
  it.each([
    ['a published table', NASA, 'compressor'],
    ['headings', 'Speed (krpm);Flow (lb/min);PR;Eff\n60;8;1,28;64\n60;10;1,27;69\n80;11;1,5;66', 'compressor'],
    ['blocks under speeds', '80 krpm\n10, 1.5\n15, 1.48\n\n100 krpm\n15, 1.9\n20, 1.85', 'compressor'],
    ['a turbine sheet', 'Expansion ratio,Flow lb/min\n1.5,10\n2,13\n2.5,14', 'turbine'],
    ['a road log', 'Time,RPM,MAP,Turbo speed\n0,2500,101,60000\n0.1,2520,102,60400\n0.2,2540,103,60800', null],
    [
      'a log of ratios and flows',
      'RPM,Mass air flow,Air fuel ratio,Boost\n2500,60,12.5,5\n2600,61,12.4,6\n2700,62,12.4,7',
      null,
    ],
    ['a dynamometer run', 'Engine speed,Power,Torque\n2500,60,220\n2600,61,225\n2700,62,226', null],
    ['numbers without a word', '2500,0.08,1.5\n2600,0.09,1.6\n2700,0.1,1.7', null],
    ['a letter', 'Dear shop,\nthe speed of the flow has a ratio.\nYours', null],
  ])('%s', (_, text, kind) => {
    expect(sheetKindOfTable(text)).toBe(kind);
  });
});
