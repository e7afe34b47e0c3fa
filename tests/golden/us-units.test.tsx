import { act } from '@testing-library/react';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { RoadLogWarning } from '../../src/match/types.ts';
import { metric, plain } from '../metric-words.ts';
import { CASES, turbineSlips } from './cases.ts';
import {
  auditSheet,
  auditTurbineSheet,
  checkTurbineSheet,
  chooseUnits,
  GOOD,
  nuisanceWords,
  proposedRepair,
  resultUnits,
  SLIPS,
  soundSheet,
  warningSentences,
} from './doors.ts';
import { wordsOf } from './serialise.ts';
import { find, go, openAll, openStage, press, type Stage, settled } from './stage.tsx';

/* Where US units are chosen, nothing that the program says by itself may stand in metric units. */

/** A reference state typed in units of its field that it was not printed in: kelvin as °F, kPa as inHg, and one that no sheet uses. */
const WRONG_UNITS = [
  { temperatureK: 420.9, pressurePa: 100_000 },
  { temperatureK: 298.15, pressurePa: 100 * 3386.389 },
  { temperatureK: 130, pressurePa: 1000 },
] as const;

const WARNINGS: Readonly<Record<RoadLogWarning['code'], true>> = {
  'no-engine-speed': true,
  'no-manifold-pressure': true,
  'no-shaft-speed': true,
  'no-pull': true,
  'bad-input': true,
  'no-weather': true,
  'no-time': true,
  'wrong-car': true,
  overspeed: true,
  'overspeed-between-rows': true,
  pegged: true,
  spikes: true,
  'gauge-zero': true,
  'meters-differ': true,
  imbalance: true,
  'imbalance-unseen': true,
  'second-shaft-of-one': true,
  'off-map': true,
  'map-meters-little': true,
  'outlet-temperature': true,
  'turbine-temperature': true,
  'back-pressure': true,
  'manifold-pressure-limit': true,
  lean: true,
  'gate-shut-short': true,
  'gate-open-creep': true,
  surge: true,
  'surge-unseen': true,
  'no-surge-search': true,
  'rows-averaged': true,
};

let stage: Stage;
beforeAll(async () => {
  stage = await openStage();
});
afterAll(() => stage.close());

describe('in US units', () => {
  it('no finding, problem or verdict of many builds says a metric one', async () => {
    const { run, undo } = stage.store.getState();
    const said: string[] = [];
    for (const [, change] of CASES) {
      act(() => {
        run(change);
        run(chooseUnits('us'));
      });
      await settled();
      const candidates = await find('region', 'Candidates');
      await openAll(stage, candidates);
      said.push(wordsOf(await find('status', 'Verdict')), wordsOf(candidates));
      act(() => {
        undo();
        undo();
      });
    }
    // The walk reached what it is about.
    expect(said.join('\n')).toMatch(/\d (?:psi|°F|lb\/min|inHg)/);
    expect(said.flatMap(metric)).toEqual([]);
  });

  it('no view of the demonstration says a metric one', async () => {
    act(() => stage.store.getState().run(chooseUnits('us')));
    const said: string[] = [];
    for (const part of ['Table', 'Turbine', 'Differences']) {
      await press(stage, part, await find('region', 'Drawer'));
      await settled();
      said.push(wordsOf(document.querySelector('main')!));
    }
    for (const view of ['Altitude', 'Sheet'] as const) {
      await go(stage, view);
      said.push(wordsOf(document.querySelector('main')!));
    }
    // The owner's own note, and the letters of what binds beside the numbers of a table.
    const ours = said.map((text) =>
      text.replace(/[^\n]*hill coupe is to keep[^\n]*/g, '').replace(/ [A-Z](?= \||$)/gm, ''),
    );
    expect(ours.join('\n')).toMatch(/\d (?:psi|°F|lb\/min|inHg)/);
    expect(ours.flatMap(metric)).toEqual([]);
  });

  it('no audit of a sheet, and no repair that is offered for it, says a metric one', () => {
    const units = { temperature: 'degF', pressure: 'inHg', length: 'in' };
    const slips = [...SLIPS.map(({ sheet }) => sheet), ...WRONG_UNITS.map((reference) => ({ ...GOOD, reference }))];
    const said = slips.flatMap((sheet) =>
      auditSheet(sheet, units).flatMap((finding) => [
        finding.message,
        proposedRepair(finding, sheet, units)?.description ?? '',
      ]),
    );
    expect(said.filter((text) => /Read the reference (?:temperature|pressure) as/.test(text)).length).toBe(4);
    // What it was typed in is named; what it becomes is in the unit of the field.
    expect(
      said.flatMap((text) => metric(text.replace(/^Read the .* as [^:]+:/, '').replaceAll('kg/s', 'of the sheet'))),
    ).toEqual([]);
    const turbine = {
      ...soundSheet(),
      flow: { kind: 'corrected', unit: 'lb/min', reference: WRONG_UNITS[2]! },
    } as const;
    const words = { temperature: 'degF', pressure: 'inHg', opening: 'in2' };
    const remarks = [...turbineSlips().map(([, sheet]) => sheet), turbine].flatMap((sheet) => [
      ...checkTurbineSheet(sheet, words),
      ...auditTurbineSheet(sheet, undefined, words),
    ]);
    expect(plain(remarks.map(({ message }) => message).join('\n'))).toMatch(/often 59 °F or 77 °F/);
    expect(remarks.flatMap(({ message }) => metric(message.replaceAll('kg/s', 'of the sheet')))).toEqual([]);
  });

  it('no sentence on a road log says a metric one', () => {
    const us = resultUnits({ system: 'us' });
    // Every sentence with numbers of some size: pressures, temperatures, speeds.
    const values = new Proxy({}, { get: () => 5000 });
    const said = Object.keys(WARNINGS).flatMap((code) =>
      warningSentences([{ code, values, rows: [], meter: 'fuel' } as never], us).map(({ text }) => text),
    );
    expect(plain(said.join('\n'))).toMatch(/engine off the manifold pressure reads 0\.73 psi/);
    for (const key of ['inletTemperature', 'chargeProbe', 'ambientPressureOffset', 'inletPressureSensor'] as const)
      said.push(nuisanceWords({ key, value: 3, standardDeviation: 1, priorDeviation: 2 } as never, us));
    expect(said.flatMap(metric)).toEqual([]);
  });
});
