import { describe, expect, it } from 'vitest';
import { demoBuild } from '../../../src/build/demo.ts';
import type { Assumption, AssumptionCode } from '../../../src/build/index.ts';
import { resultUnits } from '../../../src/match/index.ts';
import { assumptionWords } from '../../../src/views/shared/assumptions.ts';
import { filedWords } from '../../../src/views/sheet/model/filing.ts';
import { sheetRemarks } from '../../../src/views/sheet/model/sheetModel.ts';
import { wheelSheet } from '../../../src/views/sheet/model/turboSheet.ts';
import { sheetInput } from './sheetInput.ts';

const units = resultUnits({});
const plain = (text: string) => text.replaceAll('\u00a0', ' ');

const VALUES = {
  altitudeM: 620,
  heatingK: 5,
  effectiveness: 0.75,
  recoveryK: 5,
  share: 0.15,
  sizeRatio: 1.08,
  surgeFlowBand: 0.06,
  chokeFlowBand: 0.04,
  pressureRatioBand: 0.03,
  efficiencyBand: 0.02,
  correctedSpeedBand: 0.02,
  uncertaintyM: 5e-5,
  limitRpm: 172_000,
  efficiency: 0.7,
  points: 2,
  of: 19,
  fromRpm: 2000,
  toRpm: 2250,
  value: 0.89,
  band: 0.15,
  best: 0.72,
  optimum: 0.68,
  lowestK: 1150,
  highestK: 1250,
  backPressureRatio: 1,
  count: 2,
};
const NAMES = {
  fuel: 'petrol',
  donor: 'Larch 52',
  map: 'Larch 52',
  curve: 'volumetricEfficiency',
  branch: 'inlet, exhaust',
  shared: 'charge',
};

/** Every code; the compiler fails here when one is added. */
const CODES: Readonly<Record<AssumptionCode, true>> = {
  'steady-full-load': true,
  'no-turbine': true,
  'humidity-similarity': true,
  'engine-figures-entered': true,
  'standard-pressure': true,
  'weather-report-pressure': true,
  'inlet-heating': true,
  'cooler-constant': true,
  'cooler-recovery': true,
  'no-cooler': true,
  'driveline-loss': true,
  'fuel-preset': true,
  'fuel-supply-not-checked': true,
  'map-estimated': true,
  calipers: true,
  'limit-missing': true,
  'limit-from-map': true,
  'map-source-missing': true,
  'invented-data': true,
  'efficiency-assumed': true,
  'map-extended': true,
  'curve-held': true,
  'equal-turbos': true,
  'turbine-estimated': true,
  'turbine-extended': true,
  'turbine-efficiency-number': true,
  'turbine-efficiency-parabola': true,
  'turbine-temperature-estimated': true,
  'twin-scroll-steady': true,
  'breathing-corrected': true,
};

describe('the words of an assumption', () => {
  it.each(Object.keys(CODES) as AssumptionCode[])('%s is a sentence without a missing number', (code) => {
    const words = plain(assumptionWords({ kind: 'assumption', code, values: VALUES, names: NAMES }, units));
    expect(words).toMatch(/^[A-Z].+\.$/);
    expect(words).not.toMatch(/–|NaN|undefined|“”/);
  });

  it('are said once for both candidates, and with a letter where they concern one', () => {
    const one = (code: AssumptionCode, values = {}): Assumption => ({ kind: 'assumption', code, values, names: {} });
    const remarks = sheetRemarks(
      [
        { index: 0, assumptions: [one('no-turbine'), one('limit-from-map', { limitRpm: 172_000 })] },
        { index: 1, assumptions: [one('no-turbine'), one('limit-from-map', { limitRpm: 156_000 })] },
      ],
      units,
    );
    expect(remarks.map(({ letters }) => letters)).toEqual(['', 'A', 'B']);
  });
});

describe('the words of a filed sheet', () => {
  const { record } = sheetInput();
  const filed = (change: Partial<typeof record>) => {
    const build = { ...demoBuild(), filed: { ...record, dateText: '3 May 2026', ...change } };
    return filedWords(build, record, units);
  };

  it('never filed: nothing to say; the same: nothing has changed', () => {
    expect(filedWords(demoBuild(), record, units)).toBeNull();
    expect(filed({})).toMatchObject({ isSame: true, filed: 'Filed 3 May 2026, program 9.9.9.', details: [] });
  });

  it('another program with the same numbers says both', () => {
    const words = filed({ programVersion: '0.0.9' });
    expect(words?.isSame).toBe(false);
    expect(words?.verdict).toBe(
      'It was made by program 0.0.9; this is 9.9.9. Every number is the same to the last digit.',
    );
  });

  it('every number that is filed has a name', () => {
    for (const key of new Set(record.figures.map((figure) => figure.key))) {
      const figures = record.figures.map((f) => (f.key === key && f.value !== null ? { ...f, value: f.value + 1 } : f));
      expect(filed({ figures })?.details[0]).toMatch(/ was .+, is /);
    }
  });

  it('a number that moved is named with both values, and one that moved in hidden digits says so', () => {
    const at = record.figures.findIndex(({ key }) => key === 'pressureRatio');
    const moved = (factor: number) =>
      filed({
        figures: record.figures.map((f, i) => (i === at && f.value !== null ? { ...f, value: f.value * factor } : f)),
      });
    expect(plain(moved(1.1)?.details[0] ?? '')).toMatch(/^A, 2000 rpm: pressure ratio was 1\.22, is 1\.11\.$/);
    expect(moved(1 + 1e-7)?.details[0]).toContain('(in digits that are not printed)');
  });
});

describe('the wheels on the sheet', () => {
  it('give a shared unit once, with the title; and leave out what nobody measured', () => {
    const [a] = demoBuild().candidates;
    if (a === undefined) throw new Error('a candidate expected');
    const typed = (text: string) => ({ text, unit: 'mm' });
    const { compressor } = a.wheels;
    const measured = { ...compressor, inducer: typed('44,6'), exducer: typed('57.0'), tipHeight: typed('') };
    const none = { ...a.wheels.turbine, inducer: typed(''), exducer: typed(''), tipHeight: typed('') };
    const candidate = { ...a, wheels: { ...a.wheels, compressor: measured, turbine: none } };
    const sheet = wheelSheet([{ index: 0, candidate, figures: null }], resultUnits({}));
    expect(sheet.rows.find(({ title }) => title === 'Inducer, mm')?.cells).toEqual(['44,6', '–']);
    expect(sheet.rows.some(({ title }) => title.startsWith('Tip height'))).toBe(false);
  });

  it('gives speeds of tips in the unit that is chosen for them (1 ft is 0.3048 m, exact)', () => {
    const { candidates } = sheetInput();
    const measured = candidates.map(({ index, results, figures }) => ({
      index,
      candidate: results.candidate,
      figures,
    }));
    const rated = (system: 'metric' | 'us') => {
      const row = wheelSheet(measured, resultUnits({ system })).rows.find(({ title }) =>
        title.startsWith('Tip speed, rated'),
      );
      return [row?.title, Number(/^\d+/.exec(row?.cells[0] ?? '')?.[0])] as const;
    };
    const [[metricTitle, metresPerSecond], [usTitle, feetPerSecond]] = [rated('metric'), rated('us')];
    expect([metricTitle, usTitle]).toEqual(['Tip speed, rated, m/s', 'Tip speed, rated, ft/s']);
    expect(feetPerSecond / metresPerSecond).toBeCloseTo(1 / 0.3048, 1);
  });
});
