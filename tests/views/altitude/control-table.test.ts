import { describe, expect, it } from 'vitest';
import { computeTable } from '../../../src/app/studies/computeStudies.ts';
import { demoBuild } from '../../../src/build/demo.ts';
import { type Build, chooseUnits, setBuildField, takeBreakpoints, workspaceOf } from '../../../src/build/index.ts';
import { resultUnits } from '../../../src/match/index.ts';
import { createLuglineStore, isSameStudy } from '../../../src/store/index.ts';
import { bareNumbers, controlSheet, withHeadings } from '../../../src/views/shared/controlTable.ts';

const demo = demoBuild();
const METRIC = resultUnits({ resultUnits: {} } as never);

const build = (changed: Partial<Build['controlTable']>, of: Build = demo): Build => ({
  ...of,
  controlTable: { ...of.controlTable, engineSpeeds: '3500 5000 6500', barometers: '100 85', ...changed },
});

const study = (of: Build, index = 0) => ({ build: of, ...computeTable(of, index) });
const plain = (words: readonly string[]) => words.join(' ').replaceAll('\u00a0', ' ');

describe('the table to key in', () => {
  const made = study(build({}));
  const sheet = controlSheet(made, 'target', METRIC);

  it('answers in a sentence, says how it was made, and what its letters mean', () => {
    expect(sheet.headline.replaceAll('\u00a0', ' ')).toMatch(
      /^The table for A asks for \d+ to \d+ kPa: a limit holds \d cells? of 6 under the goal\.$/,
    );
    expect(plain(sheet.details)).toMatch(/the lowest of air of −10 °C, 13 °C and 35 °C, rounded down to 1 kPa\./);
    expect(plain(sheet.details)).toMatch(/middles between cells|in the middle/);
    expect(sheet.legend.join()).toContain('T outlet temperature');
  });

  it('bare numbers are the cells, with headings the same between the breakpoints; turned, they are turned', () => {
    const numbers = made.table.cells.map((row) => row.map(({ steps }) => String(steps)));
    expect(bareNumbers(sheet)).toBe(`${numbers.map((row) => row.join('\t')).join('\n')}\n`);
    expect(withHeadings(sheet)).toEqual([
      ['Target, kPa absolute: Engine speed, rpm, by barometric pressure, kPa', '100', '85'],
      ...['3500', '5000', '6500'].map((rpm, r) => [rpm, ...numbers[r]!]),
    ]);
    const across = controlSheet(study(build({ layout: 'across' })), 'target', METRIC);
    expect(across.columns).toEqual(['3500', '5000', '6500']);
    expect(across.rows.map(({ cells }) => cells.map(({ bare }) => bare))).toEqual(
      [0, 1].map((c) => numbers.map((row) => row[c])),
    );
  });

  it('what is copied can be pasted back and is under its own ceilings, in every kind and with the headings or without', () => {
    for (const changed of [
      { kind: 'absolute' },
      { kind: 'gauge', step: { text: '0.1', unit: 'psi' } },
      { kind: 'gauge', step: { text: '0.01', unit: 'bar' }, layout: 'across' },
      { kind: 'ratio' },
    ] as const) {
      const first = controlSheet(study(build(changed)), 'target', METRIC);
      for (const entered of [
        bareNumbers(first),
        withHeadings(first)
          .map((row) => row.join('\t'))
          .join('\n'),
      ]) {
        const back = controlSheet(study(build({ ...changed, entered })), 'entered', METRIC);
        expect(back.headline).toBe('All 6 cells of your table are under the ceilings.');
        expect(back.rows.map(({ cells }) => cells.map(({ bare }) => Number(bare)))).toEqual(
          first.rows.map(({ cells }) => cells.map(({ bare }) => Number(bare))),
        );
      }
    }
  });
});

describe('the table that is there already', () => {
  it("counts cells over, names the limit and the worst in the table's own unit, and marks each by a sign", () => {
    const sheet = controlSheet(study(build({ entered: '200 180\n250 200\n260 200' })), 'entered', METRIC);
    expect(sheet.tone).toBe('stop');
    expect(sheet.headline.replaceAll('\u00a0', ' ')).toMatch(
      /^[23] of 6 cells are over the limit of outlet temperature, the worst by \d+\.\d kPa at 6500 rpm and 100 kPa\.$/,
    );
    const over = sheet.rows.flatMap(({ cells }) => cells).filter(({ state }) => state === 'over');
    for (const cell of over) {
      expect(cell.mark).toBe('▲T');
      expect(cell.spoken).toBe('over: outlet temperature');
    }
    expect(sheet.legend).toContain('▲ over the ceiling');
  });

  it('a build in US units asks in psi and degrees Fahrenheit', () => {
    const store = createLuglineStore(workspaceOf([demo]));
    store.getState().run(chooseUnits('us'));
    const { workspace } = store.getState();
    const us = workspace.builds[demo.id]!;
    // Without breakpoints of the control unit the axis follows; typed ones stay.
    expect(us.controlTable.axis).toBe('psi');
    store.getState().run(setBuildField('controlTable.barometers', '14.5 12'));
    store.getState().run(chooseUnits('metric'));
    expect(store.getState().workspace.builds[demo.id]!.controlTable).toMatchObject({
      axis: 'psi',
      barometers: '14.5 12',
    });
    expect(us.controlTable.step).toEqual({ text: '0.1', unit: 'psi' });
    const sheet = controlSheet(
      study(build({ axis: 'psi', barometers: '14.5 12' }, us)),
      'target',
      resultUnits(workspace.settings),
    );
    expect(sheet.title).toBe('Target, psi absolute');
    expect(plain([sheet.headline, ...sheet.details])).toMatch(/asks for \d+\.\d to \d+\.\d psi/);
    expect(plain(sheet.details)).toMatch(/15 °F, 55 °F and 95 °F, rounded down to 0\.1 psi/);
    expect(plain([sheet.headline, ...sheet.details, ...sheet.legend])).not.toMatch(/kPa|°C/);
  });
});

describe('what is asked stands in the build', () => {
  it('taking pasted breakpoints is one step of undo, and another study is asked for', () => {
    const store = createLuglineStore(workspaceOf([demo]));
    const now = () => store.getState().workspace.builds[demo.id]!;
    store.getState().run(takeBreakpoints({ engineSpeeds: '1000 2000', barometers: '100 90' }));
    expect(now().controlTable).toMatchObject({ engineSpeeds: '1000 2000', barometers: '100 90' });
    expect(isSameStudy('table', now(), demo)).toBe(false);
    store.getState().undo();
    expect(now().controlTable).toEqual(demo.controlTable);
  });

  it('what cannot be read stands in the way by name', () => {
    expect(() => computeTable(build({ barometers: '100 x' }), 0)).toThrow(/'x' is not a number/);
  });
});
