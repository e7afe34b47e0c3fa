import { beforeAll, describe, expect, it } from 'vitest';
import { LogReader } from '../../../src/app/studies/computeLog.ts';
import { demoBuild } from '../../../src/build/demo.ts';
import { resultUnits } from '../../../src/match/index.ts';
import { LINE_KIND } from '../../../src/plot/charts/line.tsx';
import { candidateStyle } from '../../../src/plot/index.ts';
import { draftOfFile, type LogStudy } from '../../../src/store/index.ts';
import { OVER_TIME, overTime } from '../../../src/views/log/model/logCharts.ts';

const units = resultUnits({});
let study: LogStudy;
beforeAll(async () => {
  const build = demoBuild();
  const record = draftOfFile('log', 'demo.csv', '2026-05-01T08:00:00.000Z', 'demo-a', true);
  study = { ...(await new LogReader().study({ build, candidateIndex: 0, record, bytes: null })), build };
});

const charts = (rows: LogStudy['text']['rows'], result: LogStudy['result'], to: number) =>
  OVER_TIME.map((quantity) => overTime(quantity, rows, result, [0, to], units, candidateStyle(0)));

describe('the charts over time', () => {
  it('begin at one line, whatever their numbers', () => {
    const drawn = charts(study.text.rows, study.result, 36);
    expect(drawn.length).toBe(3);
    const size = { width: 600, height: 168 };
    const lefts = drawn.map((model) => LINE_KIND.axes({ ...model, focusX: null }, size).frame.left);
    expect(new Set(lefts).size).toBe(1);
  });

  it('of a log without a time say that they stand by row', () => {
    const rows = { ...study.text.rows, timeS: null };
    for (const { xAxis } of charts(rows, study.result, 719)) expect(xAxis).toMatchObject({ title: 'Row', unit: '' });
  });
});
