import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { emptyMap } from '../../../src/build/index.ts';
import { splitTable } from '../../../src/views/maps/paste/cells.ts';
import { flowUnitIn } from '../../../src/views/maps/paste/columns.ts';
import { type PasteChoices, readMapTable } from '../../../src/views/maps/paste/readMapTable.ts';
import { pastedIslands } from '../../../src/views/maps/paste/takePaste.ts';
import { compressorPaste } from '../../../src/views/maps/sheetKinds/compressor.tsx';

const read = (text: string, choices: Partial<PasteChoices> = {}) =>
  readMapTable(splitTable(text), { usualFlowUnit: 'kg/s', form: compressorPaste, ...choices });

/** NASA HECC data archive (2023), vaned diffuser: the 92 points as they stand in the table. */
const NASA = readFileSync(new URL('../../fixtures/nasa-hecc-vaned.csv', import.meta.url), 'utf8');

describe("NASA's table as it stands", () => {
  const table = read(NASA);
  it('gives seven lines of all 92 points, flow brought from lb/s to lb/min', () => {
    expect(table.problem).toBeNull();
    expect(table.roles).toEqual(['percent', 'speed', 'flow', 'ratio', 'efficiency', 'ignored']);
    expect(table.flowUnit).toBe('lb/s');
    expect(table.sheetFlowUnit).toBe('lb/min');
    expect(table.efficiencyUnit).toBe('1');
    expect(table.speedsInPercent).toBe(false);
    expect(table.lines.map((l) => l.points.length)).toEqual([10, 12, 14, 13, 11, 17, 15]);
    expect(table.skipped).toEqual([]);
    // Means of the corrected speeds of each group in the table, computed apart (awk), to the nearest rpm.
    expect(table.lines.map((l) => l.speed)).toEqual(['15253', '16350', '18506', '19599', '20694', '21769', '22872']);
    // Reading 3859: 4.8832 lbm/s is 292.992 lb/min; reading 3840 closes the line.
    expect(table.lines[0]!.points[0]).toEqual({ flow: '292.992', pressureRatio: '2.3684', efficiency: '0.8176' });
    expect(table.lines[0]!.points.at(-1)!.pressureRatio).toBe('1.9159');
  });
  it('says what it did', () => {
    const notes = table.notes.join(' ');
    expect(notes).toMatch(/lb\/s is brought to lb\/min \(times 60\)/);
    expect(notes).toMatch(/15\u202f243 to 15\u202f265 rpm at 15\u202f253 rpm/);
    expect(notes).toMatch(/put in order from surge to choke/);
  });
  it('gives the same lines without the percent column, by nearest speed', () => {
    const without = NASA.split('\n')
      .map((row) => row.split(',').slice(1).join(','))
      .join('\n');
    expect(read(without).lines).toEqual(table.lines);
  });
});

describe('speeds in thousands', () => {
  const rows = [
    ['40.1', '0.05', '1.12'],
    ['40.1', '0.08', '1.10'],
    ['100', '0.10', '1.9'],
    ['100', '0.15', '1.7'],
  ];
  it.each([['Speed (krpm)'], ['krpm'], ['Speed, rpm x 1000'], ['n [1000 1/min]']])(
    "'%s' over them is no percent",
    (heading) => {
      const table = read([[heading, 'Flow kg/s', 'PR'], ...rows].map((row) => row.join('\t')).join('\n'));
      expect(table.problem).toBeNull();
      expect(table.lines.map((line) => line.speed)).toEqual(['40100', '100000']);
      expect(table.notes).toContain('Speeds are in thousands of rpm.');
    },
  );
  it('reads the unit beside each speed as well', () => {
    const table = read('Speed\tFlow kg/s\tPR\n40,1 krpm\t0,05\t1,12\n\t0,08\t1,10\n100 krpm\t0,10\t1,9\n\t0,15\t1,7');
    expect(table.lines.map((line) => line.speed)).toEqual(['40100', '100000']);
  });
});

describe('one table, whatever the columns are called and in whatever order', () => {
  const expected = [
    {
      speed: '90000',
      points: [
        { flow: '0.05', pressureRatio: '1.42', efficiency: '0.68' },
        { flow: '0.08', pressureRatio: '1.35', efficiency: '0.7' },
      ],
    },
    {
      speed: '110000',
      points: [
        { flow: '0.07', pressureRatio: '1.7', efficiency: '0.69' },
        { flow: '0.11', pressureRatio: '1.6', efficiency: '0.71' },
      ],
    },
  ];
  it.each([
    [
      'tabs and a heading',
      'Speed (rpm)\tFlow (kg/s)\tPR\tEff\n90000\t0.05\t1.42\t0.68\n90000\t0.08\t1.35\t0.7\n110000\t0.07\t1.7\t0.69\n110000\t0.11\t1.6\t0.71',
    ],
    [
      'another order',
      'p2/p1;η;n [1/min];mdot kg/s\n1.42;0.68;90000;0.05\n1.35;0.7;90000;0.08\n1.7;0.69;110000;0.07\n1.6;0.71;110000;0.11',
    ],
    ['no heading', '90000 0.05 1.42 0.68\n90000 0.08 1.35 0.7\n110000 0.07 1.7 0.69\n110000 0.11 1.6 0.71'],
    [
      'no heading, other order',
      '0.68,0.05,1.42,90000\n0.7,0.08,1.35,90000\n0.69,0.07,1.7,110000\n0.71,0.11,1.6,110000',
    ],
    [
      'speed beside the first point only',
      'rpm\tflow\tpressure ratio\tefficiency\n90000\t0.05\t1.42\t0.68\n\t0.08\t1.35\t0.7\n110000\t0.07\t1.7\t0.69\n\t0.11\t1.6\t0.71',
    ],
    [
      'blocks under their speeds',
      '90000 rpm\nFlow\tPR\tEfficiency\n0.05\t1.42\t0.68\n0.08\t1.35\t0.7\n\n110000 rpm\nFlow\tPR\tEfficiency\n0.07\t1.7\t0.69\n0.11\t1.6\t0.71',
    ],
    [
      'blocks under their speeds without heading',
      'N = 90000\n0.05 1.42 0.68\n0.08 1.35 0.7\nN = 110000\n0.07 1.7 0.69\n0.11 1.6 0.71',
    ],
    [
      'blocks side by side',
      '90000\t\t\t110000\t\t\nflow\tPR\teff\tflow\tPR\teff\n0.05\t1.42\t0.68\t0.07\t1.7\t0.69\n0.08\t1.35\t0.7\t0.11\t1.6\t0.71',
    ],
    [
      'a row of units under the heading',
      'Speed\tFlow\tPressure ratio\tEfficiency\n[rpm]\t[kg/s]\t[-]\t[-]\n90000\t0.05\t1.42\t0.68\n90000\t0.08\t1.35\t0.7\n110000\t0.07\t1.7\t0.69\n110000\t0.11\t1.6\t0.71',
    ],
  ])('%s', (_, text) => {
    const table = read(text);
    expect(table.problem).toBeNull();
    expect(table.lines).toEqual(expected);
  });

  it('decimal commas, thousands, and efficiency in percent, kept as they were typed', () => {
    const table = read(
      'Drehzahl\tMassenstrom kg/s\tDruckverhältnis\tWirkungsgrad\n90.000\t0,050\t1,42\t68,0\n90.000\t0,080\t1,35\t70,5\n110.000\t0,070\t1,70\t69,0\n110.000\t0,11\t1,6\t71'
        .replaceAll('90.000', '90 000')
        .replaceAll('110.000', '110 000'),
    );
    expect(table.lines.map((l) => l.speed)).toEqual(['90000', '110000']);
    expect(table.lines[0]!.points[1]).toEqual({ flow: '0,080', pressureRatio: '1,35', efficiency: '70,5' });
    expect(table.efficiencyUnit).toBe('%');
  });

  it('two columns alone are the points of one line without a speed', () => {
    const table = read('0.05\t1.42\n0.08\t1.35\n0.1\t1.2');
    expect(table.lines).toHaveLength(1);
    expect(table.lines[0]!.speed).toBe('');
    expect(table.lines[0]!.points.map((p) => p.pressureRatio)).toEqual(['1.42', '1.35', '1.2']);
  });
});

describe('speeds in percent', () => {
  const text = 'N %\tWc lb/min\tPR\n70\t10\t1.5\n70\t14\t1.4\n100\t15\t2.5\n100\t20\t2.3';
  it('ask for the speed at 100 %', () => {
    const table = read(text);
    expect(table.needsDesignSpeed).toBe(true);
    expect(table.problem).toMatch(/Enter the speed at 100 %/);
  });
  it('are multiplied with it', () => {
    const table = read(text, { designSpeedRpm: 120000 });
    expect(table.problem).toBeNull();
    expect(table.lines.map((l) => l.speed)).toEqual(['84000', '120000']);
  });
  it('are recognised by size under a heading that says speed', () => {
    expect(read('speed\tflow\tPR\n70\t10\t1.5\n70\t14\t1.4\n100\t15\t2.5\n100\t20\t2.3').needsDesignSpeed).toBe(true);
  });
});

describe('what cannot be read', () => {
  it('is skipped with its row and reason, the rest is taken', () => {
    const table = read('rpm\tflow\tPR\n90000\t0.05\t1.42\n90000\tx\t1.4\n90000\t0.08\t\n90000\t0.09\t1.3');
    expect(table.lines[0]!.points).toHaveLength(2);
    expect(table.skipped).toEqual([
      { row: 3, reason: "the flow 'x' is not a number" },
      { row: 4, reason: "the pressure ratio '' is not a number" },
    ]);
  });
  it('no ratio column: the user is asked, and the answer is used', () => {
    const text = 'a\tb\tc\n90000\t0.05\t1.42\n90000\t0.06\t1.40';
    const asked = read(text, { roles: ['speed', 'flow', 'ignored'] });
    expect(asked.problem).toMatch(/Which column is the pressure ratio/);
    expect(read(text, { roles: ['speed', 'flow', 'ratio'] }).problem).toBeNull();
  });
  it('any text at all never throws', () => {
    fc.assert(
      fc.property(
        fc.oneof(
          fc.string({ maxLength: 200 }),
          fc
            .array(fc.constantFrom('1', '90000', '0,5', '1.5', '\t', '\n', ';', ' ', 'PR', 'flow', '70 %', '-'), {
              maxLength: 60,
            })
            .map((a) => a.join('')),
        ),
        (text) => {
          const table = read(text);
          expect(Array.isArray(table.lines)).toBe(true);
        },
      ),
      { numRuns: 2000 },
    );
  });
});

describe('layouts of spreadsheets and notes', () => {
  const lines = (text: string) =>
    read(text).lines.map(({ speed, points }) => [speed, ...points.map((p) => `${p.flow} ${p.pressureRatio}`)]);
  const TWO = [
    ['80000', '10 1.5', '15 1.48'],
    ['100000', '15 1.9', '20 1.85'],
  ];

  it.each([
    [
      'side by side under speeds with their unit',
      '80000 rpm\t\t100000 rpm\t\nFlow lb/min\tPR\tFlow lb/min\tPR\n10\t1.5\t15\t1.9\n15\t1.48\t20\t1.85',
    ],
    [
      'side by side, in thousands',
      '80 krpm\t\t100 krpm\t\nFlow lb/min\tPR\tFlow lb/min\tPR\n10\t1.5\t15\t1.9\n15\t1.48\t20\t1.85',
    ],
    ['one under the other, in thousands', '80 krpm\n10, 1.5\n15, 1.48\n\n100 krpm\n15, 1.9\n20, 1.85'],
    ['a grid, flows down its side', 'Flow (lb/min),80000,100000\n10,1.5,\n15,1.48,1.9\n20,,1.85'],
    [
      'bars between the cells',
      '| Speed | Flow (lb/min) | PR |\n|---|---:|---|\n| 80000 | 10 | 1.5 |\n| 80000 | 15 | 1.48 |\n| 100000 | 15 | 1.9 |\n| 100000 | 20 | 1.85 |',
    ],
    [
      'ratios to one, flow named by its unit',
      'RPM\tlbs/min\tP2c/P1c\n80000\t10\t1.5:1\n80000\t15\t1.48:1\n100000\t15\t1.9:1\n100000\t20\t1.85:1',
    ],
  ])('%s', (_, text) => {
    expect(read(text).problem).toBeNull();
    expect(lines(text)).toEqual(TWO);
    expect(read(text).skipped).toEqual([]);
  });

  it.each([
    ['blanks between columns and thousands', '80 000 10 1,5\n80 000 15 1,48\n100 000 15 1,9\n100 000 20 1,85'],
    [
      'wide gaps',
      'Speed    Flow      PR\n80 000   10   1.5\n80 000   15   1.48\n100 000  15   1.9\n100 000  20   1.85',
    ],
    [
      'headings with blanks and units',
      'Speed [rpm] Mass flow [lb/min] PR [-]\n80000 10 1.5\n80000 15 1.48\n100000 15 1.9\n100000 20 1.85',
    ],
    [
      'words that do not fit the columns',
      'Table 3, read by nobody\n80000 10 1,5\n80000 15 1,48\n100000 15 1,9\n100000 20 1,85',
    ],
  ])('a printed table: %s', (_, text) => {
    const table = read(text);
    expect(
      table.lines.map(({ speed, points }) => [
        speed,
        ...points.map((p) => `${p.flow} ${p.pressureRatio.replace(',', '.')}`),
      ]),
    ).toEqual(TWO);
    expect([table.problem, table.skipped]).toEqual([null, []]);
  });

  it('says that speeds of blade tips are none of the shaft', () => {
    const table = read('Tip speed (m/s),Flow (kg/s),PR\n250,0.08,1.5\n250,0.11,1.4\n310,0.1,1.9\n310,0.15,1.7');
    expect(table.problem).toMatch(/blade tips.*60 u\/\(π d\)/);
  });

  it('points between thousands where a comma is the decimal sign', () => {
    const table = read('n [1/min];V [m³/h];pi\n80.000;250,5;1,5\n80.000;330;1,48\n100.000;360;1,9\n100.000;480;1,85');
    expect(table.lines.map(({ speed }) => speed)).toEqual(['80000', '100000']);
    expect([table.flowUnit, table.speedsInPercent]).toEqual(['m3/h', false]);
  });
});

describe('flow units in headings', () => {
  it.each([
    ['corrected_flow_lbm_per_s', 'lb/s'],
    ['Flow [lb/min]', 'lb/min'],
    ['Wc (kg/s)', 'kg/s'],
    ['mass flow g/s', 'g/s'],
    ['Volume flow m³/s', 'm3/s'],
    ['V m^3/h', 'm3/h'],
    ['CFM', 'cfm'],
    ['flow', null],
  ])('%s', (heading, unit) => expect(flowUnitIn(heading)).toBe(unit));
});

describe('any sheet, written as a table', () => {
  const cell = fc.integer({ min: 20, max: 900 }).map((n) => n / 1000);
  const sheet = fc.array(
    fc.array(fc.tuple(cell, fc.integer({ min: 110, max: 450 }), fc.integer({ min: 40, max: 85 })), {
      minLength: 2,
      maxLength: 8,
    }),
    { minLength: 2, maxLength: 9 },
  );
  it('is read back the same for any order of columns, separator and decimal sign', () => {
    fc.assert(
      fc.property(
        sheet,
        fc.shuffledSubarray([0, 1, 2, 3], { minLength: 4 }),
        fc.constantFrom('\t', ';'),
        fc.boolean(),
        (lines, order, sep, comma) => {
          const sorted = lines.map((points) => [...points].sort((a, b) => a[0] - b[0]));
          const text = (n: number, d: number) => (comma ? n.toFixed(d).replace('.', ',') : n.toFixed(d));
          const names = ['speed', 'flow kg/s', 'pressure ratio', 'efficiency'];
          const rows = sorted.flatMap((points, i) =>
            points.map(([f, r, e]) => [String(60000 + 10000 * i), text(f, 3), text(r / 100, 2), text(e / 100, 2)]),
          );
          const table = read([names, ...rows].map((row) => order.map((k) => row[k]).join(sep)).join('\r\n'));
          expect(table.problem).toBeNull();
          expect(table.lines).toEqual(
            sorted.map((points, i) => ({
              speed: String(60000 + 10000 * i),
              points: points.map(([f, r, e]) => ({
                flow: text(f, 3),
                pressureRatio: text(r / 100, 2),
                efficiency: text(e / 100, 2),
              })),
            })),
          );
        },
      ),
      { numRuns: 300 },
    );
  });
});

describe('islands of one paste', () => {
  const islands = (text: string, draft = emptyMap('m')) =>
    pastedIslands(draft, splitTable(text))?.map(({ efficiency, closed, points }) => [
      efficiency,
      closed,
      ...points.map((p) => `${p.flow} ${p.pressureRatio}`),
    ]);
  const RING = ['0.10 1.5', '0.12 1.6', '0.11 1.7', '0.10 1.5'];
  const EDGE = ['0.08 1.4', '0.15 1.45', '0.16 1.9'];
  const rows = (value: string, points: string[]) => points.map((point) => `${value}\t${point.replace(' ', '\t')}`);
  const under = (head: string, points: string[]) => [head, ...points.map((point) => point.replace(' ', '\t'))];

  it.each([
    ['columns', [...rows('0.74', RING), ...rows('0.70', EDGE)].join('\n')],
    ['blocks under their efficiencies', [...under('0.74', RING), '', ...under('0.70', EDGE)].join('\n')],
    ['blocks under words', [...under('eta = 0.74', RING), ...under('eta = 0.70', EDGE)].join('\n')],
  ])('%s', (_, text) => {
    const fraction = { ...emptyMap('m'), efficiencyUnit: '1' as const };
    expect(islands(text, fraction)).toEqual([
      ['0.74', true, ...RING],
      ['0.70', false, ...EDGE],
    ]);
  });

  it('is brought to the unit of the map', () => {
    const text = [...under('74 %', RING), ...under('70 %', EDGE)].join('\n');
    expect(islands(text, { ...emptyMap('m'), efficiencyUnit: '1' })?.map(([value]) => value)).toEqual(['0.74', '0.7']);
    expect(islands(text, { ...emptyMap('m'), efficiencyUnit: '%' })?.map(([value]) => value)).toEqual(['74', '70']);
  });

  it('is none of two columns, nor of rows that cannot be read', () => {
    expect(islands('0.1\t1.5\n0.12\t1.6')).toBeUndefined();
    expect(islands('0.74\t0.1\t1.5\n0.74\tx\t1.6\n0.74\t0.12\t1.6')).toBeUndefined();
  });
});
