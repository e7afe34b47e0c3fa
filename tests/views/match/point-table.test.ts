import { describe, expect, it } from 'vitest';
import { resultUnits } from '../../../src/match/index.ts';
import { headline } from '../../../src/views/shared/candidateSummary.ts';
import { pointColumns, pointRows, pointTableText } from '../../../src/views/shared/pointTable.ts';
import { drivenPoint } from '../../match/solved-example.ts';
import { solvedExample } from './solved-point.ts';

const metric = resultUnits({});
const us = resultUnits({
  resultUnits: { pressure: 'psi', 'mass-flow': 'lb/min', temperature: 'degF', power: 'hp', torque: 'lbft' },
});
const columns = pointColumns({ checked: false });
const day = { ambientPressurePa: 101_325 };
const missing = {
  engineSpeedRpm: 2000,
  status: 'left-of-map' as const,
  message: 'Too little flow, "far" in surge.',
};

/** Reads RFC 4180 text with the grammar of the RFC itself, to see what a spreadsheet sees. */
function readCsv(text: string): string[][] {
  const fields = text.matchAll(/(?:"((?:[^"]|"")*)"|([^,\r\n]*))(,|\r\n)/g);
  const rows: string[][] = [[]];
  for (const [, quoted, bare, end] of fields) {
    rows.at(-1)!.push(quoted === undefined ? (bare ?? '') : quoted.replaceAll('""', '"'));
    if (end === '\r\n') rows.push([]);
  }
  return rows.slice(0, -1);
}

describe('the table of operating points', () => {
  it('shows gauge boost against the ambient of the day', () => {
    const rows = pointRows([solvedExample()], columns, day, metric);
    // 231.325 kPa absolute less 101.325 kPa.
    expect(rows[0]?.cells?.[columns.findIndex(({ key }) => key === 'boostPa')]).toBe('130');
  });

  it('names what the reader must know about a point', () => {
    const [row] = pointRows(
      [solvedExample({ region: 'above-top-line', extended: true, efficiencyAssumed: true })],
      columns,
      day,
      metric,
    );
    expect(row?.remark).toBe('above the top line, efficiency assumed');
  });

  it('gives a spreadsheet plain numbers under headings with units, and the reason of a missing point', () => {
    const rows = pointRows([missing, solvedExample()], columns, day, us);
    const [heading, first, second] = readCsv(pointTableText(rows, columns, us, 'csv'));
    expect(heading).toContain('Boost [psi]');
    expect(heading).toContain('Outlet temperature [°F]');
    expect(heading).toContain('Pressure ratio [-]');
    expect(first).toHaveLength(heading!.length);
    expect(first!.slice(0, 2)).toEqual(['2000', '']);
    expect(first!.at(-1)).toBe('Too little flow, "far" in surge.');
    const cell = (name: string) => Number(second![heading!.indexOf(name)]);
    // To four digits: no map is read more finely.
    expect(cell('Shaft speed [rpm]')).toBe(148_200);
    expect(cell('Surge margin [%]')).toBe(-2.1);
    // 130,000 Pa / 6894.757 Pa per psi (NIST SP 811, B.8).
    expect(cell('Boost [psi]')).toBeCloseTo(18.9, 1);
    // 413.15 K = 140 °C = 284 °F.
    expect(cell('Outlet temperature [°F]')).toBe(284);
    // 208,250 W / 745.6999 W per horsepower (NIST SP 811, B.8).
    expect(cell('Wheel power [hp]')).toBe(279);
  });

  it('copies one line a point with tabs between the cells', () => {
    const text = pointTableText(pointRows([missing, solvedExample()], columns, day, metric), columns, metric, 'tsv');
    const lines = text.replace(/\n$/, '').split('\n');
    expect(lines).toHaveLength(3);
    expect(new Set(lines.map((line) => line.split('\t').length))).toEqual(new Set([columns.length + 2]));
  });

  it('shows the turbine only where one is known, and says where the gate is shut', () => {
    expect(pointColumns({ checked: true }).some(({ key }) => key === 'wastegateShare')).toBe(false);
    const driven = pointColumns({ checked: true }, true);
    const keys = driven.map(({ key }) => key);
    expect(keys.slice(-5)).toEqual([
      'turbineInletPressurePa',
      'backPressureRatio',
      'expansionRatio',
      'wastegateShare',
      'injectorDuty',
    ]);
    const points = [drivenPoint(2000, -0.2), drivenPoint(4000, 0.243, { turbineInletPressurePa: 251_300 })];
    const rows = pointRows(points, driven, day, us);
    expect(rows.map(({ remark }) => remark)).toEqual(['turbine-limited', '']);
    const [heading, , second] = readCsv(pointTableText(rows, driven, us, 'csv'));
    const cell = (name: string) => Number(second![heading!.indexOf(name)]);
    // 251,300 Pa / 6894.757 Pa per psi (NIST SP 811, B.8) = 36.4.
    expect(cell('p3 absolute [psi]')).toBe(36.4);
    expect([cell('p3/p_m ratio [-]'), cell('Expansion ratio [-]'), cell('Wastegate flow fraction [%]')]).toEqual([
      1.18, 2.23, 24.3,
    ]);
  });

  it('leaves the cells of a turbine empty where it is not known', () => {
    const driven = pointColumns({ checked: false }, true);
    const [, first] = readCsv(pointTableText(pointRows([solvedExample()], driven, day, metric), driven, metric, 'csv'));
    expect(first!.slice(-5)).toEqual(['', '', '', '', '']);
  });

  it('shows injector duty only where the fuel supply is checked', () => {
    expect(columns.some(({ key }) => key === 'injectorDuty')).toBe(false);
    expect(pointColumns({ checked: true }).some(({ key }) => key === 'injectorDuty')).toBe(true);
  });
});

describe('headline numbers', () => {
  it('take each its own extreme over the line', () => {
    const points = [
      missing,
      solvedExample({
        engineSpeedRpm: 4000,
        torqueNm: 420,
        wheelPowerW: 150_000,
        shaftSpeedRpm: 130_000,
        speedMargin: 0.13,
        surgeMargin: 0.03,
      }),
      solvedExample({ surgeMargin: 0.2 }),
    ];
    const numbers = headline(points, metric).map(({ value, detail }) => `${value} ${detail}`.replaceAll('\u00a0', ' '));
    expect(numbers).toEqual([
      '208 kW at 6400 rpm',
      '420 N·m at 4000 rpm',
      '148\u202f200 rpm 1.2 % to limit',
      '3.0 % at 4000 rpm',
    ]);
  });

  it('say over the limit in words, and nothing where there is no point', () => {
    expect(headline([solvedExample({ speedMargin: -0.02 })], metric)[2]?.detail).toBe('2.0\u00a0% over limit');
    expect(headline([solvedExample({ speedMargin: null })], metric)[2]?.detail).toBe('no limit entered');
    expect(headline([missing], metric).map(({ value }) => value)).toEqual(['–', '–', '–', '–']);
  });
});
