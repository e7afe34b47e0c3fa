import { readFileSync } from 'node:fs';
import { act } from '@testing-library/react';
import { afterAll, afterEach, beforeAll, describe, it } from 'vitest';
import {
  holdNumbers,
  saveMatch,
  walkAltitude,
  walkCards,
  walkComparison,
  walkCounter,
  walkMaps,
  walkMatch,
  walkSheet,
  walkSpread,
  walkTurbine,
} from './acts.ts';
import { changeSettings, deleteBuild } from './doors.ts';
import { openStage, type Stage, tellDifferences } from './stage.tsx';

/*
 * A build that has what the demonstration lacks: units of the US, decimal commas, long names, one candidate scaled from a donor, one that
 * its turbine limits, one without a turbine whose sheet has slips, one without anything; points off the map on every side.
 */
const WORLD = 'hard';
let stage: Stage;
beforeAll(async () => {
  stage = await openStage();
  await stage.drop('hard.json', readFileSync('tests/fixtures/build-v1-hard.json', 'utf8'));
  act(() => {
    const { run } = stage.store.getState();
    run(deleteBuild('demo', 'none'));
    run(
      changeSettings({
        resultUnits: { pressure: 'psi', 'mass-flow': 'lb/min', temperature: 'degF', power: 'hp', torque: 'lbft' },
      }),
    );
  });
});
afterEach(tellDifferences);
afterAll(() => stage.close());

describe('the hard build stays as it was', () => {
  it('in the Match view', async () => {
    await walkMatch(stage, WORLD);
    // What has worked goes by itself; what stands until then must not hang on how fast the walk is.
    const { ui, dismiss } = stage.store.getState();
    const passing = ui.notices.filter(({ tone }) => tone === 'done');
    for (const { id } of passing) act(() => dismiss(id));
  });
  it('in what the Match view saves', () => saveMatch(stage, WORLD));
  it('with the charts of its turbine', () => walkTurbine(stage, WORLD));
  it('in comparison', () => walkComparison(stage, WORLD));
  it('at the counter', () => walkCounter(stage, WORLD));
  it('on the cards', () => walkCards(stage, WORLD, ['A', 'D']));
  it('over altitude', () => walkAltitude(stage, WORLD));
  it('in its spread', () => walkSpread(stage, WORLD));
  it('on the shelf', () => walkMaps(stage, WORLD, 4));
  it('on the match sheet', () => walkSheet(stage, WORLD));
  it('in its numbers', () => holdNumbers(stage, WORLD));
});
