import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { demoBuild } from '../../src/build/demo.ts';
import type { MapDraft } from '../../src/build/index.ts';
import {
  buildToFile,
  draftToMapFile,
  draftToSheet,
  emptyMap,
  fileToBuild,
  mapFileToDraft,
  parseBackupFile,
  parseBuildFile,
  parseMapFile,
  sheetToDraft,
  sheetToMapFile,
  workspaceOf,
  workspaceToBackup,
} from '../../src/build/index.ts';
import { openFormat } from '../../src/build/openFormat.ts';
import type { MapSheet } from '../../src/compressor/index.ts';
import { buildWithMap } from './anyChange.ts';
import { changedAt } from './changedAt.ts';
import { tinyDraft, tinySheet } from './tinyMap.ts';

const fixture = (name: string): unknown =>
  JSON.parse(readFileSync(new URL(`../fixtures/${name}`, import.meta.url), 'utf8'));
const overFile = <T>(value: T): unknown => JSON.parse(JSON.stringify(value));

function value<T>(parsed: { ok: true; value: T } | { ok: false; problems: readonly unknown[] }): T {
  if (!parsed.ok) throw new Error(JSON.stringify(parsed.problems));
  return parsed.value;
}

function compressorMap(json: unknown): MapSheet {
  const sheet = value(parseMapFile(json));
  if (sheet.kind === 'turbine') throw new Error('a compressor map was expected');
  return sheet;
}

const problems = (parsed: { ok: boolean; problems?: readonly { path: string; message: string }[] }) =>
  parsed.ok ? [] : (parsed.problems ?? []);

describe('files of every version so far still open', () => {
  test('map, version 1, as the contract spells it', () => {
    const sheet = compressorMap(fixture('map-v1-design.json'));
    expect(sheet).toEqual(fixture('map-v1-design.json'));
    expect(sheet.speedLines[0]?.points[0]).toEqual({ flow: 0.05, pressureRatio: 1.42, efficiency: 0.68 });
  });

  test('map, version 1, as the program wrote it: the text comes back as typed, with the half-filled row', () => {
    const draft = value(mapFileToDraft(fixture('map-v1.json'), 'unused'));
    expect(draft.id).toBe('demo-map-a');
    expect(draft.speedLines[0]?.speed).toBe('70 000');
    expect(draft.speedLines[0]?.points.at(-1)).toEqual({ flow: '0,14', pressureRatio: '', efficiency: '' });
    expect(compressorMap(fixture('map-v1.json')).speedLines[0]?.speedRpm).toBe(70000);
  });

  test('build, version 1', () => {
    const build = fileToBuild(value(parseBuildFile(fixture('build-v1.json'))));
    expect(build.name).toBe('Demo: hill coupe, Varn Pass');
    expect(build.candidates.map(({ map }) => map?.speedLines.length)).toEqual([8, 8]);
  });

  test('backup, version 1', () => {
    const parsed = parseBackupFile(fixture('backup-v1.json'));
    const backup = value(parsed);
    expect(parsed.ok && parsed.notes).toEqual([]);
    expect(backup.builds.map((build) => build.id)).toEqual(['demo', 'second']);
    expect(backup.maps).toHaveLength(3);
    expect(backup.savedAt).toBe('2026-01-05T08:00:00.000Z');
  });
});

describe('round trips', () => {
  test('build and backup come back equal over JSON, sharing one map object', () => {
    const build = buildWithMap('b');
    const back = fileToBuild(value(parseBuildFile(overFile(buildToFile(build)))));
    expect(back).toEqual(build);
    expect(back.candidates[0]?.map).toBe(back.candidates[1]?.map);
    const workspace = workspaceOf([build]);
    const backup = value(parseBackupFile(overFile(workspaceToBackup(workspace, '2026-02-03T04:05:06.000Z'))));
    expect(backup.builds).toEqual([build]);
    expect(backup.maps).toEqual([tinyDraft('b-map')]);
    expect(backup.settings).toEqual(workspace.settings);
  });

  const positive = fc.double({ min: 1e-6, max: 1e6, noNaN: true });
  const place = { flow: fc.double({ min: 0, max: 1e4, noNaN: true }), pressureRatio: positive };
  const share = fc.double({ min: 1e-3, max: 1, noNaN: true });
  const anySheet: fc.Arbitrary<MapSheet> = fc.record(
    {
      format: fc.constant('lugline-map' as const),
      version: fc.constant(1 as const),
      name: fc.string(),
      source: fc.string(),
      reference: fc.record({ temperatureK: positive, pressurePa: positive }),
      flowUnit: fc.constantFrom('kg/s' as const, 'lb/min' as const, 'm3/s' as const, 'cfm' as const),
      speedLines: fc.array(
        fc.record({
          speedRpm: positive,
          points: fc.array(fc.record({ ...place, efficiency: share }, { requiredKeys: ['flow', 'pressureRatio'] }), {
            minLength: 1,
            maxLength: 5,
          }),
        }),
        { maxLength: 4 },
      ),
      surgeLine: fc.array(fc.record(place), { minLength: 1, maxLength: 4 }),
      limits: fc.record({ shaftSpeedRpm: positive }),
      wheel: fc.record({ inducerMm: positive, exducerMm: positive }),
      invented: fc.boolean(),
    },
    { requiredKeys: ['format', 'version', 'name', 'source', 'reference', 'flowUnit', 'speedLines'] },
  );

  test('any sheet: numbers to text tables and back, and over a map file, are the same numbers', () => {
    fc.assert(
      fc.property(anySheet, (sheet) => {
        const reading = draftToSheet(sheetToDraft(sheet, 'm'));
        expect(reading.problems).toEqual([]);
        expect(reading.ok && reading.sheet).toEqual(sheet);
        expect(value(parseMapFile(overFile(sheetToMapFile(sheet))))).toEqual(overFile(sheet));
      }),
      { numRuns: 300, seed: 7 },
    );
  });
});

describe('the text tables', () => {
  const draft: MapDraft = {
    ...emptyMap('m', 'As typed'),
    reference: { temperature: { text: '25', unit: 'degC' }, pressure: { text: '28,4', unit: 'inHg' } },
    efficiencyUnit: '%',
    speedLines: [
      { speed: '', points: [{ flow: '', pressureRatio: ' ', efficiency: '' }] },
      {
        speed: '90,000',
        points: [
          { flow: '0,05', pressureRatio: '1,42', efficiency: '68' },
          { flow: '', pressureRatio: '', efficiency: '' },
          { flow: '0.06', pressureRatio: '', efficiency: '70' },
          { flow: '0.07', pressureRatio: '1.4', efficiency: '170' },
          { flow: 'abc', pressureRatio: '1.4', efficiency: '' },
        ],
      },
      { speed: 'fast', points: [{ flow: '0.1', pressureRatio: '1.5', efficiency: '' }] },
    ],
    wheel: { inducer: { text: '1.7', unit: 'in' }, exducer: { text: '58,2', unit: 'mm' } },
  };

  test('metric, US, point and comma are read; what cannot be read is left out, with its place, and the rest is read', () => {
    const reading = draftToSheet(draft);
    if (!reading.ok) throw new Error('not read');
    expect(reading.sheet.reference.temperatureK).toBe(298.15);
    // 28.4 inHg = 96.1734 kPa: 28.4 x 25.4 x 133.322387415 Pa (conventional mercury, NIST SP 811).
    expect(reading.sheet.reference.pressurePa).toBeCloseTo(96173.4, 0);
    expect(reading.sheet.speedLines).toEqual([
      {
        speedRpm: 90000,
        points: [
          { flow: 0.05, pressureRatio: 1.42, efficiency: 0.68 },
          { flow: 0.07, pressureRatio: 1.4 },
        ],
      },
    ]);
    expect(reading.sheet.wheel?.inducerMm).toBeCloseTo(43.18, 10);
    expect(reading.sheet.wheel?.exducerMm).toBe(58.2);
    expect(reading.problems.map(({ place }) => place)).toEqual([
      { part: 'speed-line', line: 1, point: 2 },
      { part: 'speed-line', line: 1, point: 3 },
      { part: 'speed-line', line: 1, point: 4 },
      { part: 'speed-line', line: 2 },
    ]);
    // Rows of the sheet lead back to the rows of the tables.
    expect(reading.rows.lines.map(({ row, points }) => ({ row, points }))).toEqual([{ row: 1, points: [0, 3] }]);
  });

  test('without a reference state there is no sheet and no map file, and the message says so', () => {
    const bare = emptyMap('m');
    const reading = draftToSheet(bare);
    expect(reading.ok).toBe(false);
    expect(reading.problems.map(({ code }) => code)).toEqual(['no-reference-state', 'no-reference-state']);
    expect(problems(draftToMapFile(bare))[0]?.message).toContain('reference temperature');
  });

  test('the typed text rides along in the map file and is used while it agrees with the numbers', () => {
    const file = overFile(value(draftToMapFile(draft))) as { speedLines: { speedRpm: number }[] };
    expect(value(mapFileToDraft(file, 'unused'))).toEqual(draft);
    if (file.speedLines[0] !== undefined) file.speedLines[0].speedRpm = 91000;
    const changed = mapFileToDraft(file, 'unused');
    expect(value(changed).speedLines[0]?.speed).toBe('91000');
    expect(changed.ok && changed.notes[0]?.path).toBe('entered');
  });

  test('a map of more points than any sheet has is not fitted', () => {
    const points = Array.from({ length: 5001 }, () => ({ flow: '1', pressureRatio: '2', efficiency: '' }));
    const reading = draftToSheet({ ...draft, speedLines: [{ speed: '1', points }] });
    expect(reading.ok).toBe(false);
    expect(reading.problems[0]?.code).toBe('too-many-points');
  });
});

describe('what is wrong with a file is said in plain words, with its path', () => {
  test.each([
    ['a text in place of a number', 'speedLines[1].points[2].flow', 'fast', "a number, not the text 'fast'"],
    ['a missing part', 'reference.pressurePa', undefined, 'missing'],
    ['an unknown unit', 'flowUnit', 'stone/h', '"kg/s" or "lb/min"'],
    ['a percentage', 'speedLines[0].points[0].efficiency', 74, 'Write 0.74 for 74 %'],
    ['a negative pressure ratio', 'surgeLine[0].pressureRatio', -1, 'greater than 0'],
    ['a later version', 'version', 2, 'newer Lugline'],
    ['a foreign format', 'format', 'other', 'not a Lugline map file'],
    ['another kind of file', 'format', 'lugline-build', 'a build file, not a map file'],
    ['NaN', 'reference.temperatureK', Number.NaN, 'not finite'],
  ])('%s', (_name, path, wrong, words) => {
    const found = problems(parseMapFile(changedAt(tinySheet, path, wrong)));
    expect(found.map((problem) => problem.path)).toEqual([path]);
    expect(found[0]?.message).toContain(words);
  });

  test('at most twenty problems are listed, then how many more', () => {
    const points = Array.from({ length: 50 }, () => ({ flow: 'x', pressureRatio: 1 }));
    const found = problems(parseMapFile({ ...tinySheet, speedLines: [{ speedRpm: 1, points }] }));
    expect(found).toHaveLength(21);
    expect(found.at(-1)?.message).toContain('30 more');
  });

  test('a damaged build in a backup is passed over by name, the rest is taken', () => {
    const file = workspaceToBackup(workspaceOf([buildWithMap('a'), buildWithMap('b')]), 'x');
    const parsed = parseBackupFile(changedAt(file, 'builds[0].engine.fuel', 'coal'));
    expect(value(parsed).builds.map((build) => build.id)).toEqual(['b']);
    expect(parsed.ok && parsed.notes[0]?.message).toContain("'Build a'");
  });
});

describe('a candidate may carry a whole map file', () => {
  test('it is read as the tables, problems count from the build', () => {
    const file = changedAt(buildToFile(demoBuild()), 'candidates[0].map', tinySheet);
    const build = value(parseBuildFile(file));
    expect(build.candidates[0]?.map).toEqual(sheetToDraft(tinySheet, 'demo-map-1'));
    const damaged = changedAt(file, 'candidates[0].map.flowUnit', 'x');
    expect(problems(parseBuildFile(damaged))[0]?.path).toBe('candidates[0].map.flowUnit');
  });

  test('two different maps under one id are told apart', () => {
    const build = buildWithMap('b');
    const [first, second] = build.candidates;
    if (first === undefined || second?.map == null) throw new Error('two candidates expected');
    const other = { ...second, map: { ...second.map, source: 'another' } };
    const back = value(parseBuildFile(overFile(buildToFile({ ...build, candidates: [first, other] }))));
    expect(back.candidates[0]?.map?.id).not.toBe(back.candidates[1]?.map?.id);
    expect(back.candidates[1]?.map?.source).toBe('another');
  });
});

describe('versions', () => {
  const history = {
    format: 'lugline-map',
    calledKind: 'map file',
    version: 3,
    maxValues: 100,
    steps: {
      1: (old: Record<string, unknown>) => ({ ...old, steps: ['1 to 2'] }),
      2: (old: Record<string, unknown>) => ({ ...old, steps: [...(old.steps as string[]), '2 to 3'] }),
    },
  };

  test('an old file is brought up one version after the other', () => {
    expect(value(openFormat({ format: 'lugline-map', version: 1 }, history))).toEqual({
      format: 'lugline-map',
      version: 3,
      steps: ['1 to 2', '2 to 3'],
    });
  });

  test('a damaged old file that a step cannot take is refused, not thrown', () => {
    expect(problems(openFormat({ format: 'lugline-map', version: 2 }, history))[0]?.message).toContain('damaged');
  });
});
