import { act } from '@testing-library/react';
import { afterAll, afterEach, beforeAll, describe, it } from 'vitest';
import {
  auditSheet,
  auditTurbineSheet,
  checkTurbineSheet,
  newBuild,
  removeCandidate,
  SLIPS,
  selectActiveBuild,
  setBuildField,
  setCurve,
  soundSheet,
} from './doors.ts';
import { wordsOf } from './serialise.ts';
import {
  expectDrawings,
  expectText,
  expectWords,
  find,
  go,
  openAll,
  openStage,
  press,
  type Stage,
  settled,
  tellDifferences,
} from './stage.tsx';

let stage: Stage;
beforeAll(async () => {
  stage = await openStage();
});
afterEach(tellDifferences);
afterAll(() => stage.close());

const typed = (text: string, unit: string) => ({ text, unit });

/** One change of the demonstration build each, so that nearly every finding, assumption and problem is said once. */
const CASES: readonly (readonly [string, ReturnType<typeof setCurve>])[] = [
  ['no room for the shaft', setBuildField('air.altitude', typed('3000', 'm'))],
  ['hot and humid', setBuildField('air.temperature', typed('45', 'degC'))],
  ['read on site', setBuildField('air.barometer.kind', 'read-on-site')],
  ['weather report', setBuildField('air.barometer.kind', 'weather-report')],
  ['no cooler', setBuildField('chargePath.cooler.kind', 'none')],
  ['cold water', setBuildField('chargePath.cooler.kind', 'water')],
  ['limits of temperature', setBuildField('limits.compressorOutletTemperature', typed('120', 'degC'))],
  ['limit of pressure', setBuildField('limits.manifoldPressure', typed('180', 'kPa'))],
  ['limit of power', setBuildField('limits.brakePower', typed('150', 'kW'))],
  ['limit of back-pressure', setBuildField('limits.backPressureRatio', typed('1.1', '1'))],
  ['limit before the turbine', setBuildField('limits.turbineInletTemperature', typed('850', 'degC'))],
  ['small injectors', setBuildField('fuelSupply.injectorFlow', typed('300', 'cc/min'))],
  ['rail too low', setBuildField('fuelSupply.railPressure', typed('1', 'bar'))],
  ['small pump', setBuildField('fuelSupply.pumpFlow', typed('40', 'L/h'))],
  ['gas', setBuildField('engine.fuel', 'natural-gas')],
  ['Diesel fuel', setBuildField('engine.fuel', 'diesel')],
  ['port injection', setBuildField('engine.injection', 'port')],
  ['two-stroke', setBuildField('engine.strokesPerCycle', 2)],
  ['a larger engine', setBuildField('engine.displacement', typed('3.5', 'L'))],
  ['a small engine', setBuildField('engine.displacement', typed('0.9', 'L'))],
  ['bsfc in the wrong unit', setCurve('engine.bsfc', [{ engineSpeed: '2000', value: '90' }])],
  ['past the curves', setBuildField('engineSpeeds.to', typed('8000', 'rpm'))],
  ['goal by pressure', setBuildField('goal.kind', 'manifold-pressure')],
  ['goal by power', setBuildField('goal.kind', 'brake-power')],
  ['goal at the wheels', setBuildField('goal.kind', 'wheel-power')],
  ['inlet blocked', setBuildField('inletPath.loss', typed('60', 'kPa'))],
  ['long exhaust', setBuildField('exhaust.loss', typed('80', 'kPa'))],
  // What cannot be used.
  ['no displacement', setBuildField('engine.displacement', typed('', 'L'))],
  ['not a number', setBuildField('air.temperature', typed('warm', 'degC'))],
  ['too cold', setBuildField('air.temperature', typed('-300', 'degC'))],
  ['too high', setBuildField('air.altitude', typed('30000', 'm'))],
  ['speeds the wrong way', setBuildField('engineSpeeds.from', typed('7000', 'rpm'))],
  ['no step', setBuildField('engineSpeeds.step', typed('0', 'rpm'))],
  ['empty curve', setCurve('engine.lambda', [])],
  ['curve with a hole', setCurve('engine.lambda', [{ engineSpeed: '2000', value: '' }])],
  ['ratio below one', setBuildField('engine.compressionRatio', typed('0.9', '1'))],
  ['humidity over all', setBuildField('air.relativeHumidity', typed('140', '%'))],
];

/** Limits so tight that each is the one that binds. */
const LIMITS: readonly (readonly [string, ...ReturnType<typeof setCurve>[]])[] = [
  ['temperature', setBuildField('limits.compressorOutletTemperature', typed('125', 'degC'))],
  ['pressure', setBuildField('limits.manifoldPressure', typed('170', 'kPa'))],
  ['power', setBuildField('limits.brakePower', typed('110', 'kW'))],
  ['back-pressure', setBuildField('limits.backPressureRatio', typed('1.1', '1'))],
  ['turbine-temperature', setBuildField('limits.turbineInletTemperature', typed('905', 'degC'))],
  [
    'surge-and-choke',
    setBuildField('limits.surgeMargin', typed('20', '%')),
    setBuildField('limits.chokeMargin', typed('25', '%')),
  ],
];

describe('the sentences stay as they were', () => {
  it('of the findings and problems of many builds', async () => {
    const said: string[] = [];
    for (const [title, change] of CASES) {
      act(() => stage.store.getState().run(change));
      await settled();
      const candidates = await find('region', 'Candidates');
      await openAll(stage, candidates);
      said.push(`=== ${title}`, wordsOf(await find('status', 'Verdict')), wordsOf(candidates));
      act(() => stage.store.getState().undo());
    }
    await expectText('sentences/findings.txt', said.join('\n'));
  });

  it('of the audit of compressor maps and turbine sheets', async () => {
    const maps = SLIPS.map(({ code, sheet }) => {
      const found = auditSheet(sheet).map(
        (one) => `  ${one.severity} ${one.code} ${JSON.stringify(one.place ?? null)}: ${one.message}`,
      );
      return [`=== ${code}`, ...found].join('\n');
    });
    await expectText('sentences/audit-maps.txt', `${maps.join('\n')}\n`);
    const turbines = turbineSlips().map(([title, sheet]) => {
      const found = [...checkTurbineSheet(sheet), ...auditTurbineSheet(sheet)];
      return [`=== ${title}`, ...found.map((one) => `  ${one.path}: ${one.message}`)].join('\n');
    });
    await expectText('sentences/audit-turbines.txt', `${turbines.join('\n')}\n`);
  });

  it('of every limit that binds, with its hatch', async () => {
    const before = stage.store.getState().workspace;
    const { run } = stage.store.getState();
    act(() => {
      run(removeCandidate('demo-b'));
      run(setBuildField('altitudes.step', typed('1500', 'm')));
      run(setBuildField('engineSpeeds.step', typed('900', 'rpm')));
    });
    for (const [name, ...changes] of LIMITS) {
      act(() => changes.map((change) => run(change)));
      await go(stage, 'Altitude');
      await expectWords(`limits/${name}`, document.querySelector('main')!);
      await expectDrawings(`limits/${name}`, await find('region', /^What binds/));
      await go(stage, 'Match');
      act(() => changes.map(() => stage.store.getState().undo()));
    }
    act(() => stage.store.getState().adopt(before, {}));
  });

  it('of files that cannot be read', async () => {
    const build = JSON.stringify({ ...selectActiveBuild(stage.store.getState()), format: 'lugline-build', version: 1 });
    const files: readonly (readonly [string, string])[] = [
      ['empty.json', ''],
      ['torn.json', '{"format":'],
      ['list.json', '[]'],
      ['foreign.json', '{"format":"other","version":1}'],
      ['newer.json', '{"format":"lugline-build","version":99}'],
      ['bare-build.json', '{"format":"lugline-build","version":1,"name":7}'],
      ['bare-map.json', '{"format":"lugline-map","version":1,"flowUnit":"stone"}'],
      [
        'damaged.json',
        build.replace('"strokesPerCycle":4', '"strokesPerCycle":3').replace('"unit":"L"', '"unit":"cup"'),
      ],
      ['again.json', build],
    ];
    const said: string[] = [];
    for (const [name, text] of files) {
      await stage.drop(name, text);
      said.push(`=== ${name}`, wordsOf(await find('region', 'Messages on files and storage')));
      for (const { id } of stage.store.getState().ui.notices) act(() => stage.store.getState().dismiss(id));
    }
    await expectText('sentences/files.txt', said.join('\n'));
  });

  it('of the help', async () => {
    await press(stage, 'Help');
    await expectWords('sentences/help', await find('dialog', 'Help'));
    await stage.user.keyboard('{Escape}');
  });
});

describe('an empty build stays as it was', () => {
  it('in every view', async () => {
    act(() => stage.store.getState().run(newBuild('empty')));
    await go(stage, 'Match');
    await expectWords('empty/match');
    await expectDrawings('empty/match');
    await go(stage, 'Altitude');
    await expectWords('empty/altitude', document.querySelector('main')!);
    await go(stage, 'Sheet');
    await expectWords('empty/match-sheet', document.querySelector('main')!);
  });
});

function turbineSlips() {
  const point = (line: number, at: number, change: object) => {
    const sheet = soundSheet();
    const lines = sheet.lines.map((one, i) =>
      i === line ? { ...one, points: one.points.map((p, j) => (j === at ? { ...p, ...change } : p)) } : one,
    );
    return { ...sheet, lines };
  };
  const flow = soundSheet().lines[1]!.points[3]!.flow;
  return [
    ['sound', soundSheet()],
    ['flow too high', point(1, 3, { flow: flow * 1.06 })],
    ['flow falls', point(1, 3, { flow: flow * 0.8 })],
    ['flow below zero', point(1, 3, { flow: -1 })],
    ['no flow', point(1, 3, { flow: Number.NaN })],
    ['ratio below one', point(0, 2, { expansionRatio: 0.8 })],
    ['ratio far too high', point(0, 2, { expansionRatio: 12 })],
    ['efficiency over one', point(0, 2, { efficiency: 1.4 })],
    ['efficiency in percent', point(0, 2, { efficiency: 71 })],
    ['efficiency high', point(0, 2, { efficiency: 0.95 })],
    ['efficiency low', point(0, 2, { efficiency: 0.1 })],
    ['no lines', { ...soundSheet(), lines: [] }],
  ] as const;
}
