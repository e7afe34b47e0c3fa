import { describe, expect, it } from 'vitest';
import { demoBuild, demoWorkspace } from '../../../src/build/demo.ts';
import {
  addLog,
  buildToFile,
  changeLog,
  enterInletLoss,
  enterVolumetricEfficiency,
  fileToBuild,
  keepLogRows,
  keptRows,
  type LogRecord,
  logsOf,
  parseBuildFile,
  readLogText,
  rememberedHints,
  removeLog,
  roadLogOf,
  toMatchInput,
  type Workspace,
  withHints,
} from '../../../src/build/index.ts';
import { MOST_KEPT_ROWS } from '../../../src/build/log/record.ts';
import { demoLog } from '../../../src/match/index.ts';
import { bytesOf, inventedDrive, writeLog } from './invented.ts';

const log = readLogText(bytesOf(writeLog(inventedDrive())));
const record = (id: string, changed: Partial<LogRecord> = {}): LogRecord => ({
  id,
  name: `${id}.csv`,
  hash: id,
  addedAt: '2026-05-01T10:00:00.000Z',
  candidateId: 'demo-a',
  header: 'Time|n|MAP',
  hints: {},
  rows: keptRows(log, []),
  ...changed,
});
const logs = (workspace: Workspace) => logsOf(workspace.builds[workspace.activeBuildId]!);

describe('a road log of a build', () => {
  it('goes into the build, its file and back; a build without one is written as before', () => {
    const without = demoBuild();
    expect(JSON.stringify(buildToFile(without))).not.toContain('logs');
    const before = demoWorkspace();
    const after = addLog(
      record('a', {
        shaftSpeedFactor: 0.5,
        usePulls: [1],
        hints: { decimal: ',', columns: { 2: { role: 'manifoldPressure', basis: 'gauge' } } },
      }),
    ).perform(before);
    const build = after.builds[after.activeBuildId]!;
    const parsed = parseBuildFile(JSON.parse(JSON.stringify(buildToFile(build))));
    if (!parsed.ok) throw new Error(parsed.problems[0]?.message);
    expect(fileToBuild(parsed.value).logs).toEqual(build.logs);
    expect(removeLog('a').perform(after)).toEqual(before);
  });

  it('of the same file takes the place of the one before', () => {
    const once = addLog(record('a')).perform(demoWorkspace());
    const twice = addLog(record('b', { hash: 'a' })).perform(once);
    expect(logs(twice).map(({ id }) => id)).toEqual(['b']);
  });

  it('keeps at most 2,000 rows in at most 300 kB, and gives them back as a log', () => {
    const long = readLogText(bytesOf(writeLog(inventedDrive({ rateHz: 500 }))));
    const rows = keptRows(long, [{ fromRow: 2500, toRow: 7000 }]);
    expect(rows.timeS?.length).toBeLessThanOrEqual(MOST_KEPT_ROWS);
    expect(rows.timeS?.length).toBeGreaterThan(MOST_KEPT_ROWS / 2);
    expect(JSON.stringify(rows).length).toBeLessThan(300_000);
    const again = roadLogOf(keptRows(log, []));
    expect(again.channels.map(({ key }) => key)).toEqual(log.channels.map(({ key }) => key));
    for (const [at, { values }] of again.channels.entries()) {
      const worst = values.reduce(
        (most, value, row) => Math.max(most, Math.abs(value / log.channels[at]!.values[row]! - 1) || 0),
        0,
      );
      expect(worst).toBeLessThan(1e-6);
    }
  });

  it('rows that are kept anew are no step of undo, what is decided is one', () => {
    expect(keepLogRows('a', record('a').rows).undo).toBe('never');
    expect(changeLog('a', { manifoldZeroPa: 300 }, 'zero the gauge').undo).toBe('step');
  });

  it('answers add up column by column, and are known again for a file with the same columns', () => {
    const hints = withHints(
      { columns: { 2: { basis: 'gauge' } } },
      { decimal: ',', columns: { 2: { unit: 'psi' }, 4: { role: 'unused' } } },
    );
    expect(hints).toEqual({ decimal: ',', columns: { 2: { basis: 'gauge', unit: 'psi' }, 4: { role: 'unused' } } });
    const workspace = [record('a', { hints: { decimal: '.' } }), record('b', { hints, addedAt: '2026-06-01' })].reduce(
      (so, each) => addLog(each).perform(so),
      demoWorkspace(),
    );
    const builds = Object.values(workspace.builds);
    expect(rememberedHints(builds, 'Time|n|MAP')).toEqual(hints);
    expect(rememberedHints(builds, 'Time|n')).toBeNull();
  });

  it('gives its volumetric efficiency in one step, which leaves all else as it was', () => {
    const before = demoWorkspace();
    const curve = { unit: '%', rows: [{ engineSpeed: '3000', value: '93' }] };
    const change = enterVolumetricEfficiency(curve, '2.4', 'From a log.');
    const build = change.perform(before).builds.demo!;
    expect(change.undo).toBe('step');
    expect(build.engine.volumetricEfficiency).toEqual(curve);
    expect(build.spread.tolerances.volumetricEfficiency).toEqual({ text: '2.4', unit: '%' });
    expect(build.notes.endsWith('\nFrom a log.')).toBe(true);
    const { engine, spread, notes } = before.builds.demo!;
    const back = { ...build, engine, spread, notes };
    expect(JSON.stringify(back)).toBe(JSON.stringify(before.builds.demo));
  });

  it('gives its inlet loss in one step, which leaves all else as it was', () => {
    const before = demoWorkspace();
    const change = enterInletLoss({ text: '3.1', unit: 'kPa' }, '4', 'From a log.');
    const build = change.perform(before).builds.demo!;
    expect(change.undo).toBe('step');
    expect(build.inletPath.loss).toEqual({ text: '3.1', unit: 'kPa' });
    expect(build.spread.tolerances.inletLoss).toEqual({ text: '4', unit: '%' });
    const { inletPath, spread, notes } = before.builds.demo!;
    const { loss } = inletPath;
    const back = { ...build, inletPath: { ...build.inletPath, loss }, spread, notes };
    expect(JSON.stringify(back)).toBe(JSON.stringify(before.builds.demo));
  });

  it('asks what a power column is, and keeps the answer with how the file is read', () => {
    const text = 'Time [s];n [rpm];MAP [kPa];Power [kW]\n0;3000;150;80\n0.1;3100;160;90\n0.2;3200;170;95\n';
    const question = readLogText(bytesOf(text)).questions.find(({ code }) => code === 'power')!;
    expect(question.choices).toHaveLength(6);
    const { hints } = question.choices[4]!;
    expect(hints).toEqual({ power: { at: 'wheels', correction: 'sae-j1349' } });
    expect(readLogText(bytesOf(text), hints).questions.map(({ code }) => code)).not.toContain('power');
    const workspace = addLog(record('power', { hints: withHints({}, hints) })).perform(demoWorkspace());
    const file = parseBuildFile(JSON.parse(JSON.stringify(buildToFile(workspace.builds.demo!))));
    expect(file.ok && logsOf(fileToBuild(file.value)).at(-1)?.hints).toEqual(hints);
  });
});

describe('the invented log', () => {
  it('is the same every time, says that it is invented, and is read without a question', () => {
    const input = toMatchInput(demoBuild(), 0);
    const text = demoLog(input) ?? '';
    expect(demoLog(input)).toBe(text);
    expect(demoLog(input, 21)).not.toBe(text);
    expect(text).toMatch(/^Invented: /);
    const read = readLogText(bytesOf(text));
    expect([read.problems, read.questions, read.findings]).toEqual([[], [], []]);
    expect(read.columns.map(({ role }) => role)).toEqual([
      'time',
      'engineSpeed',
      'manifoldPressure',
      'shaftSpeed',
      'chargeTemperature',
      'throttle',
      'ambientPressure',
    ]);
  });
});
