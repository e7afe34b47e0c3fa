import { describe, expect, it } from 'vitest';
import { auditTurbineSheet } from '../../src/turbine/index.ts';
import type { TurbineSheet } from '../../src/turbine/types.ts';
import { factoryTurbine, largerTurbine } from '../machines/demo-turbines.ts';
import { sheetOf } from './sheets.ts';
import { soundSheet } from './sound-sheet.ts';

type Point = TurbineSheet['lines'][number]['points'][number];

/** A sound sheet with one point changed. */
function changed(line: number, point: number, change: (p: Point) => Partial<Point>): TurbineSheet {
  const sheet = soundSheet();
  return {
    ...sheet,
    lines: sheet.lines.map((l, i) =>
      i === line ? { ...l, points: l.points.map((p, j) => (j === point ? { ...p, ...change(p) } : p)) } : l,
    ),
  };
}

const codes = (sheet: TurbineSheet) => auditTurbineSheet(sheet).map(({ code, path }) => `${code} ${path}`);

describe('the audit of a turbine sheet', () => {
  it('has nothing to say of sound sheets', () => {
    expect(auditTurbineSheet(soundSheet())).toEqual([]);
    expect(auditTurbineSheet(factoryTurbine())).toEqual([]);
    expect(auditTurbineSheet(largerTurbine())).toEqual([]);
  });

  it.each([
    [1, 3, 1.06],
    [0, 4, 0.94],
    [2, 0, 1.12],
    [3, 6, 1.12],
  ])('finds the one flow that is off (line %i, point %i, factor %f)', (line, point, factor) => {
    const found = codes(changed(line, point, ({ flow }) => ({ flow: flow * factor })));
    expect(found.filter((code) => code.startsWith('flow-off-curve'))).toEqual([
      `flow-off-curve lines[${line}].points[${point}].flow`,
    ]);
  });

  it('lets a flow pass that is off by the reading', () => {
    expect(codes(changed(1, 3, ({ flow }) => ({ flow: flow * 1.01 })))).toEqual([]);
  });

  it('says how far off, and what its neighbours have there', () => {
    const [remark] = auditTurbineSheet(changed(1, 3, ({ flow }) => ({ flow: flow * 1.06 })));
    expect(remark?.message).toMatch(
      /^Line 2, point 4: the flow is 5\.8 % above the curve of its neighbours, which has 0\.092 kg\/s there\./,
    );
  });

  it('finds flow that falls, with the place of the lower one', () => {
    const points = [1.3, 1.6, 2].map((expansionRatio, i) => ({ expansionRatio, flow: [0.1, 0.12, 0.117][i]! }));
    expect(codes(sheetOf([{ points }]))).toEqual(['flow-falls lines[0].points[2].flow']);
    const turned = [...points].reverse();
    expect(codes(sheetOf([{ points: turned }]))).toEqual(['flow-falls lines[0].points[0].flow']);
  });

  it('finds efficiencies over 0.9 and under 0.2, and ratios that no stage sees', () => {
    expect(codes(changed(0, 2, () => ({ efficiency: 0.93 })))).toEqual([
      'efficiency-doubtful lines[0].points[2].efficiency',
    ]);
    expect(codes(changed(0, 0, () => ({ efficiency: 0.12 })))).toEqual([
      'efficiency-doubtful lines[0].points[0].efficiency',
    ]);
    expect(codes(sheetOf([{ points: [{ expansionRatio: 8, flow: 0.1 }] }]))).toEqual([
      'ratio-high lines[0].points[0].expansionRatio',
    ]);
  });

  it('finds a speed out of order, whichever way the lines go', () => {
    const sheet = soundSheet();
    const lines = sheet.lines.map((line, i) => (i === 2 ? { ...line, speedRpm: 57_000 } : line));
    expect(codes({ ...sheet, lines })).toContain('speeds-unordered lines[2].speedRpm');
    expect(codes({ ...sheet, lines: [...sheet.lines].reverse() })).toEqual([]);
  });

  it('finds flows in the wrong unit by the area', () => {
    const sheet = soundSheet();
    expect(codes({ ...sheet, flow: { kind: 'parameter', pressureUnit: 'bar' } })).toContain('area-doubtful flow');
    expect(codes({ ...sheet, flow: { kind: 'parameter', pressureUnit: 'MPa' } })).toContain('area-doubtful flow');
  });

  it('leaves to the check what keeps a sheet from being fitted', () => {
    expect(auditTurbineSheet(changed(0, 0, () => ({ expansionRatio: 0.9 })))).toEqual([]);
    expect(auditTurbineSheet(sheetOf([]))).toEqual([]);
  });
});
