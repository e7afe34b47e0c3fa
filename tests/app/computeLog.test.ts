import { describe, expect, it } from 'vitest';
import { LogReader } from '../../src/app/studies/computeLog.ts';
import { demoBuild } from '../../src/build/demo.ts';
import { enterVolumetricEfficiency, toMatchInput, workspaceOf } from '../../src/build/index.ts';
import { demoLog } from '../../src/match/index.ts';
import { createLuglineStore, draftOfFile, selectActiveBuild } from '../../src/store/index.ts';
import { plainNumber } from '../../src/units/index.ts';

const build = demoBuild();
const text = demoLog(toMatchInput(build, 0)) ?? '';
const record = draftOfFile('log', 'demo.csv', '2026-05-01T08:00:00.000Z', 'demo-a', true);
const bytes = new Blob([text]);

describe('a log held against a build', () => {
  it('is named by the SHA-256 of its file', async () => {
    // FIPS 180-4, the example of three letters.
    const { text: read } = await new LogReader().study({ build, candidateIndex: 0, record, bytes: new Blob(['abc']) });
    expect(read.hash).toBe('ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad');
  });

  it('gives the same pulls from the rows that the build keeps as from the file', async () => {
    const whole = await new LogReader().study({ build, candidateIndex: 0, record, bytes });
    const kept = { ...record, hash: whole.text.hash, rows: whole.text.rows };
    const again = await new LogReader().study({ build, candidateIndex: 0, record: kept, bytes: null });
    expect(again.text.isFromKeptRows).toBe(true);
    expect(again.text.hash).toBe(whole.text.hash);
    const speeds = (study: typeof whole) => study.result?.pulls.map(({ fromRpm, toRpm }) => [fromRpm, toRpm]);
    expect(speeds(again)).toEqual(speeds(whole));
    expect(again.result?.rows.length).toBe(whole.result?.rows.length);
  });

  it('gives the curve to take: what the invented car differs in lies within its band, and ceilings and power follow', async () => {
    const { result, taken } = await new LogReader().study({ build, candidateIndex: 0, record, bytes });
    // The invented car breathes 4 % less than is entered from 4,500 rpm on.
    const top = (result?.fit?.volumetricEfficiency ?? []).filter(({ engineSpeedRpm }) => engineSpeedRpm >= 4500);
    expect(top.length).toBeGreaterThan(3);
    for (const { value, entered, standardDeviation } of top) {
      expect(Math.abs(value - 0.96 * entered)).toBeLessThan(2 * standardDeviation);
      expect(value).toBeLessThan(entered - standardDeviation);
    }
    const power = (line: 'before' | 'after') => {
      const point = taken?.[line].points.find(({ engineSpeedRpm }) => engineSpeedRpm === 5500);
      return point?.status === 'ok' ? point.brakePowerW : Number.NaN;
    };
    expect(power('after')).toBeLessThan(0.98 * power('before'));
    expect(taken?.after.ceilingsPa).toHaveLength(taken?.before.ceilingsPa?.length ?? -1);
    expect(taken?.tolerance).toBeLessThan(0.1);
  });

  it('taken and undone leaves the build byte for byte as it was', async () => {
    const { taken } = await new LogReader().study({ build, candidateIndex: 0, record, bytes });
    const store = createLuglineStore(workspaceOf([build]));
    const now = () => JSON.stringify(selectActiveBuild(store.getState()));
    const before = now();
    const rows = taken!.curve.map(({ engineSpeedRpm, value }) => ({
      engineSpeed: plainNumber(engineSpeedRpm, 5),
      value: plainNumber(100 * value, 5),
    }));
    store
      .getState()
      .run(enterVolumetricEfficiency({ unit: '%', rows }, plainNumber(100 * taken!.tolerance, 2), 'From a log.'));
    expect(now()).not.toBe(before);
    store.getState().undo();
    expect(now()).toBe(before);
  });

  it('says in a sentence why it cannot be compared', async () => {
    const empty = await new LogReader().study({
      build: { ...build, candidates: [] },
      candidateIndex: 0,
      record,
      bytes,
    });
    expect(empty.result).toBeNull();
    expect(empty.inputProblem).toMatch(/candidate/);
    const huge = { size: 101 * 1024 * 1024 } as Blob;
    const refused = await new LogReader().study({ build, candidateIndex: 0, record, bytes: huge });
    expect(refused.text.problems[0]?.message).toMatch(/^The file has 101 MB/);
    expect(refused.result).toBeNull();
  });
});
