import { afterAll, afterEach, beforeAll, describe, it } from 'vitest';
import {
  holdNumbers,
  saveFiles,
  saveMatch,
  walkAltitude,
  walkCards,
  walkComparison,
  walkCounter,
  walkFiling,
  walkMaps,
  walkMatch,
  walkSheet,
  walkSpread,
  walkTurbine,
} from './acts.ts';
import { openStage, type Stage, tellDifferences } from './stage.tsx';

const WORLD = 'demo';
let stage: Stage;
beforeAll(async () => {
  stage = await openStage();
});
afterEach(tellDifferences);
afterAll(() => stage.close());

describe('the demonstration build stays as it was', () => {
  it('in the Match view', () => walkMatch(stage, WORLD));
  it('in what the Match view saves', () => saveMatch(stage, WORLD));
  it('with the charts of its turbine', () => walkTurbine(stage, WORLD));
  it('in comparison', () => walkComparison(stage, WORLD));
  it('at the counter', () => walkCounter(stage, WORLD));
  it('on the cards', () => walkCards(stage, WORLD, ['A', 'B']));
  it('over altitude', () => walkAltitude(stage, WORLD));
  it('in its spread', () => walkSpread(stage, WORLD));
  it('on the shelf', () => walkMaps(stage, WORLD));
  it('on the match sheet', () => walkSheet(stage, WORLD));
  it('in its numbers', () => holdNumbers(stage, WORLD));
  it('in the files that it saves', () => saveFiles(stage, WORLD));
  it('in the sheet that is filed', () => walkFiling(stage, WORLD));
});
