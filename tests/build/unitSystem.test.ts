import { describe, expect, it } from 'vitest';
import { demoWorkspace } from '../../src/build/demo.ts';
import { buildFromAnswers } from '../../src/build/engineKinds.ts';
import {
  type Build,
  buildToFile,
  changeSettings,
  chooseUnits,
  defaultBuild,
  engineKinds,
  parseBuildFile,
  shownSettings,
  startBuild,
  tryMatchInput,
  usualAnswers,
  type Workspace,
  workspaceOf,
} from '../../src/build/index.ts';
import { type OperatingPointSolved, resultUnits, showResult, solveOperatingLine } from '../../src/match/index.ts';
import { convert, quantities, systemOfLanguage } from '../../src/units/index.ts';

/** Keys of the units that only a metric build has. */
const METRIC = new Set(
  Object.values(quantities).flatMap(({ units }) =>
    units.flatMap(({ key, system }) => (system === 'metric' ? [key] : [])),
  ),
);

/** Every unit that stands in a value, with its path. */
function unitsIn(value: unknown, path = ''): string[] {
  if (typeof value !== 'object' || value === null) return [];
  return Object.entries(value).flatMap(([key, inner]) =>
    key === 'unit' ? [`${path}: ${String(inner)}`] : unitsIn(inner, `${path}.${key}`),
  );
}
const metricIn = (build: Build) =>
  unitsIn({
    ...build,
    candidates: build.candidates.map((one) => ({ ...one, map: null, donor: null, turbineSheet: null })),
  }).filter((entry) => METRIC.has(entry.split(': ')[1] ?? ''));
const open = (workspace: Workspace) => workspace.builds[workspace.activeBuildId] as Build;
const solved = (build: Build) => {
  const input = tryMatchInput(build, 0);
  if (!input.ok) throw new Error(input.problems.map(({ message }) => message).join(' '));
  return solveOperatingLine(input.input).filter((point): point is OperatingPointSolved => point.status === 'ok');
};

describe('a build in US units', () => {
  it('has no field left in a unit that is only metric, new or converted', () => {
    expect(metricIn(defaultBuild('b', 'B', 'us'))).toEqual([]);
    expect(metricIn(open(chooseUnits('us').perform(demoWorkspace())))).toEqual([]);
    expect(metricIn(defaultBuild('b')).length).toBeGreaterThan(40);
  });

  it('gives the results of the metric one, and goes back to its very texts', () => {
    const metric = demoWorkspace();
    const us = chooseUnits('us').perform(metric);
    const [before, after] = [solved(open(metric)), solved(open(us))];
    expect(after.length).toBe(before.length);
    for (const [i, point] of after.entries()) {
      // Each input is kept to a ten-thousandth (CONVERTED); a line moves by a small multiple of it.
      expect(Math.abs(point.shaftSpeedRpm / (before[i]?.shaftSpeedRpm ?? 0) - 1)).toBeLessThan(1e-3);
    }
    const back = open(chooseUnits('metric').perform(us));
    expect(back.air).toEqual(open(metric).air);
    expect(back.engine.displacement.text).not.toBe('');
  });

  it('is saved with its units and opened with them', () => {
    const us = open(chooseUnits('us').perform(demoWorkspace()));
    const file = parseBuildFile(JSON.parse(JSON.stringify(buildToFile(us))));
    expect(file.ok && file.value.units).toEqual({ system: 'us', flowAxisUnit: 'lb/min', resultUnits: {} });
    const settings = demoWorkspace().settings;
    expect(shownSettings(us, settings)).toMatchObject({ system: 'us', flowAxisUnit: 'lb/min' });
    expect(shownSettings(defaultBuild('old'), settings)).toBe(settings);
  });

  it('is printed on the paper of its region, and on that which was chosen where it is another', () => {
    const us = chooseUnits('us').perform(demoWorkspace());
    expect(open(us).sheet.paper).toBe('letter');
    expect(open(startBuild('next', usualAnswers('us')).perform(us)).sheet.paper).toBe('letter');
    expect(open(chooseUnits('metric').perform(us)).sheet.paper).toBe('a4');
    const metricOnLetter = open(demoWorkspace());
    const chosen = workspaceOf([{ ...metricOnLetter, sheet: { ...metricOnLetter.sheet, paper: 'letter' } }]);
    expect(open(chooseUnits('us').perform(chosen)).sheet.paper).toBe('letter');
  });

  it('is what the next build starts as; one kind of figure may differ and stays so', () => {
    const workspace = startBuild('next', usualAnswers('us')).perform(demoWorkspace());
    const again = startBuild('third', usualAnswers(workspace.settings.system ?? 'metric')).perform(workspace);
    expect(open(again).units?.system).toBe('us');
    expect(open(again).sheet.paper).toBe('letter');
    const bar = changeSettings({ resultUnits: { pressure: 'bar' } }).perform(workspace);
    const units = resultUnits(shownSettings(open(bar), bar.settings));
    expect(units).toMatchObject({ pressure: 'bar', 'mass-flow': 'lb/min', temperature: 'degF', system: 'us' });
    expect(
      showResult(148_200, 'shaft-speed', resultUnits({ system: 'us', resultUnits: { 'shaft-speed': 'krpm' } })),
    ).toBe('148.2\u00a0krpm');
  });
});

describe('units of the trade', () => {
  it('takes 10.5 cc/min for a pound an hour and 14.7 for lambda 1 (common practice, no source)', () => {
    expect(convert(1, 'fuel-volume-flow', 'lb/h', 'cc/min')).toBeCloseTo(10.5, 3);
    expect(convert(14.7, 'lambda', 'AFR', '1')).toBeCloseTo(1, 12);
  });

  it('finds the region in the language of a browser', () => {
    expect(['en-US', 'es-US', 'en-Latn-US', 'en-us'].map(systemOfLanguage)).toEqual(['us', 'us', 'us', 'us']);
    expect(['en-GB', 'en', 'de-DE', 'us', ''].map(systemOfLanguage)).toEqual(Array(5).fill('metric'));
  });
});

describe('a new build from five answers', () => {
  const map = open(demoWorkspace()).candidates[0]?.map ?? null;

  it.each(engineKinds('metric'))('can be solved as it stands on a map: $key', ({ key, highestRpm }) => {
    for (const system of ['metric', 'us'] as const) {
      const build = buildFromAnswers('b', usualAnswers(system, key));
      const [first, ...others] = build.candidates;
      if (first === undefined) throw new Error('A new build has candidates.');
      const input = tryMatchInput({ ...build, candidates: [{ ...first, map }, ...others] }, 0);
      expect(input.ok).toBe(true);
      expect(build.engine.volumetricEfficiency.rows.at(-1)?.engineSpeed).toBe(highestRpm);
      expect(metricIn(build).length === 0).toBe(system === 'us');
    }
  });

  it.each(['6800', '7000', '8200', '4500'])(
    'has round engine speeds among those that are computed: to %s rpm',
    (highest) => {
      const answers = { ...usualAnswers('metric'), highestEngineSpeed: { text: highest, unit: 'rpm' } };
      const build = buildFromAnswers('b', answers);
      const [a, ...others] = build.candidates;
      if (a === undefined) throw new Error('A new build has candidates.');
      const speeds = solved({ ...build, candidates: [{ ...a, map }, ...others] }).map((point) => point.engineSpeedRpm);
      expect(speeds).toEqual(expect.arrayContaining([3000, 4000]));
      expect(build.goal.curves['gauge-boost']?.rows[0]?.engineSpeed).toBe(build.engineSpeeds.from.text);
    },
  );

  it('starts where the table of inputs starts for its own kind, in the words of the person', () => {
    const answers = { ...usualAnswers('metric'), name: ' Job 12 ', boost: { text: '1,4', unit: 'bar' } };
    const build = buildFromAnswers('b', answers);
    const { bsfc: _spread, ...engine } = defaultBuild('b').engine;
    expect(build.engine).toMatchObject(engine);
    expect(build.name).toBe('Job 12');
    expect(build.goal.curves['gauge-boost']?.rows.map(({ value }) => value)).toEqual(['0.7', '1,4', '1,4']);
    expect(workspaceOf([build]).activeBuildId).toBe('b');
  });
});
