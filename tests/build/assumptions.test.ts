import { describe, expect, test } from 'vitest';
import { demoBuild } from '../../src/build/demo.ts';
import * as b from '../../src/build/index.ts';
import { findings, solveOperatingLine } from '../../src/match/index.ts';

function listed(build: b.Build, index: number): readonly b.Assumption[] {
  const input = b.toMatchInput(build, index);
  const points = solveOperatingLine(input);
  return b.assumptions(build, index, { input, points, findings: findings(points, input) });
}

const codes = (list: readonly b.Assumption[]) => list.map(({ code }) => code);
const find = (list: readonly b.Assumption[], code: b.AssumptionCode) => list.find((entry) => entry.code === code);

describe('what the numbers rest on', () => {
  test('of the demonstration build: invented map, standard pressure, limit of the sheet, and what the method always leaves out', () => {
    const list = listed(demoBuild(), 0);
    expect(codes(list)).toEqual(
      expect.arrayContaining([
        'invented-data',
        'standard-pressure',
        'limit-from-map',
        'inlet-heating',
        'cooler-constant',
        'cooler-recovery',
        'driveline-loss',
        'fuel-preset',
        'steady-full-load',
        'turbine-temperature-estimated',
        'breathing-corrected',
      ]),
    );
    expect(find(list, 'limit-from-map')?.values.limitRpm).toBe(172_000);
    expect(find(list, 'standard-pressure')?.values.altitudeM).toBe(620);
    expect(find(list, 'inlet-heating')?.values.heatingK).toBe(5);
    expect(find(list, 'fuel-preset')?.names.fuel).toBe('petrol');
    expect(codes(list)).not.toContain('map-estimated');
    expect(find(list, 'calipers')?.values.uncertaintyM).toBeCloseTo(5e-5, 12);
  });

  test('of a donor’s map: the estimate stands first, with its band and the donor’s name; calipers and the missing limit are named', () => {
    const build = demoBuild();
    const [first, second] = build.candidates;
    if (first === undefined || second === undefined) throw new Error('two candidates expected');
    const compressor = {
      ...second.wheels.compressor,
      inducer: { text: '48.5', unit: 'mm' },
      exducer: { text: '61.5', unit: 'mm' },
    };
    const borrowed = { ...second, map: null, donor: first.map, wheels: { ...second.wheels, compressor } };
    const list = listed({ ...build, candidates: [first, borrowed] }, 1);
    expect(list[0]).toMatchObject({ kind: 'estimate', code: 'map-estimated', names: { donor: first.map?.name } });
    expect(list[0]?.values.chokeFlowBand).toBeGreaterThan(0.03);
    expect(find(list, 'calipers')?.values.uncertaintyM).toBeCloseTo(5e-5, 12);
    expect(codes(list)).toContain('limit-missing');
    const kinds = list.map(({ kind }) => kind);
    expect(kinds).toEqual([...kinds].sort((x, y) => order(x) - order(y)));
  });

  test('what was entered or measured is no assumption', () => {
    const build = demoBuild();
    const [first] = build.candidates;
    if (first === undefined) throw new Error('a candidate expected');
    const measured: b.Build = {
      ...build,
      air: { ...build.air, barometer: { kind: 'read-on-site', pressure: { text: '941', unit: 'hPa' } } },
      inletPath: { ...build.inletPath, heating: { text: '0', unit: 'K' } },
      candidates: [{ ...first, shaftSpeedLimit: { text: '165000', unit: 'rpm' } }],
    };
    const list = codes(listed(measured, 0));
    for (const code of ['standard-pressure', 'weather-report-pressure', 'inlet-heating', 'limit-from-map'] as const) {
      expect(list).not.toContain(code);
    }
  });

  test('extended points and held curves are named with where they are', () => {
    const build = demoBuild();
    const list = listed({ ...build, engineSpeeds: { ...build.engineSpeeds, to: { text: '7000', unit: 'rpm' } } }, 1);
    const held = list.filter(({ code }) => code === 'curve-held').map(({ names }) => names.curve);
    expect(held.sort()).toEqual(['bsfc', 'goal', 'lambda', 'volumetricEfficiency']);
    const curve = find(list, 'curve-held');
    expect(curve).toMatchObject({ kind: 'extension', values: { fromRpm: 6750, toRpm: 7000 } });
    const points = solveOperatingLine(b.toMatchInput(build, 1)).filter((p) => p.status === 'ok' && p.extended);
    expect(find(list, 'map-extended')?.values.points).toBe(points.length);
  });

  test('without results only what the build itself says is listed; without the candidate nothing', () => {
    const list = codes(b.assumptions(demoBuild(), 0, null));
    expect(list).toContain('invented-data');
    expect(list).not.toContain('limit-from-map');
    expect(b.assumptions(demoBuild(), 7, null)).toEqual([]);
  });
});

function order(kind: b.Assumption['kind']): number {
  return ['estimate', 'extension', 'assumption'].indexOf(kind);
}

describe('what the turbine rests on', () => {
  /** The first candidate of the demonstration with its card changed. */
  const changed = (change: (candidate: b.Candidate) => Partial<b.Candidate>): b.Build => {
    const build = demoBuild();
    return { ...build, candidates: build.candidates.map((c) => ({ ...c, ...change(c) })) };
  };
  const turbine = (c: b.Candidate, card: Partial<b.Candidate['turbine']>) => ({ turbine: { ...c.turbine, ...card } });

  test('none: that nothing is computed, and nothing else of it', () => {
    const list = codes(
      listed(
        changed((c) => turbine(c, { source: 'none' })),
        0,
      ),
    );
    expect(list).toContain('no-turbine');
    expect(list.filter((code) => code.startsWith('turbine') || code === 'breathing-corrected')).toEqual([]);
    // The same while it cannot be computed, and without results.
    expect(
      codes(
        b.assumptions(
          changed(() => ({ turbineSheet: null })),
          0,
          null,
        ),
      ),
    ).toContain('no-turbine');
  });

  test('a sheet: where it comes from, how hot the gas is taken to be, and how the engine breathes', () => {
    const list = listed(demoBuild(), 0);
    expect(codes(list)).not.toContain('no-turbine');
    const invented = list.filter(({ code }) => code === 'invented-data').map(({ names }) => names.kind);
    expect(invented).toEqual([undefined, 'turbine sheet']);
    const { lowestK, highestK } = find(list, 'turbine-temperature-estimated')?.values ?? {};
    expect(lowestK).toBeGreaterThan(1000);
    expect(highestK).toBeGreaterThan(lowestK ?? Number.POSITIVE_INFINITY);
    expect(find(list, 'breathing-corrected')?.values.backPressureRatio).toBe(1);
    const source = listed(
      changed((c) => ({ turbineSheet: c.turbineSheet && { ...c.turbineSheet, source: '' } })),
      0,
    );
    expect(find(source, 'map-source-missing')?.names.kind).toBe('turbine sheet');
  });

  test('measurements: an estimate with its band, an assumed efficiency and a twin scroll in steady flow', () => {
    const build = changed((c) => ({
      ...turbine(c, { source: 'measured', efficiency: { ...c.turbine.efficiency, kind: 'speed-ratio' } }),
      housing: { ...c.housing, scroll: 'twin' },
    }));
    const list = listed(build, 0);
    expect(list[0]).toMatchObject({ kind: 'estimate', code: 'turbine-estimated' });
    expect(list[0]?.values.band).toBeGreaterThanOrEqual(0.15);
    expect(find(list, 'turbine-efficiency-parabola')?.values).toEqual({ best: 0.72, optimum: 0.68 });
    expect(codes(list)).toContain('twin-scroll-steady');
    const flat = changed((c) => turbine(c, { efficiency: { ...c.turbine.efficiency, kind: 'number' } }));
    expect(find(listed(flat, 0), 'turbine-efficiency-number')?.values.efficiency).toBeCloseTo(0.7, 12);
    expect(codes(listed(flat, 0))).not.toContain('twin-scroll-steady');
  });

  test('an entered temperature is no estimate', () => {
    const build = b.withBuildField(demoBuild(), 'exhaust.inletTemperature.kind', 'entered');
    expect(codes(listed(build, 0))).not.toContain('turbine-temperature-estimated');
  });

  test('points beyond those of the sheet are named with where they are', () => {
    // The lowest line of the sheet alone: every faster point lies beyond it.
    const short = changed((c) => ({
      turbineSheet: c.turbineSheet && { ...c.turbineSheet, speedLines: c.turbineSheet.speedLines.slice(0, 1) },
    }));
    expect(find(listed(short, 0), 'turbine-extended')).toMatchObject({ kind: 'extension', values: { toRpm: 6500 } });
    expect(codes(listed(demoBuild(), 0))).not.toContain('turbine-extended');
  });
});
