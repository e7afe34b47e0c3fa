import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { auditDraft, draftToSheet, emptyMap, fitDraft, type MapDraft, sheetToDraft } from '../../../src/build/index.ts';
import {
  placeOnPlot,
  removeIsland,
  removeLine,
  setEfficiencyUnit,
  sortAlong,
  sortLines,
  sortPoints,
  surgeLineFromLines,
} from '../../../src/views/maps/editDraft.ts';
import { fromAllRows, toAllRows } from '../../../src/views/maps/LinesPanel.tsx';
import { cellMarks } from '../../../src/views/maps/PointGrid.tsx';
import { splitTable } from '../../../src/views/maps/paste/cells.ts';
import { isMapTable, readMapTable } from '../../../src/views/maps/paste/readMapTable.ts';
import { alignPasted, pastedFlowFactor, takePaste } from '../../../src/views/maps/paste/takePaste.ts';
import { countWords, findingList } from '../../../src/views/maps/SheetPicture.tsx';
import { commonReferences, matchingReference } from '../../../src/views/maps/sheetFields.tsx';
import { compressorPaste, fitQuality, fitWords, sheetChart } from '../../../src/views/maps/sheetKinds/compressor.tsx';
import { nasaSheet, readSheet } from '../../compressor/audit-sheets.ts';
import { MACHINES } from '../../machines/analytic-compressor.ts';

const good = (): MapDraft => sheetToDraft(readSheet(MACHINES[2]!, {}), 'good');
const withLines = (...lines: [string, [string, string, string][]][]): MapDraft => ({
  ...emptyMap('m'),
  reference: { temperature: { text: '25', unit: 'degC' }, pressure: { text: '100', unit: 'kPa' } },
  speedLines: lines.map(([speed, points]) => ({
    speed,
    points: points.map(([flow, pressureRatio, efficiency]) => ({ flow, pressureRatio, efficiency })),
  })),
});

describe('order', () => {
  it('of lines is by speed, unnamed ones last; sorted lines are the same object', () => {
    const draft = withLines(['90 000', []], ['', []], ['1e5', []], ['85000', []]);
    expect(sortLines(draft).speedLines.map((l) => l.speed)).toEqual(['85000', '90 000', '1e5', '']);
    const sorted = sortLines(draft);
    expect(sortLines(sorted)).toBe(sorted);
  });
  it('of points: rows that cannot be read stay, behind the others', () => {
    const draft = withLines([
      '90000',
      [
        ['0.12', '1.2', ''],
        ['x', '1.3', ''],
        ['0.05', '1.42', ''],
        ['0.09', '1.38', ''],
        ['0.07', '1.41', ''],
        ['0.11', '1.3', ''],
      ],
    ]);
    expect(sortPoints(draft).speedLines[0]!.points.map((p) => p.flow)).toEqual([
      '0.05',
      '0.07',
      '0.09',
      '0.11',
      '0.12',
      'x',
    ]);
  });
  it("puts NASA's scattered near-vertical choke in falling pressure ratio", () => {
    for (const line of nasaSheet().speedLines) {
      const { sorted } = sortAlong(
        line.points,
        (p) => p.flow,
        (p) => p.pressureRatio,
      );
      const steep = sorted.slice(-5).map((p) => p.pressureRatio);
      expect(steep).toEqual([...steep].sort((a, b) => b - a));
    }
  });
  it('leaves a line that is in order in either direction as it stands', () => {
    const line = readSheet(MACHINES[0]!, {}).speedLines[3]!.points;
    for (const points of [line, [...line].reverse()]) {
      expect(
        sortAlong(
          points,
          (p) => p.flow,
          (p) => p.pressureRatio,
        ),
      ).toEqual({ sorted: points, changed: false });
    }
  });
});

describe('the table of all lines', () => {
  const text = fc.constantFrom('', '1', '0,5', '1.42');
  const point = fc.record({ flow: text, pressureRatio: text, efficiency: text });
  const lines = fc.array(
    fc.record({
      speed: fc.constantFrom('', '90000', '100 000', '120000'),
      points: fc.array(point, { minLength: 1, maxLength: 4 }),
    }),
    { minLength: 1, maxLength: 5 },
  );
  it('gives the lines back that it was made of', () => {
    fc.assert(
      fc.property(lines, (speedLines) => {
        const draft = { ...emptyMap('m'), speedLines };
        expect(fromAllRows(draft, toAllRows(draft).rows).speedLines).toEqual(speedLines);
      }),
    );
  });
  it('keeps every row when any one cell is typed into', () => {
    fc.assert(
      fc.property(
        lines,
        fc.nat(),
        fc.constantFrom('speed', 'flow', 'pressureRatio', 'efficiency'),
        (speedLines, n, key) => {
          const draft = { ...emptyMap('m'), speedLines };
          const { rows } = toAllRows(draft);
          const at = n % rows.length;
          const typed = rows.map((row, i) => (i === at ? { ...row, [key]: '7' } : row));
          const next = toAllRows(fromAllRows(draft, typed)).rows;
          expect(next.map((r) => [r.flow, r.pressureRatio, r.efficiency])).toEqual(
            typed.map((r) => [r.flow, r.pressureRatio, r.efficiency]),
          );
          expect(next[at]![key as 'flow']).toBe('7');
        },
      ),
    );
  });
});

describe('efficiency unit', () => {
  it('brings fractions to percent and back, keeps the comma, leaves what is in the new unit already', () => {
    const draft = {
      ...withLines([
        '90000',
        [
          ['1', '2', '0,675'],
          ['1', '2', '70'],
          ['1', '2', 'x'],
          ['1', '2', ''],
        ],
      ]),
      efficiencyUnit: '1' as const,
    };
    const percent = setEfficiencyUnit(draft, '%');
    expect(percent.speedLines[0]!.points.map((p) => p.efficiency)).toEqual(['67,5', '70', 'x', '']);
    expect(setEfficiencyUnit(percent, '1').speedLines[0]!.points.map((p) => p.efficiency)).toEqual([
      '0,675',
      '0.7',
      'x',
      '',
    ]);
    expect(setEfficiencyUnit(draft, '1')).toBe(draft);
  });
});

describe('removing', () => {
  it('the last line leaves an empty one to type into; the last island leaves none', () => {
    expect(removeLine(withLines(['90000', []]), 0).speedLines).toEqual([
      { speed: '', points: [{ flow: '', pressureRatio: '', efficiency: '' }] },
    ]);
    expect(removeLine(good(), 99)).toEqual(good());
    expect(removeIsland({ ...good(), islands: [{ efficiency: '70', closed: true, points: [] }] }, 0).islands).toEqual(
      [],
    );
  });
});

describe('surge line from the lines', () => {
  it('is the point of least flow of every line, lowest speed first, as typed', () => {
    const draft = withLines(
      [
        '90000',
        [
          ['0,08', '1,4', ''],
          ['0,05', '1,42', ''],
        ],
      ],
      ['70000', [['0.04', '1.2', '']]],
      ['', [['0.01', '1.1', '']]],
    );
    expect(surgeLineFromLines(draft).surgeLine).toEqual([
      { flow: '0.04', pressureRatio: '1.2' },
      { flow: '0,05', pressureRatio: '1,42' },
    ]);
  });
});

describe('taking a pasted table over', () => {
  const table = (text: string) => readMapTable(splitTable(text), { usualFlowUnit: 'kg/s', form: compressorPaste });
  const pounds = table(
    'rpm\tflow lb/min\tPR\teff\n90000\t10\t1.4\t70\n90000\t15\t1.3\t68\n110000\t14\t1.8\t71\n110000\t20\t1.6\t69',
  );
  it('into an empty map: the table gives the units', () => {
    const next = takePaste(emptyMap('m'), pounds, 'replace') as MapDraft;
    expect([next.flowUnit, next.efficiencyUnit]).toEqual(['lb/min', '%']);
    expect(next.speedLines[0]!.points[0]).toEqual({ flow: '10', pressureRatio: '1.4', efficiency: '70' });
  });
  it('beside lines in kg/s and fractions: brought to them (10 lb/min = 0.0755987 kg/s)', () => {
    const draft = {
      ...withLines([
        '70000',
        [
          ['0.05', '1.2', '0.7'],
          ['0.08', '1.1', '0.65'],
        ],
      ]),
      efficiencyUnit: '1' as const,
    };
    const next = takePaste(draft, pounds, 'add') as MapDraft;
    expect(next.speedLines).toHaveLength(3);
    expect(Number(next.speedLines[1]!.points[0]!.flow)).toBeCloseTo((10 * 0.45359237) / 60, 8);
    expect(next.speedLines[1]!.points[0]!.efficiency).toBe('0.7');
  });
  it('of volume flow beside mass flow needs the reference state, and says so', () => {
    const volume = table('rpm\tflow cfm\tPR\n90000\t100\t1.4\n90000\t150\t1.3\n110000\t140\t1.8\n110000\t200\t1.6');
    const unreferred = { ...withLines(['70000', [['0.05', '1.2', '']]]), reference: emptyMap('m').reference };
    expect(takePaste(unreferred, volume, 'add')).toMatch(/reference state is needed/);
    const referred = takePaste(withLines(['70000', [['0.05', '1.2', '']]]), volume, 'add') as MapDraft;
    // 100 ft3/min of air at 25 °C and 100 kPa: 0.0471947 m3/s x 1.16844 kg/m3 (100000 / (287.05 x 298.15)).
    expect(Number(referred.speedLines[1]!.points[0]!.flow)).toBeCloseTo(0.0471947 * 1.16844, 6);
  });
  it('is offered for whole tables, not for a few columns', () => {
    expect(isMapTable('rpm\tflow\tPR\n90000\t0.1\t1.4\n90000\t0.2\t1.3', compressorPaste)).toBe(true);
    expect(isMapTable('0.1\t1.4\t0.7\n0.2\t1.3\t0.68\n0.3\t1.2\t0.6', compressorPaste)).toBe(false);
    expect(isMapTable('hello', compressorPaste)).toBe(false);
  });
});

describe('a block pasted into a table of points', () => {
  it('goes by its heading', () => {
    expect(
      alignPasted(
        [
          ['PR', 'η', 'Flow'],
          ['1.4', '70', '0.1'],
        ],
        ['flow', 'ratio', 'efficiency'],
        compressorPaste,
      ),
    ).toEqual([['0.1', '1.4', '70']]);
  });
  it('is brought to the flow unit of the map', () => {
    const rows = [
      ['Flow (lb/min)', 'PR'],
      ['6,4', '1,3'],
    ];
    // Exact definition: 1 lb = 0.45359237 kg; 6.4 lb/min is 0.048383186 kg/s.
    const [row] = alignPasted(rows, ['flow', 'ratio'], compressorPaste, (unit) => pastedFlowFactor(good(), unit)) ?? [];
    expect(row).toEqual(['0.048383186', '1,3']);
    const own = alignPasted(
      [
        ['Flow kg/s', 'PR'],
        ['0.0480', '1.3'],
      ],
      ['flow', 'ratio'],
      compressorPaste,
      (unit) => pastedFlowFactor(good(), unit),
    );
    expect(own).toEqual([['0.0480', '1.3']]);
  });
  it('stays as it is without one', () => {
    expect(alignPasted([['0.1', '1.4']], ['flow', 'ratio'], compressorPaste)).toBeNull();
  });
});

describe('reference states', () => {
  it('are recognised whatever unit they are typed in', () => {
    expect(
      matchingReference({ temperature: { text: '298.15', unit: 'K' }, pressure: { text: '1', unit: 'bar' } }),
    ).toBe('25 °C, 100 kPa');
    expect(
      matchingReference({ temperature: { text: '59', unit: 'degF' }, pressure: { text: '29.921', unit: 'inHg' } }),
    ).toBe('15 °C, 101.325 kPa');
    expect(
      matchingReference({ temperature: { text: '24', unit: 'degC' }, pressure: { text: '100', unit: 'kPa' } }),
    ).toBeNull();
    expect(matchingReference(emptyMap('m').reference)).toBeNull();
  });
  it('545 °R and 28.4 inHg are 302.778 K and 96,173 Pa (published pair, older US sheets)', () => {
    const older = commonReferences.find((c) => c.name.includes('545 °R'))!;
    const reading = draftToSheet({ ...good(), reference: older.reference });
    expect(reading.ok && reading.sheet.reference.temperatureK).toBeCloseTo(302.778, 1);
    expect(reading.ok && reading.sheet.reference.pressurePa).toBeCloseTo(96173.4, -1);
  });
});

describe('the plot of a sheet', () => {
  it('shows fitted lines over every entered point of the lines and the surge line', () => {
    const draft = good();
    const chart = sheetChart(draft, fitDraft(draft), false);
    expect(chart.speedLines.filter((l) => l.kind === 'entered')).toHaveLength(8);
    expect(chart.sheetPoints).toHaveLength(8 * 9 + 8);
    expect(chart.ratedSpeedLine?.label).toMatch(/^limit /);
  });
  it('speaks of reference state and wheel in the units of their fields', () => {
    const draft = good();
    const words = (changes: Partial<MapDraft>) => auditDraft({ ...draft, ...changes }).map(({ message }) => message);
    const typed = ([text, unit]: [string, string]) => ({ text, unit });
    const odd = (temperature: [string, string], pressure: [string, string]) =>
      words({ reference: { temperature: typed(temperature), pressure: typed(pressure) } }).join(' ');
    // By hand: 288 and 303 K are 58.7 and 85.7 °F; 95 and 102 kPa are 28.05 and 30.12 inHg (3386.389 Pa each, NIST SP 811, B.8).
    const us = odd(['200', 'degF'], ['40', 'inHg']);
    expect(us).toContain('The reference temperature 200.0 °F is unusual; sheets use 59 to 86 °F.');
    expect(us).toContain('The reference pressure 40 inHg is unusual; sheets use 28.1 to 30.1 inHg.');
    const metric = odd(['366.48', 'K'], ['135.46', 'kPa']);
    expect(metric).toContain('The reference temperature 366.48 K (93.3 °C) is unusual; sheets use 288 to 303 K.');
    expect(metric).toContain('The reference pressure 135.46 kPa is unusual; sheets use 95 to 102 kPa.');
    const wheel = (inducer: string, exducer: string, unit: string) =>
      words({ wheel: { inducer: { text: inducer, unit }, exducer: { text: exducer, unit } } }).join(' ');
    expect(wheel('2.5', '2', 'in')).toContain('The inducer 2.500 in is not smaller than the exducer 2.000 in.');
    // 1 in is 25.4 mm: the same map in other units says so at once.
    expect(wheel('63.5', '50.8', 'mm')).toContain('The inducer 63.5 mm is not smaller than the exducer 50.8 mm.');
  });

  it('says once that there are too few lines', () => {
    const draft = good();
    const findings = auditDraft({ ...draft, speedLines: draft.speedLines.slice(0, 1) });
    expect(findings.filter(({ code }) => code === 'too-few-lines')).toHaveLength(1);
  });
  it('says how far the fit stands off what was entered, worst point first', () => {
    const fit = fitDraft(good());
    // A surface that answers 0.2 % fast and 0.4 points low everywhere but right at one line.
    const surface = {
      ...fit.surface!,
      at: (flow: number, ratio: number) => {
        const line = fit.sheet!.speedLines.find((l) =>
          l.points.some((p) => p.flow === flow && p.pressureRatio === ratio),
        )!;
        const point = line.points.find((p) => p.flow === flow)!;
        const off = line.speedRpm === fit.sheet!.speedLines[0]!.speedRpm ? 0 : 1;
        return {
          region: 'inside' as const,
          correctedSpeedRpm: line.speedRpm * (1 + 0.002 * off),
          efficiency: point.efficiency! - 0.004 * off,
          beta: 0.5,
          extended: false,
        };
      },
    };
    const quality = fitQuality({ ...fit, surface })!;
    expect(quality.points).toBe(72);
    expect(quality.speed).toBeCloseTo(0.002, 9);
    expect(quality.efficiency).toBeCloseTo(0.004, 9);
    expect(fitWords(quality)).toBe('Fitted through 72 points: speed within 0.20 %, efficiency within 0.4 points');
    expect(fitQuality({ ...fit, surface: null })).toBeNull();
  });
  it('of an unfit map shows its points, joined, on an axis in its own unit', () => {
    const draft = {
      ...withLines([
        '90000',
        [
          ['10', '1.4', ''],
          ['15', '1.3', ''],
        ],
      ]),
      flowUnit: 'lb/min' as const,
      reference: emptyMap('m').reference,
    };
    const chart = sheetChart(draft, fitDraft(draft), false);
    expect(chart.speedLines.map((l) => [l.label, l.points.length])).toEqual([['90\u202f000', 2]]);
    expect(chart.extent.maxFlowKgPerS * chart.flowAxis.perKgPerS).toBeCloseTo(15, 9);
  });
  it('puts a place of the tables where its point is', () => {
    const draft = withLines([
      '90000',
      [
        ['0.05', '1.42', ''],
        ['x', '1.3', ''],
      ],
    ]);
    expect(placeOnPlot(draft, { part: 'speed-line', line: 0, point: 0 })).toEqual({
      correctedMassFlowKgPerS: 0.05,
      pressureRatio: 1.42,
    });
    expect(placeOnPlot(draft, { part: 'speed-line', line: 0, point: 1 })).toBeNull();
    expect(placeOnPlot(draft, { part: 'reference' })).toBeNull();
  });
});

describe('findings', () => {
  const finding = (n: number) => ({
    severity: 'warning' as const,
    code: 'entry-left-out',
    message: `The 90000 line, point ${n}: the efficiency '74' is not a number`,
    place: { part: 'speed-line' as const, line: 0, point: n },
    column: 'efficiency' as const,
  });
  it('of one kind are gathered from the fourth on, none is lost', () => {
    const many = Array.from({ length: 40 }, (_, i) => finding(i));
    const listed = findingList(many);
    expect(listed).toHaveLength(3);
    expect(listed.length + listed.reduce((n, l) => n + l.others.length, 0)).toBe(40);
    expect(countWords(many)).toBe('40 warnings');
  });
  it('mark the cell that they are about', () => {
    const marks = cellMarks([finding(2)], ['flow', 'pressureRatio', 'efficiency'], (place) =>
      'point' in place ? (place.point ?? null) : null,
    );
    expect(marks).toEqual([expect.objectContaining({ row: 2, column: 2, severity: 'warning' })]);
  });
});
