import { expect, test } from 'vitest';
import { defaultBuild, estimateTolerances, spreadSetup, turbineTolerances } from '../../src/build/index.ts';

test('the band of a scaled map and the reading of the donor’s sheet add up as independent errors (hand calculation)', () => {
  const { setup } = spreadSetup(defaultBuild('b'));
  if (setup === null) throw new Error('tolerances expected');
  const band = { correctedSpeed: 0.02, surgeFlow: 0.03, chokeFlow: 0.04, pressureRatio: 0.012, efficiency: 0.02 };
  const wider = estimateTolerances(
    { ...setup.tolerances, mapFlow: 0.03, mapPressureRatio: 0.005, mapEfficiency: 0.015 },
    band,
  );
  // 3-4-5, 5-12-13 and 3-4-5 triangles.
  expect(wider.mapFlow).toBeCloseTo(0.05, 12);
  expect(wider.mapPressureRatio).toBeCloseTo(0.013, 12);
  expect(wider.mapEfficiency).toBeCloseTo(0.025, 12);
  expect(wider.bsfc).toBe(setup.tolerances.bsfc);
});

test('the band of an estimated turbine adds up with the tolerance of its capacity; a sheet has none', () => {
  const { setup } = spreadSetup(defaultBuild('b'));
  if (setup === null) throw new Error('tolerances expected');
  // 8-15-17 triangle.
  const wider = turbineTolerances({ ...setup.tolerances, turbineCapacity: 0.08 }, { band: 0.15 });
  expect(wider.turbineCapacity).toBeCloseTo(0.17, 12);
  expect(wider.turbineEfficiency).toBe(setup.tolerances.turbineEfficiency);
  expect(turbineTolerances(setup.tolerances, { band: 0 })).toEqual(setup.tolerances);
});
