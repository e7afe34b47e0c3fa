import { describe, expect, it } from 'vitest';
import { LogReader } from '../../../src/app/studies/computeLog.ts';
import { demoBuild, demoWorkspace } from '../../../src/build/demo.ts';
import { addLog, toMatchInput } from '../../../src/build/index.ts';
import { demoLog, resultUnits } from '../../../src/match/index.ts';
import { draftOfFile, type LogStudy } from '../../../src/store/index.ts';
import { measuredWords } from '../../../src/views/sheet/model/roadLog.ts';

const units = resultUnits({});
const text = demoLog(toMatchInput(demoBuild(), 0)) ?? '';

async function studied(): Promise<LogStudy> {
  const build = demoBuild();
  const record = draftOfFile('log', 'demo.csv', '2026-05-01T08:00:00.000Z', 'demo-a', true);
  const study = await new LogReader().study({ build, candidateIndex: 0, record, bytes: new Blob([text]) });
  const complete = { ...record, hash: study.text.hash, header: study.text.header, rows: study.text.rows };
  const workspace = addLog(complete).perform(demoWorkspace());
  return { ...study, build: workspace.builds.demo!, record: complete };
}

describe('what the sheet says was measured on the road', () => {
  it('is nothing without a log, and says so while the log is not read', async () => {
    expect(measuredWords({ build: demoBuild(), log: null }, units)).toEqual([]);
    const { build } = await studied();
    expect(measuredWords({ build, log: null }, units)).toEqual(['The road log of this build is not read yet.']);
  });

  it('names file, date, hash, pulls, air and channels, and sets measured beside predicted', async () => {
    const study = await studied();
    const [source, speeds, ...others] = measuredWords({ build: study.build, log: study }, units);
    expect(source).toContain(
      `demo.csv, invented, opened 2026-05-01, SHA-256 ${study.text.hash.slice(0, 12)}. 2 pulls: `,
    );
    expect(source).toMatch(
      /Air: 94\skPa, 24\s°C, .*Read: engine speed \(rpm\), manifold pressure \(kPa, absolute\), shaft speed \(rpm\), charge temperature \(manifold\) \(°C\)/,
    );
    expect(speeds).toMatch(
      /^Shaft speed in rpm, measured \(predicted\): .*4000\srpm 1\d\d\u202f\d{3} \(1\d\d\u202f\d{3}\)/,
    );
    expect(others.join(' ')).toMatch(/blade count fits/);
  });

  it('is taken back when the inputs have changed since', async () => {
    const study = await studied();
    const build = { ...study.build, air: { ...study.build.air } };
    expect(measuredWords({ build, log: study }, units)).toEqual(['The road log of this build is not read yet.']);
  });
});
