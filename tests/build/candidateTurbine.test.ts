import { describe, expect, test } from 'vitest';
import * as b from '../../src/build/index.ts';
import { solveOperatingLine } from '../../src/match/index.ts';
import { buildWithMap } from './anyChange.ts';
import { tinyDraft } from './tinyMap.ts';
import { tinyTurbine, turbineDraft } from './tinyTurbine.ts';

const typed = (text: string, unit: string): b.Typed => ({ text, unit });
const mm = (text: string) => typed(text, 'mm');

type Change = (candidate: b.Candidate) => b.Candidate;

/** A build whose first candidate takes its turbine from a sheet, efficiency and all, changed. */
function onSheet(change: Change = (c) => c, build = buildWithMap('b')): b.Build {
  const [first, ...others] = build.candidates;
  if (first === undefined) throw new Error('a candidate expected');
  const { turbine } = first;
  const sheet = { ...turbine, source: 'sheet' as const, efficiency: { ...turbine.efficiency, kind: 'sheet' as const } };
  return { ...build, candidates: [change({ ...first, turbine: sheet, turbineSheet: turbineDraft('t') }), ...others] };
}

const turbineOf =
  (change: Partial<b.Candidate['turbine']>): Change =>
  (c) => ({ ...c, turbine: { ...c.turbine, ...change } });
const housingOf =
  (change: Partial<b.Candidate['housing']>): Change =>
  (c) => ({ ...c, housing: { ...c.housing, ...change } });
const both =
  (...changes: Change[]): Change =>
  (c) =>
    changes.reduce((changed, change) => change(changed), c);
const efficiencyOf =
  (change: Partial<b.Candidate['turbine']['efficiency']>): Change =>
  (c) =>
    turbineOf({ efficiency: { ...c.turbine.efficiency, ...change } })(c);
const measured: Change = both(
  turbineOf({ source: 'measured' }),
  efficiencyOf({ kind: 'number' }),
  housingOf({ turbineAreaRadius: typed('0,55', 'in') }),
  (c) => ({
    ...c,
    wheels: { ...c.wheels, turbine: { ...c.wheels.turbine, inducer: mm('47.2'), exducer: typed('1.68', 'in') } },
  }),
);

/** The input of the first candidate; it must be there whatever the turbine lacks. */
function solved(build: b.Build) {
  const result = b.tryMatchInput(build, 0);
  if (!result.ok) throw new Error(JSON.stringify(result.problems));
  return { turbine: result.input.turbine, notes: result.notes, input: result.input };
}

describe('a turbine off a sheet', () => {
  test('comes in SI with the exhaust that it hangs in', () => {
    const build = onSheet(
      efficiencyOf({ kind: 'number', value: typed('71,5', '%') }),
      b.withBuildField(
        b.withBuildField(buildWithMap('b'), 'exhaust.loss', typed('2', 'psi')),
        'exhaust.atFlow',
        typed('25', 'lb/min'),
      ),
    );
    const { turbine, notes } = solved(build);
    // The sheet's own efficiencies are passed over, and that is said.
    expect(notes.map(({ path }) => path)).toEqual(['candidates[0].turbine.efficiency.kind']);
    expect(turbine).toMatchObject({
      efficiency: { kind: 'number', value: 0.715 },
      mechanicalEfficiency: expect.closeTo(0.95, 12) as number,
      measuredBackPressureRatio: 1,
      hasGate: true,
    });
    // 1 psi = 6894.757 Pa; 1 lb = 0.45359237 kg exactly (NIST SP 811, appendix B.8).
    expect(turbine?.exhaustLoss.lossPa).toBeCloseTo(2 * 6894.757, 2);
    expect(turbine?.exhaustLoss.atMassFlowKgPerS).toBeCloseTo((25 * 0.45359237) / 60, 10);
    expect(turbine?.exhaustLoss.atDensityKgPerM3).toBe(0.3);
    expect(turbine?.capacity).toBe(b.fitTurbineDraft(build.candidates[0]!.turbineSheet!).capacity);
    expect(turbine).not.toHaveProperty('capacityFactor');
    expect(turbine).not.toHaveProperty('inletTemperatureK');
  });

  test('the sheet is fitted once, also in a changed build; the turbine is the same object while candidate and exhaust are', () => {
    const build = onSheet();
    expect(b.candidateTurbine(build, 0)).toBe(b.candidateTurbine({ ...build, notes: 'x' }, 0));
    const hotter = b.withBuildField(build, 'exhaust.inletTemperature.kind', 'entered');
    expect(b.candidateTurbine(hotter, 0)).not.toBe(b.candidateTurbine(build, 0));
    expect(b.candidateTurbine(hotter, 0)?.capacity).toBe(b.candidateTurbine(build, 0)?.capacity);
    expect(b.candidateTurbine(build, 9)).toBeNull();
  });

  test('flows of one entry of two are doubled; those of a scroll known to be single are not', () => {
    const factor = (scroll: b.Candidate['housing']['scroll'], entries: 'all' | 'one') =>
      solved(onSheet(both(housingOf({ scroll }), turbineOf({ entries })))).turbine?.capacityFactor ?? 1;
    expect([factor('twin', 'one'), factor('unknown', 'one'), factor('single', 'one'), factor('twin', 'all')]).toEqual([
      2, 2, 1, 1,
    ]);
  });

  test('bearing losses are counted once', () => {
    expect(solved(onSheet(turbineOf({ includesBearing: true }))).turbine?.mechanicalEfficiency).toBe(1);
    const worn = turbineOf({ mechanicalEfficiency: typed('0.9', '1') });
    expect(solved(onSheet(worn)).turbine?.mechanicalEfficiency).toBe(0.9);
    // What is not used need not be there.
    const both = turbineOf({ includesBearing: true, mechanicalEfficiency: typed('', '%') });
    expect(solved(onSheet(both)).turbine?.mechanicalEfficiency).toBe(1);
  });

  test('without a gate nothing passes it', () => {
    expect(solved(onSheet(housingOf({ gate: 'none' }))).turbine?.hasGate).toBe(false);
    expect(solved(onSheet(housingOf({ gate: 'external' }))).turbine?.hasGate).toBe(true);
  });

  test('a parabola has its peak, its optimum and the larger diameter of the wheel', () => {
    const wheel: Change = (c) => ({
      ...c,
      wheels: { ...c.wheels, turbine: { ...c.wheels.turbine, inducer: typed('2', 'in') } },
    });
    const { turbine } = solved(onSheet(both(efficiencyOf({ kind: 'speed-ratio' }), wheel)));
    expect(turbine?.efficiency).toEqual({ kind: 'speed-ratio', best: 0.72, optimum: 0.68, wheelDiameterM: 0.0508 });
  });

  test('an entered temperature comes in K, rising in engine speed', () => {
    const rows = [
      { engineSpeed: '6000', value: '1700' },
      { engineSpeed: '2000', value: '1500' },
    ];
    const build = b.withBuildField(
      b.withBuildField(onSheet(), 'exhaust.inletTemperature.kind', 'entered'),
      'exhaust.inletTemperature.curve',
      { unit: 'degF', rows },
    );
    const curve = solved(build).turbine?.inletTemperatureK;
    // (F + 459.67) / 1.8
    expect(curve?.map(({ value }) => value)).toEqual([
      expect.closeTo(1959.67 / 1.8, 9) as number,
      expect.closeTo(2159.67 / 1.8, 9) as number,
    ]);
  });

  test('limits of the turbine side come in SI, and empty ones not at all', () => {
    expect(solved(onSheet()).input.limits).not.toHaveProperty('turbineInletTemperatureK');
    const build = b.withBuildField(
      b.withBuildField(onSheet(), 'limits.turbineInletTemperature', typed('980', 'degC')),
      'limits.backPressureRatio',
      typed('1,8', '1'),
    );
    expect(solved(build).input.limits).toMatchObject({ turbineInletTemperatureK: 1253.15, backPressureRatio: 1.8 });
  });
});

describe('a turbine from measurements', () => {
  test('is an estimate with its band; the A/R of one entry of two passes more than that of all', () => {
    const { turbine } = solved(onSheet(measured));
    expect(turbine?.capacity).toMatchObject({ from: 'estimate' });
    expect(turbine?.capacity.band).toBeGreaterThanOrEqual(0.15);
    const choked = (change: Change) =>
      solved(onSheet(both(measured, change))).turbine?.capacity.flowParameter(4, 100) ?? 0;
    expect(choked(turbineOf({ entries: 'one' }))).toBeGreaterThan(choked((c) => c));
    expect(choked(both(turbineOf({ entries: 'one' }), housingOf({ scroll: 'single' })))).toBe(choked((c) => c));
    expect(solved(onSheet(both(measured, turbineOf({ entries: 'one' })))).turbine).not.toHaveProperty('capacityFactor');
  });

  test('every measurement that is missing is named with its field', () => {
    const build = onSheet(both(turbineOf({ source: 'measured' }), efficiencyOf({ kind: 'number' })));
    const { turbine, notes } = solved(build);
    expect(turbine).toBeUndefined();
    expect(notes.map(({ path }) => path)).toEqual([
      'candidates[0].wheels.turbine.inducer',
      'candidates[0].wheels.turbine.exducer',
      'candidates[0].housing.turbineAreaRadius',
    ]);
    expect(notes[0]?.message).toMatch(/measure the turbine inducer diameter .* no turbine is computed/);
  });
});

describe('what is wrong with the turbine never stands in the way of the compressor', () => {
  const noEfficiency = {
    ...tinyTurbine,
    lines: tinyTurbine.lines.map((l) => ({ points: l.points.map(({ efficiency: _none, ...p }) => p) })),
  };
  const badLine = [{ speed: '', points: [{ flow: 'x', pressureRatio: '2', efficiency: '' }] }];
  const cases: readonly [string, b.Build, string][] = [
    ['no sheet chosen', onSheet((c) => ({ ...c, turbineSheet: null })), 'candidates[0].turbineSheet'],
    [
      'a sheet without reference state',
      onSheet((c) => ({ ...c, turbineSheet: b.emptyTurbineSheet('e') })),
      'candidates[0].turbineSheet.reference',
    ],
    [
      'a sheet without a readable point',
      onSheet((c) => ({ ...c, turbineSheet: { ...turbineDraft('t'), speedLines: badLine } })),
      'candidates[0].turbineSheet',
    ],
    [
      'efficiency off a sheet that has none',
      onSheet((c) => ({ ...c, turbineSheet: turbineDraft('n', 'N', noEfficiency) })),
      'candidates[0].turbine.efficiency.kind',
    ],
    [
      'efficiency off a sheet, turbine from measurements',
      onSheet(both(measured, efficiencyOf({ kind: 'sheet' }))),
      'candidates[0].turbine.efficiency.kind',
    ],
    [
      'an empty number',
      onSheet(efficiencyOf({ kind: 'number', value: typed('', '%') })),
      'candidates[0].turbine.efficiency.value',
    ],
    [
      'a parabola without a wheel',
      onSheet(efficiencyOf({ kind: 'speed-ratio' })),
      'candidates[0].wheels.turbine.inducer',
    ],
    ['variable vanes', onSheet(housingOf({ gate: 'variable-vanes' })), 'candidates[0].housing.gate'],
    [
      'no mechanical efficiency',
      onSheet(turbineOf({ mechanicalEfficiency: typed('', '%') })),
      'candidates[0].turbine.mechanicalEfficiency',
    ],
    ['no exhaust loss', b.withBuildField(onSheet(), 'exhaust.loss', typed('', 'kPa')), 'exhaust.loss'],
    [
      'a temperature of an ice box',
      b.withBuildField(
        b.withBuildField(onSheet(), 'exhaust.inletTemperature.kind', 'entered'),
        'exhaust.inletTemperature.curve',
        { unit: 'degC', rows: [{ engineSpeed: '2000', value: '9' }] },
      ),
      'exhaust.inletTemperature.curve.rows[0].value',
    ],
  ];

  test.each(cases)('%s: the turbine is left out, with the field to go to', (_name, build, path) => {
    const { turbine, notes, input } = solved(build);
    expect(turbine).toBeUndefined();
    expect(notes.map((note) => note.path)).toContain(path);
    expect(notes.find((note) => note.path === path)?.message).toContain('no turbine is computed');
    expect(b.candidateTurbine(build, 0)?.problems.map((problem) => problem.path)).toContain(path);
    // The numbers are those of a build that has no turbine data at all.
    const without = b.toMatchInput({ ...build, candidates: build.candidates.map(turbineOf({ source: 'none' })) }, 0);
    expect(solveOperatingLine(input)).toEqual(solveOperatingLine(without));
  });

  test('none chosen: nothing is said and nothing of the exhaust need be there', () => {
    const build = b.withBuildField(
      onSheet(turbineOf({ source: 'none', mechanicalEfficiency: typed('', '%') })),
      'exhaust.loss',
      typed('', 'kPa'),
    );
    expect(b.candidateTurbine(build, 0)).toMatchObject({ from: 'none', input: null, problems: [] });
    expect(solved(build).notes).toEqual([]);
  });

  test('a row of the sheet that was left out is a remark, and the turbine is computed with the rest', () => {
    const half = { speed: '', points: [{ flow: '0.1', pressureRatio: '', efficiency: '' }] };
    const { turbine, notes } = solved(
      onSheet((c) => {
        const sheet = turbineDraft('h');
        return { ...c, turbineSheet: { ...sheet, speedLines: [...sheet.speedLines, half] } };
      }),
    );
    expect(turbine).toBeDefined();
    expect(notes.map(({ path }) => path)).toContain('candidates[0].turbineSheet.speedLines[2].points[0]');
  });
});

describe('the turbine sheet of a candidate and the shelf', () => {
  const start = b.workspaceOf([onSheet()]);
  const sheetOf = (w: b.Workspace, i: number) => w.builds.b?.candidates[i]?.turbineSheet;

  test('an edit on the shelf edits every candidate that carries it; taken off the shelf the build keeps it', () => {
    const id = start.builds.b?.candidates[1]?.id ?? '';
    const shared = b.assignTurbineSheet(id, 't').perform(start);
    const edited = b.editMap('t', (sheet) => ({ ...sheet, source: 'read again' })).perform(shared);
    expect(sheetOf(edited, 0)).toBe(edited.shelf.t);
    expect(sheetOf(edited, 1)).toBe(edited.shelf.t);
    expect(sheetOf(edited, 0)?.source).toBe('read again');
    const off = b.deleteMap('t').perform(edited);
    expect(sheetOf(off, 0)?.source).toBe('read again');
    expect(b.putMapOnShelf('t').perform(off).shelf.t).toBe(sheetOf(off, 0));
  });

  test('choosing one takes the turbine from it; taking it off leaves the rest of the card', () => {
    const id = start.builds.b?.candidates[1]?.id ?? '';
    const chosen = b.assignTurbineSheet(id, 't').perform(start);
    expect(chosen.builds.b?.candidates[1]?.turbine.source).toBe('sheet');
    expect(b.assignTurbineSheet(id, 't').perform(chosen)).toBe(chosen);
    const off = b.assignTurbineSheet(id, null).perform(chosen);
    expect(off.builds.b?.candidates[1]).toMatchObject({ turbineSheet: null, turbine: { source: 'sheet' } });
    expect(b.assignTurbineSheet(id, 'none').perform(chosen)).toBe(chosen);
  });

  test('a map is no turbine sheet and a turbine sheet no map, nor does an edit make it one', () => {
    const id = start.builds.b?.candidates[0]?.id ?? '';
    expect(b.assignMap(id, 't').perform(start)).toBe(start);
    expect(b.assignDonor(id, 't').perform(start)).toBe(start);
    expect(b.assignTurbineSheet(id, 'b-map').perform(start)).toBe(start);
    const turned = b.editMap('b-map', (map) => ({ ...map, kind: 'turbine', source: 's' })).perform(start);
    expect(turned.shelf['b-map']).not.toHaveProperty('kind');
    expect(turned.shelf['b-map']?.source).toBe('s');
    expect(b.editMap('t', () => tinyDraft('t')).perform(start).shelf.t?.kind).toBe('turbine');
    expect(b.donorChoice(start.builds.b!, 0, [turbineDraft('t')])).toEqual([]);
  });

  test('empty tables, copies and names are those of any map', () => {
    const added = b.addSheet('turbine', 'new').perform(start);
    expect(added.shelf.new).toEqual(b.emptyTurbineSheet('new'));
    const copied = b.duplicateMap('t', 'copy').perform(added);
    expect(copied.shelf.copy).toMatchObject({ kind: 'turbine', name: expect.stringContaining('Tiny test turbine') });
    expect(copied.shelf.copy?.name).not.toBe(copied.shelf.t?.name);
    const renamed = b.renameMap('copy', 'Tiny test map').perform(copied);
    expect(renamed.shelf.copy?.name).not.toBe('Tiny test map');
  });

  test('one from a file is taken once, and with a build it goes to the shelf', () => {
    expect(b.importMap(turbineDraft('other-id'), 'fresh').perform(start).shelfOrder).toEqual(start.shelfOrder);
    const elsewhere = b.workspaceOf([b.defaultBuild('home')]);
    const taken = b.importBuild(onSheet(), 'fresh').perform(elsewhere);
    expect(taken.shelfOrder).toEqual(['b-map', 't']);
    expect(sheetOf(taken, 0)).toBe(taken.shelf.t);
  });
});

describe('the wastegate on the card', () => {
  const gateOf =
    (change: Partial<b.Candidate['wastegate']>): Change =>
    (c) => ({ ...c, wastegate: { ...c.wastegate, ...change } });
  const areaOf = (change: Change) => solved(onSheet(change)).turbine?.gateAreaM2;

  test('is its flow coefficient times the hole, or the area that is entered, or not known', () => {
    expect(areaOf((c) => c)).toBeUndefined();
    // 0.7 x pi/4 x 25^2 mm2 = 343.6 mm2 (hand calculation); an inch is 25.4 mm.
    expect(areaOf(gateOf({ diameter: mm('25') }))! * 1e6).toBeCloseTo(343.61, 2);
    expect(areaOf(gateOf({ diameter: typed('1', 'in') }))! * 1e6).toBeCloseTo(343.61 * 1.016 ** 2, 2);
    const both = gateOf({ diameter: mm('25'), area: typed('400', 'mm2') });
    expect(areaOf(both)! * 1e6).toBeCloseTo(400, 9);
    expect(solved(onSheet(both)).notes.some(({ message }) => message.includes('diameter is not'))).toBe(true);
  });

  test('a hole without a flow coefficient is named, one without a gate is passed over, and a slip says what to do', () => {
    const noted = (change: Change) => solved(onSheet(change)).notes.map(({ path, message }) => `${path} ${message}`);
    const missing = noted(gateOf({ diameter: mm('25'), flowCoefficient: typed('', '1') }));
    expect(missing.join()).toMatch(/candidates\[0\]\.wastegate\.flowCoefficient .*flow coefficient.*is missing/);
    expect(areaOf((c) => housingOf({ gate: 'none' })(gateOf({ diameter: mm('25') })(c)))).toBeUndefined();
    expect(noted(gateOf({ diameter: mm('2500') })).join()).toContain('must be between');
  });

  test('is among the inputs of a filed sheet only where it is entered', () => {
    const hash = (change: Change) => b.sheetRecord(onSheet(change), '1', []).inputs;
    expect(hash(gateOf({ flowCoefficient: typed('0.6', '1') }))).toBe(hash((c) => c));
    expect(hash(gateOf({ diameter: mm('25') }))).not.toBe(hash((c) => c));
  });
});

describe('the rotor on the card', () => {
  const rotorOf = (change: Partial<b.Candidate['rotor']>) => (c: b.Candidate) => ({
    ...c,
    rotor: { ...c.rotor, ...change },
  });
  const read = (change: Change) => b.candidateRotor(onSheet(change), 0)!;

  test('is a number, a swing on three threads, or a guess from both wheels with a band of half', () => {
    expect(read((c) => c)).toMatchObject({ rotor: null });
    expect(read(rotorOf({ from: 'entered', inertia: typed('30', 'kg mm2') })).rotor!.inertiaKgM2).toBeCloseTo(3e-5, 12);
    const swing = {
      from: 'trifilar',
      mass: typed('200', 'g'),
      radius: mm('20'),
      length: mm('600'),
      period: typed('0.4', 's'),
    } as const;
    // 0.2 x 9.80665 x 0.02^2 x 0.4^2 / (4 pi^2 x 0.6) = 5.299e-6 kg m2 (hand calculation).
    expect(read(rotorOf(swing)).rotor!.inertiaKgM2 * 1e6).toBeCloseTo(5.299, 3);
    expect(read(rotorOf({ ...swing, period: typed('', 's') })).problem).toContain('is missing');
    expect(read(rotorOf({ from: 'diameters' })).problem).toContain('measure the turbine inducer');
    const wheels: Change = (c) => ({
      ...rotorOf({ from: 'diameters' })(c),
      wheels: {
        ...c.wheels,
        turbine: { ...c.wheels.turbine, inducer: mm('50') },
        compressor: { ...c.wheels.compressor, exducer: mm('60') },
      },
    });
    // 0.008 x 8000 x 0.05^5 + 0.006 x 2750 x 0.06^5 = 2.000e-5 + 1.283e-5 kg m2 (hand calculation).
    const { rotor } = read(wheels);
    expect(rotor!.inertiaKgM2 * 1e5).toBeCloseTo(3.283, 3);
    expect(rotor!.band).toBe(0.5);
  });
});
