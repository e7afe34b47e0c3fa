import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import * as b from '../../src/build/index.ts';
import type { TurbineSheet } from '../../src/turbine/index.ts';
import { fitCapacity } from '../../src/turbine/index.ts';
import { buildWithMap } from './anyChange.ts';
import { changedAt } from './changedAt.ts';
import { tinyDraft } from './tinyMap.ts';
import { tinyTurbine, turbineDraft } from './tinyTurbine.ts';

const fixture = (name: string): unknown =>
  JSON.parse(readFileSync(new URL(`../fixtures/${name}`, import.meta.url), 'utf8'));
const overFile = <T>(value: T): unknown => JSON.parse(JSON.stringify(value));

function value<T>(parsed: b.Parsed<T>): T {
  if (!parsed.ok) throw new Error(JSON.stringify(parsed.problems));
  return parsed.value;
}

const paths = (parsed: b.Parsed<unknown>) => (parsed.ok ? [] : parsed.problems.map(({ path }) => path));

describe('files from before the turbine', () => {
  test('a build opens as it was, without turbine data, with the usual exhaust and no new limits', () => {
    const json = fixture('build-v1-before-turbine.json') as { limits: object; spread: { tolerances: object } };
    expect(json).not.toHaveProperty('exhaust');
    expect(json.spread.tolerances).not.toHaveProperty('turbineCapacity');
    const build = b.fileToBuild(value(b.parseBuildFile(json)));
    const fresh = b.defaultBuild('fresh');
    expect(build.exhaust).toEqual(fresh.exhaust);
    expect(build.limits).toMatchObject({ ...json.limits, backPressureRatio: { text: '' } });
    expect(build.limits.turbineInletTemperature.text).toBe('');
    expect(build.spread.tolerances).toEqual({ ...fresh.spread.tolerances, ...json.spread.tolerances });
    for (const candidate of build.candidates) {
      expect(candidate.turbine).toEqual(b.emptyCard().turbine);
      expect(candidate.turbineSheet).toBeNull();
    }
    // All that stood in the file stands in the build.
    expect(build).toMatchObject(b.fileToBuild(json as unknown as b.BuildFile));
    const input = b.toMatchInput(build, 0);
    expect(input.turbine).toBeUndefined();
    expect(input.limits).not.toHaveProperty('backPressureRatio');
  });

  test('a traced map and a backup open as they were', () => {
    const json = fixture('map-v1-traced.json') as { entered: object };
    expect(value(b.mapFileToDraft(json, 'unused'))).toEqual({ id: 'traced-before-turbine', ...json.entered });
    const backup = b.parseBackupFile(fixture('backup-v1-before-turbine.json'));
    expect(backup.ok && backup.notes).toEqual([]);
    expect(value(backup).builds[0]?.candidates[0]?.turbine.source).toBe('none');
  });
});

describe('the form before several turbos is kept for ever too', () => {
  test('a build with a turbine sheet, one of flow parameters, limits and an entered temperature', () => {
    const build = b.fileToBuild(value(b.parseBuildFile(fixture('build-v1-turbine.json'))));
    expect(build.candidates.map(({ turbineSheet }) => turbineSheet?.flowParameter)).toEqual([undefined, 'kPa']);
    const { limits, turbine } = b.toMatchInput(build, 0);
    // 950 degC and 2.2, as typed in the file.
    expect(limits).toMatchObject({ turbineInletTemperatureK: 950 + 273.15, backPressureRatio: 2.2 });
    expect(turbine?.inletTemperatureK).toEqual([
      { engineSpeedRpm: 2000, value: 820 + 273.15 },
      { engineSpeedRpm: 6000, value: 930 + 273.15 },
    ]);
    expect(b.toMatchInput(build, 1).turbine).toMatchObject({ capacityFactor: 2, mechanicalEfficiency: 1 });
    // All that it holds comes back as it was; what came later has its start value.
    expect(b.buildToFile(build)).toMatchObject(fixture('build-v1-turbine.json') as object);
    expect(build.candidates.map(({ turboCount }) => turboCount)).toEqual([1, 1]);
    expect([build.inletPath.of, build.chargePath.of, build.exhaust.of]).toEqual(['branch', 'branch', 'branch']);
  });

  test('a turbine sheet of its own, with the half-filled row as typed', () => {
    const draft = value(b.mapFileToDraft(fixture('map-v1-turbine.json'), 'unused'));
    expect(draft).toMatchObject({ id: 'turbine-a', kind: 'turbine', flowUnit: 'lb/min' });
    expect(draft.speedLines[0]?.points.at(-1)).toEqual({ flow: '17,1', pressureRatio: '', efficiency: '' });
    const sheet = value(b.parseMapFile(fixture('map-v1-turbine.json')));
    if (sheet.kind !== 'turbine') throw new Error('a turbine sheet expected');
    expect(fitCapacity(sheet).ok).toBe(true);
  });
});

describe('a turbine sheet as a map file', () => {
  const positive = fc.double({ min: 1e-6, max: 1e6, noNaN: true });
  const point = fc.record(
    {
      expansionRatio: fc.double({ min: 1.001, max: 20, noNaN: true }),
      flow: positive,
      efficiency: fc.double({ min: 1e-3, max: 0.999, noNaN: true }),
    },
    { requiredKeys: ['expansionRatio', 'flow'] },
  );
  const flow: fc.Arbitrary<TurbineSheet['flow']> = fc.oneof(
    fc.record({ kind: fc.constant('parameter' as const), pressureUnit: fc.constantFrom('kPa', 'bar', 'MPa') }),
    fc.record({
      kind: fc.constant('corrected' as const),
      unit: fc.constantFrom('kg/s', 'lb/min'),
      reference: fc.record({ temperatureK: positive, pressurePa: positive }),
    }),
  );
  const anySheet: fc.Arbitrary<TurbineSheet> = fc.record(
    {
      name: fc.string(),
      source: fc.string(),
      flow,
      lines: fc.array(
        fc.record(
          { speedRpm: positive, points: fc.array(point, { minLength: 1, maxLength: 5 }) },
          { requiredKeys: ['points'] },
        ),
        { maxLength: 4 },
      ),
      invented: fc.boolean(),
    },
    { requiredKeys: ['name', 'source', 'flow', 'lines'] },
  );

  test('any sheet: numbers to text tables and back, and over a map file, are the same numbers', () => {
    fc.assert(
      fc.property(anySheet, (sheet) => {
        const draft = b.turbineSheetToDraft(sheet, 'm');
        const reading = b.draftToTurbineSheet(draft);
        expect(reading.problems).toEqual([]);
        expect(reading.ok && reading.sheet).toEqual(sheet);
        expect(value(b.parseMapFile(overFile(b.turbineSheetToMapFile(sheet))))).toEqual({ kind: 'turbine', ...sheet });
        const file = b.draftToMapFile(draft);
        expect(value(b.mapFileToDraft(overFile(value(file)), 'unused'))).toEqual(draft);
      }),
      { numRuns: 300, seed: 8 },
    );
  });

  test('numbers changed elsewhere are taken before the text, with a note; text of the other kind is no text of it', () => {
    const file = overFile(value(b.draftToMapFile(turbineDraft('t'))));
    const changed = b.mapFileToDraft(changedAt(file, 'speedLines[0].points[0].pressureRatio', 1.4), 'unused');
    expect(value(changed).speedLines[0]?.points[0]?.pressureRatio).toBe('1.4');
    expect(changed.ok && changed.notes[0]?.path).toBe('entered');
    const { id: _id, ...tables } = tinyDraft('m');
    const mixed = b.mapFileToDraft(changedAt(file, 'entered', tables), 'unused');
    expect(value(mixed)).toMatchObject({ kind: 'turbine', id: 't' });
    expect(mixed.ok && mixed.notes[0]?.path).toBe('entered');
  });

  test.each([
    ['an unknown kind', 'kind', 'pump', ['kind'], '"compressor" or "turbine"'],
    ['a volume flow', 'flowUnit', 'cfm', ['flowUnit'], '"kg/s" or "lb/min"'],
    ['no reference state', 'reference', undefined, ['reference'], 'unless the flows are a flow parameter'],
    ['no unit of the flow', 'flowUnit', undefined, ['flowUnit'], 'unless the flows are a flow parameter'],
    ['a unit that no parameter has', 'flowParameter', 'psi', ['flowParameter'], '"kPa" or "bar"'],
    ['a percentage', 'speedLines[0].points[0].efficiency', 70, ['speedLines[0].points[0].efficiency'], 'Write 0.74'],
    ['no number', 'speedLines[1].points[0].flow', 'much', ['speedLines[1].points[0].flow'], "not the text 'much'"],
    ['lines that are none', 'speedLines', { length: 9 }, ['speedLines'], 'a list'],
  ])('says what is wrong: %s', (_name, path, wrong, at, words) => {
    const parsed = b.parseMapFile(changedAt(overFile(b.turbineSheetToMapFile(tinyTurbine)), path, wrong));
    expect(paths(parsed)).toEqual(at);
    expect(parsed.ok ? '' : parsed.problems[0]?.message).toContain(words);
  });

  test('whatever stands in its place, a file is read or refused, never thrown at', () => {
    const file = value(b.draftToMapFile(turbineDraft('t')));
    const where = fc.constantFrom('kind', 'reference', 'flowParameter', 'speedLines', 'entered', 'speedLines[0]', 'id');
    fc.assert(
      fc.property(where, fc.jsonValue({ maxDepth: 3 }), (path, wrong) => {
        const parsed = b.mapFileToDraft(changedAt(overFile(file), path, wrong), 'fresh');
        if (parsed.ok) expect(() => b.fitTurbineDraft(parsed.value)).not.toThrow();
        else expect(parsed.problems.length).toBeGreaterThan(0);
      }),
      { numRuns: 400, seed: 9 },
    );
  });
});

describe('the text tables of a turbine sheet', () => {
  const cell = (flow: string, pressureRatio: string, efficiency = '') => ({ flow, pressureRatio, efficiency });
  const draft: b.MapDraft = {
    ...b.emptyTurbineSheet('t', 'As typed'),
    reference: { temperature: { text: '15', unit: 'degC' }, pressure: { text: '1,01325', unit: 'bar' } },
    flowUnit: 'lb/min',
    efficiencyUnit: '%',
    speedLines: [
      { speed: '', points: [cell('', ' ')] },
      { speed: '', points: [cell('15,2', '1,5', '68'), cell('', ''), cell('16.0', ''), cell('16.5', '0.9')] },
      { speed: '60,000', points: [cell('16', '2.0', '170'), cell('0', '2.2'), cell('16.4', '2.4', '100')] },
      { speed: 'fast', points: [cell('16', '2')] },
    ],
  };

  test('metric, US, point and comma are read; what cannot be is left out with its place, and the rest is read', () => {
    const reading = b.draftToTurbineSheet(draft);
    if (!reading.ok) throw new Error('not read');
    expect(reading.sheet.flow).toEqual({
      kind: 'corrected',
      unit: 'lb/min',
      reference: { temperatureK: 288.15, pressurePa: 101325 },
    });
    expect(reading.sheet.lines).toEqual([
      { points: [{ expansionRatio: 1.5, flow: 15.2, efficiency: 0.68 }] },
      {
        speedRpm: 60000,
        points: [
          { expansionRatio: 2, flow: 16 },
          { expansionRatio: 2.4, flow: 16.4 },
        ],
      },
    ]);
    expect(reading.problems.map(({ place }) => place)).toEqual([
      { part: 'speed-line', line: 1, point: 2 },
      { part: 'speed-line', line: 1, point: 3 },
      { part: 'speed-line', line: 2, point: 0 },
      { part: 'speed-line', line: 2, point: 1 },
      { part: 'speed-line', line: 2, point: 2 },
      { part: 'speed-line', line: 3 },
    ]);
    expect(reading.problems[0]?.message).toContain('expansion ratio is missing');
  });

  test('a flow parameter needs no reference state; a corrected flow does, and it is a mass flow', () => {
    const bare = { ...draft, reference: b.emptyMap('m').reference };
    expect(b.draftToTurbineSheet({ ...bare, flowParameter: 'MPa' })).toMatchObject({
      ok: true,
      sheet: { flow: { kind: 'parameter', pressureUnit: 'MPa' } },
    });
    const codes = (map: b.MapDraft) => b.draftToTurbineSheet(map).problems.map(({ code }) => code);
    expect(codes(bare)).toContain('no-reference-state');
    expect(codes({ ...draft, flowUnit: 'cfm' })).toContain('turbine-flow-unit');
  });

  test('a sheet of the other kind is named, not read as what it is not', () => {
    expect(b.draftToTurbineSheet(tinyDraft('m'))).toMatchObject({ ok: false, problems: [{ code: 'compressor-map' }] });
    expect(b.draftToSheet(draft)).toMatchObject({ ok: false, problems: [{ code: 'turbine-sheet' }] });
    expect(b.fitDraft(draft)).toMatchObject({ sheet: null, surface: null });
  });

  test('the fit is remembered by the tables; what the fit finds is placed in the rows as typed', () => {
    const first = b.fitTurbineDraft(draft);
    expect(first.capacity).not.toBeNull();
    expect(b.fitTurbineDraft({ ...draft, name: 'Other' })).toBe(first);
    expect(b.fitTurbineDraft({ ...draft, efficiencyUnit: '1' })).not.toBe(first);
    // Two flows at one expansion ratio, behind an empty row.
    const lines = [{ speed: '', points: [cell('', ''), cell('15', '2'), cell('16', '2')] }];
    const twice = b.fitTurbineDraft({ ...draft, speedLines: lines });
    expect(twice.capacity).toBeNull();
    expect(twice.findings[0]).toMatchObject({ severity: 'error', place: { part: 'speed-line', line: 0, point: 2 } });
    const cold = { ...draft.reference, temperature: { text: '15', unit: 'K' } };
    expect(b.fitTurbineDraft({ ...draft, reference: cold }).findings[0]?.place).toEqual({ part: 'reference' });
  });

  test('one turbine in three units is one capacity (hand calculation)', () => {
    // 0.12 kg/s at 288.15 K and 101.325 kPa: in lb/min x 60/0.45359237; as W sqrt(T)/p x sqrt(288.15)/101.325 in kg sqrt(K)/(s kPa).
    const at = (sheet: Partial<TurbineSheet>, factor: number) => {
      const lines = tinyTurbine.lines.map((l) => ({ points: l.points.map((p) => ({ ...p, flow: p.flow * factor })) }));
      const fit = b.fitTurbineDraft(turbineDraft('t', 'T', { ...tinyTurbine, ...sheet, lines }));
      return fit.capacity?.flowParameter(1.7, 1) ?? 0;
    };
    const reference = { temperatureK: 288.15, pressurePa: 101325 };
    const metric = at({}, 1);
    // W sqrt(R T)/p = 0.12 x sqrt(287.05 x 288.15)/101325 = 3.4061e-4 m2 at an entered point.
    expect(metric / 3.4061e-4).toBeCloseTo(1, 4);
    expect(at({ flow: { kind: 'corrected', unit: 'lb/min', reference } }, 60 / 0.45359237) / metric).toBeCloseTo(1, 9);
    const parameter = at({ flow: { kind: 'parameter', pressureUnit: 'kPa' } }, Math.sqrt(288.15) / 101.325);
    expect(parameter / metric).toBeCloseTo(1, 9);
  });
});

describe('in a build file', () => {
  const withSheet = (sheet: b.MapDraft | null): b.Build => {
    const build = buildWithMap('b');
    return { ...build, candidates: build.candidates.map((c) => ({ ...c, turbineSheet: sheet })) };
  };

  test('build and backup come back equal, candidates sharing one sheet', () => {
    const build = withSheet(turbineDraft('t'));
    const back = b.fileToBuild(value(b.parseBuildFile(overFile(b.buildToFile(build)))));
    expect(back).toEqual(build);
    expect(back.candidates[0]?.turbineSheet).toBe(back.candidates[1]?.turbineSheet);
    const workspace = b.workspaceOf([build]);
    expect(workspace.shelfOrder).toEqual(['b-map', 't']);
    expect(value(b.parseBackupFile(overFile(b.workspaceToBackup(workspace, 'x')))).maps[1]).toEqual(turbineDraft('t'));
  });

  test('it may stand there as a whole map file, problems count from the build', () => {
    const file = changedAt(
      overFile(b.buildToFile(withSheet(null))),
      'candidates[1].turbineSheet',
      b.turbineSheetToMapFile(tinyTurbine),
    );
    const build = value(b.parseBuildFile(file));
    expect(build.candidates[1]?.turbineSheet).toEqual(b.turbineSheetToDraft(tinyTurbine, 'b-turbine-2'));
    const damaged = changedAt(file, 'candidates[1].turbineSheet.speedLines[0].speedRpm', -1);
    expect(paths(b.parseBuildFile(damaged))).toContain('candidates[1].turbineSheet.speedLines[0].speedRpm');
  });

  test('a turbine sheet in place of a map, and a map in place of a turbine sheet, are refused by name', () => {
    const file = overFile(b.buildToFile(withSheet(null)));
    const cases = [
      ['candidates[0].map', turbineDraft('t'), 'a compressor map must stand here'],
      ['candidates[0].donor', turbineDraft('t'), 'a compressor map must stand here'],
      ['candidates[0].turbineSheet', tinyDraft('m'), 'a turbine sheet must stand here'],
    ] as const;
    for (const [path, draft, words] of cases) {
      const parsed = b.parseBuildFile(changedAt(file, path, draft));
      expect(paths(parsed)).toEqual([`${path}.kind`]);
      expect(parsed.ok ? '' : parsed.problems[0]?.message).toContain(words);
    }
  });

  test('a sheet and a map under one id are told apart', () => {
    const build = withSheet(turbineDraft('b-map'));
    const back = value(b.parseBuildFile(overFile(b.buildToFile(build))));
    const [first] = back.candidates;
    expect(first?.map?.id).not.toBe(first?.turbineSheet?.id);
    expect(first?.turbineSheet?.kind).toBe('turbine');
  });
});
