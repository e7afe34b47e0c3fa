import { describe, expect, test } from 'vitest';
import { demoBuild } from '../../src/build/demo.ts';
import type { Build, BuildPath, FieldValue, MapDraft } from '../../src/build/index.ts';
import {
  auditDraft,
  defaultBuild,
  emptyMap,
  fitDraft,
  type MapFitter,
  toMatchInput,
  tryMatchInput,
  withBuildField,
} from '../../src/build/index.ts';
import { BuildProblems } from '../../src/build/toMatchInput.ts';
import { solveOperatingLine } from '../../src/match/index.ts';
import { buildWithMap } from './anyChange.ts';
import { tinyDraft } from './tinyMap.ts';

const base = buildWithMap('b');
const typed = (text: string, unit: string) => ({ text, unit });

function withFields(build: Build, ...fields: readonly [BuildPath, unknown][]): Build {
  return fields.reduce((b, [path, value]) => withBuildField(b, path, value as FieldValue<typeof path>), build);
}

function problemsOf(build: Build, index = 0) {
  const result = tryMatchInput(build, index);
  return result.ok ? [] : result.problems;
}

describe('what is typed, in SI', () => {
  test('US units: each factor as published', () => {
    const build = withFields(
      base,
      // 1 in = 25.4 mm, 1 lb = 0.45359237 kg exactly; 1 psi = 6894.757 Pa; 1 hp = 745.6999 W (NIST SP 811, appendix B.8).
      ['engine.displacement', typed('122', 'in3')],
      ['engine.bsfc', { unit: 'lb/(hp h)', rows: [{ engineSpeed: '3,000', value: '0.50' }] }],
      ['goal.curves.gauge-boost', { unit: 'psi', rows: [{ engineSpeed: '3000', value: '15' }] }],
      ['air.altitude', typed('5000', 'ft')],
      ['air.temperature', typed('68', 'degF')],
      ['inletPath.loss', typed('10', 'inH2O')],
      ['inletPath.atFlow', typed('40', 'lb/min')],
      ['inletPath.heating', typed('18', 'degF')],
    );
    const input = toMatchInput(build, 0);
    expect(input.engine.displacementM3).toBeCloseTo(122 * 1.6387064e-5, 12);
    // 0.5 lb/(hp h) = 0.5 x 608.277 g/kWh (NIST SP 811: 1 lb/(hp h) = 1.689659e-7 kg/J).
    expect((input.engine.bsfcKgPerJ[0]?.value ?? 0) / (0.5 * 1.689659e-7)).toBeCloseTo(1, 6);
    expect(input.engine.bsfcKgPerJ[0]?.engineSpeedRpm).toBe(3000);
    expect(input.goal.curve[0]?.value).toBeCloseTo(15 * 6894.757, 1);
    // U.S. Standard Atmosphere 1976 at 5,000 ft: 12.228 psia = 84,307 Pa.
    expect(input.ambient.pressurePa).toBeCloseTo(84307.3, 0);
    expect(input.ambient.temperatureK).toBeCloseTo(293.15, 9);
    expect(input.inletPath.lossPa).toBeCloseTo(2490.889, 2);
    expect(input.inletPath.atMassFlowKgPerS).toBeCloseTo(40 * 0.00755987283, 9);
    expect(input.inletPath.heatingK).toBeCloseTo(10, 12);
  });

  test('metric with decimal comma and point gives the same input', () => {
    const withComma = withFields(
      base,
      ['engine.displacement', typed('1,95', 'L')],
      ['air.temperature', typed('20,5', 'degC')],
    );
    const withPoint = withFields(
      base,
      ['engine.displacement', typed('1.95', 'L')],
      ['air.temperature', typed('20.5', 'degC')],
    );
    expect(toMatchInput(withComma, 0)).toEqual(toMatchInput(withPoint, 0));
  });

  test('humidity: vapour mole fraction at 20 degC, 50 %, 101,325 Pa', () => {
    // pv = 1169.40 Pa (ASHRAE Fundamentals as computed by psychrolib 1.1.1), so x = 1169.40 / 101325.
    const { ambient } = toMatchInput(withFields(base, ['air.temperature', typed('20', 'degC')]), 0);
    expect(ambient.vapourMoleFraction / (1169.4 / 101325)).toBeCloseTo(1, 4);
  });

  test('the three kinds of barometer', () => {
    const at = (kind: string, pressure: string, altitude: string) =>
      tryMatchInput(
        withFields(
          base,
          ['air.altitude', typed(altitude, 'm')],
          ['air.barometer.kind', kind],
          ['air.barometer.pressure', typed(pressure, 'hPa')],
        ),
        0,
      );
    const pressure = (result: ReturnType<typeof at>) => (result.ok ? result.input.ambient.pressurePa : Number.NaN);
    // ICAO Doc 7488 relation: a report of 1030 hPa at 1,524 m is 857.509 hPa on site.
    expect(pressure(at('weather-report', '1030', '1524'))).toBeCloseTo(85750.9, 0);
    expect(pressure(at('read-on-site', '850', '1524'))).toBe(85000);
    // The pressure is not looked at with the standard atmosphere; at 1,500 m that is 84,556.0 Pa (ISO 2533).
    expect(pressure(at('standard', 'unread', '1500'))).toBeCloseTo(84556, 0);
    const mixedUp = at('read-on-site', '1016', '1500');
    expect(mixedUp.ok && mixedUp.notes).toMatchObject([{ path: 'air.barometer.pressure' }]);
  });

  test('coolers: none, air with its recovery rise, water, falling with flow', () => {
    const cooler = (...fields: [BuildPath, unknown][]) =>
      toMatchInput(withFields(base, ...fields), 0).chargePath.cooler;
    expect(cooler(['chargePath.cooler.kind', 'none'])).toEqual({ kind: 'none' });
    expect(cooler()).toEqual({ kind: 'cooler', medium: 'air', effectiveness: 0.75, coolantTemperatureK: 298.15 });
    const water = cooler(['chargePath.cooler.kind', 'water'], ['chargePath.cooler.falling', true]);
    expect(water).toEqual({
      kind: 'cooler',
      medium: 'water',
      effectiveness: 0.75,
      effectivenessAtFlow: [
        { massFlowKgPerS: 0.1, effectiveness: 0.75 },
        { massFlowKgPerS: 0.25, effectiveness: 0.68 },
      ],
      coolantTemperatureK: 318.15,
    });
  });

  test('engine speeds go from the lowest to the highest, the highest always among them', () => {
    const speeds = (from: string, to: string, step: string) =>
      toMatchInput(
        withFields(
          base,
          ['engineSpeeds.from', typed(from, 'rpm')],
          ['engineSpeeds.to', typed(to, 'rpm')],
          ['engineSpeeds.step', typed(step, 'rpm')],
        ),
        0,
      ).engineSpeedsRpm;
    expect(speeds('2000', '3000', '500')).toEqual([2000, 2500, 3000]);
    expect(speeds('2000', '3100', '500')).toEqual([2000, 2500, 3000, 3100]);
    expect(speeds('2000', '2000', '500')).toEqual([2000]);
    expect(speeds('1000', '1003', '1.5')).toEqual([1000, 1001.5, 1003]);
  });

  test('limits: empty is no limit; the candidate’s shaft speed goes before the map’s', () => {
    const input = toMatchInput(base, 0);
    expect(input.limits).toEqual({
      shaftSpeedReserve: 0.03,
      surgeMargin: 0.1,
      chokeMargin: 0.05,
      shaftSpeedRpm: 160000,
    });
    const [first, ...others] = base.candidates;
    if (first === undefined) throw new Error('a candidate expected');
    const own = { ...base, candidates: [{ ...first, shaftSpeedLimit: typed('150', 'krpm') }, ...others] };
    expect(toMatchInput(own, 0).limits.shaftSpeedRpm).toBe(150000);
  });

  test('a fuel supply is handed over only when it is to be checked', () => {
    expect(toMatchInput(base, 0).engine.fuelSupply).toBeUndefined();
    const supply = toMatchInput(demoBuild(), 0).engine.fuelSupply;
    expect(supply).toMatchObject({ injectorCount: 4, railReference: 'ambient', railPressurePa: 150e5 });
    expect(supply?.dutyLimit).toBeCloseTo(0.35, 12);
    expect(supply?.injectorFlowM3PerS).toBeCloseTo(980e-6 / 60, 12);
  });
});

describe('what stands in the way is named with its path', () => {
  test.each<[string, BuildPath, unknown, string]>([
    ['an empty field', 'engine.displacement', typed('', 'L'), 'The displacement is missing. Enter it.'],
    ['an unreadable text', 'air.altitude', typed('high', 'm'), "'high'"],
    ['an unknown unit', 'air.altitude', typed('5', 'furlong'), "'furlong'"],
    ['out of range, bounds in the unit of the field', 'air.altitude', typed('30000', 'ft'), '19\u202f685'],
    ['a humidity over 100 %', 'air.relativeHumidity', typed('140', '%'), 'between 0'],
    ['engine speeds the wrong way round', 'engineSpeeds.to', typed('1000', 'rpm'), 'below the lowest'],
    ['a step that gives thousands of points', 'engineSpeeds.step', typed('1', 'rpm'), 'larger one'],
  ])('%s', (_name, path, value, words) => {
    const found = problemsOf(withFields(base, [path, value]));
    expect(found).toHaveLength(1);
    expect(found[0]?.message).toContain(words);
    expect(found[0]?.path).toBe(path);
  });

  test('all of them at once, and thrown as one typed error by the door', () => {
    const build = withFields(base, ['engine.displacement', typed('', 'L')], ['air.temperature', typed('warm', 'degC')]);
    expect(problemsOf(build).map(({ path }) => path)).toEqual(['engine.displacement', 'air.temperature']);
    expect(() => toMatchInput(build, 0)).toThrow(BuildProblems);
    try {
      toMatchInput(build, 0);
    } catch (error) {
      expect((error as BuildProblems).problems).toEqual(problemsOf(build));
    }
  });

  test('a curve row that cannot be read is left out with a note while another row remains', () => {
    const rows = [
      { engineSpeed: '2000', value: '0.9' },
      { engineSpeed: '3000', value: '' },
      { engineSpeed: '', value: '' },
      { engineSpeed: '6000', value: '0.8' },
      { engineSpeed: '1000', value: '0.95' },
    ];
    const result = tryMatchInput(withFields(base, ['engine.lambda', { unit: '1', rows }]), 0);
    expect(result.ok && result.input.engine.lambda).toEqual([
      { engineSpeedRpm: 1000, value: 0.95 },
      { engineSpeedRpm: 2000, value: 0.9 },
      { engineSpeedRpm: 6000, value: 0.8 },
    ]);
    expect(result.notes.map(({ path }) => path)).toEqual(['engine.lambda.rows[1].value']);
    expect(problemsOf(withFields(base, ['engine.lambda', { unit: '1', rows: [] }]))[0]?.path).toBe('engine.lambda');
  });

  test('no candidate, no map, and a map that cannot be fitted', () => {
    expect(problemsOf(base, 7)[0]?.path).toBe('candidates[7]');
    expect(problemsOf(defaultBuild('x'))[0]).toMatchObject({ path: 'candidates[0].map' });
    const unfinished = buildWithMap('x', emptyMap('m', 'Unfinished'));
    expect(problemsOf(unfinished)[0]?.message).toContain('reference');
  });
});

describe('fitting', () => {
  const counting = () => {
    let fits = 0;
    const fitter: MapFitter = {
      fit: () => {
        fits += 1;
        return { ok: false, problems: [] };
      },
    };
    return { fitter, fits: () => fits };
  };

  test('the same tables are fitted once, whatever name they stand under; other tables again', () => {
    const { fitter, fits } = counting();
    const draft = tinyDraft('m');
    fitDraft(draft, fitter);
    fitDraft(draft, fitter);
    fitDraft({ ...draft, name: 'Renamed', id: 'other' }, fitter);
    expect(fits()).toBe(1);
    fitDraft({ ...draft, islands: [] }, fitter);
    expect(fits()).toBe(2);
  });

  test('places of findings count the rows of the tables, empty ones included', () => {
    const fitter: MapFitter = {
      fit: () => ({
        ok: false,
        problems: [{ severity: 'error', code: 'x', message: 'x', place: { part: 'speed-line', line: 0, point: 1 } }],
      }),
    };
    const draft = tinyDraft('m');
    const empty = { flow: '', pressureRatio: '', efficiency: '' };
    const [first, ...rest] = draft.speedLines;
    if (first === undefined) throw new Error('a line expected');
    const [p, ...points] = first.points;
    if (p === undefined) throw new Error('a point expected');
    const gaps: MapDraft = {
      ...draft,
      speedLines: [{ speed: '', points: [empty] }, { ...first, points: [p, empty, ...points] }, ...rest],
    };
    expect(fitDraft(gaps, fitter).problems[0]?.place).toEqual({ part: 'speed-line', line: 1, point: 2 });
  });
});

test('the demonstration: sound maps, and the smaller turbo runs out of speed up the mountain while the larger does not', () => {
  const at = (altitude: string, index: number) => {
    const build = withFields(demoBuild(), ['air.altitude', typed(altitude, 'm')]);
    const input = toMatchInput(build, index);
    const solved = solveOperatingLine(input).filter((point) => point.status === 'ok');
    expect(solved).toHaveLength(input.engineSpeedsRpm.length);
    return Math.min(...solved.map((point) => point.speedMargin ?? Number.NaN));
  };
  for (const { map } of demoBuild().candidates) {
    if (map === null) throw new Error('a map expected');
    expect(auditDraft(map).filter(({ severity }) => severity !== 'note')).toEqual([]);
    expect(map.invented).toBe(true);
  }
  expect(at('620', 0)).toBeGreaterThan(0.03);
  expect(at('2050', 0)).toBeLessThan(0);
  expect(at('2050', 1)).toBeGreaterThan(0.03);
});
