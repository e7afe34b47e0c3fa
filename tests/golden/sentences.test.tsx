import { act } from '@testing-library/react';
import { afterAll, afterEach, beforeAll, describe, it } from 'vitest';
import { CASES, turbineSlips } from './cases.ts';
import {
  auditSheet,
  auditTurbineSheet,
  checkTurbineSheet,
  newBuild,
  removeCandidate,
  SLIPS,
  selectActiveBuild,
  setBuildField,
  type setCurve,
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
