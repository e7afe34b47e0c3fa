import { describe, expect, test } from 'vitest';
import { demoWorkspace } from '../../src/build/demo.ts';
import { assignDonor, assignMap, changeSettings, renameBuild, setBuildField, setField } from '../../src/build/index.ts';
import {
  createLuglineStore,
  selectCandidateFigures,
  selectCandidateResults,
  selectComparison,
  selectDonors,
} from '../../src/store/index.ts';

const mm = (text: string) => ({ text, unit: 'mm' });

function measuredStore() {
  const store = createLuglineStore(demoWorkspace());
  const { run } = store.getState();
  run(setField('candidate.wheels.compressor.inducer', mm('44.6'), 'demo-a'));
  run(setField('candidate.wheels.compressor.exducer', mm('57'), 'demo-a'));
  run(setField('candidate.wheels.compressor.inducer', mm('47.5'), 'demo-b'));
  run(setField('candidate.wheels.compressor.exducer', mm('62'), 'demo-b'));
  run(setField('candidate.wheels.compressor.fullBlades', { text: '6', unit: '1' }, 'demo-b'));
  return store;
}

describe('the comparison of two candidates', () => {
  test('is the same object while nothing it depends on changes, and another one after a change of air', () => {
    const store = measuredStore();
    const compare = () => selectComparison(store.getState(), 0, 1, false);
    const first = compare();
    expect(first?.comparison?.rows.length).toBe(14);
    store.getState().run(renameBuild('demo', 'Another'));
    store.getState().run(changeSettings({ theme: 'dark' }));
    expect(compare()).toBe(first);
    store.getState().run(setBuildField('air.altitude', { text: '2000', unit: 'm' }));
    expect(compare()).not.toBe(first);
    expect(selectComparison(store.getState(), 0, 9, false)).toBeNull();
  });

  test('ceilings are there when asked for, solved once an input', () => {
    const store = measuredStore();
    const withCeilings = selectComparison(store.getState(), 0, 1, true);
    const power = withCeilings?.comparison?.rows.find(({ key }) => key === 'power-at-ceiling');
    expect(power?.a.value).toBeGreaterThan(1e5);
    expect(selectComparison(store.getState(), 0, 1, true)).toBe(withCeilings);
    const back = selectComparison(store.getState(), 1, 0, true);
    expect(back?.comparison?.rows.find(({ key }) => key === 'power-at-ceiling')?.b).toEqual(power?.a);
  });

  test('ratios and a claim come from the measured wheels: 13 and 18 % (common practice, no source)', () => {
    const store = measuredStore();
    store.getState().run(setField('candidate.claim.kind', 'none', 'demo-b'));
    expect(selectComparison(store.getState(), 0, 1, false)?.claim).toBeNull();
    store.getState().run(setField('candidate.claim.kind', 'flow', 'demo-b'));
    store.getState().run(setField('candidate.claim.gain', { text: '17', unit: '%' }, 'demo-b'));
    const found = selectComparison(store.getState(), 0, 1, false);
    expect(found?.ratios.compressor.inducerArea?.value).toBeCloseTo((47.5 / 44.6) ** 2, 10);
    store.getState().run(setField('candidate.wheels.turbine.inducer', mm(''), 'demo-a'));
    expect(selectComparison(store.getState(), 0, 1, false)?.ratios.turbine.inducerArea).toBeNull();
    expect(found?.claim?.evidence.slice(0, 2).map(({ gain }) => Math.round(100 * gain.value))).toEqual([13, 18]);
  });
});

describe('a candidate that borrows a map', () => {
  test('has results on the scaled surface, with a sheet to draw, and its figures list the estimate', () => {
    const store = measuredStore();
    const { run } = store.getState();
    run(assignMap('demo-b', null));
    expect(selectCandidateResults(store.getState(), 1)?.problems[0]?.path).toBe('candidates[1].map');
    run(assignDonor('demo-b', 'demo-map-a'));
    const results = selectCandidateResults(store.getState(), 1);
    expect(results?.surface?.estimate?.sizeRatio).toBeCloseTo(62 / 56, 10);
    expect(results?.input?.compressor).toBe(results?.surface);
    expect(results?.sheet?.speedLines.length).toBe(8);
    expect(results?.findings.map(({ code }) => code)).toContain('map-estimated');
    expect(selectCandidateFigures(store.getState(), 1)?.assumptions[0]?.code).toBe('map-estimated');
    expect(selectComparison(store.getState(), 0, 1, false)?.comparison?.watch.map(({ code }) => code)).toContain(
      'map-estimated',
    );
  });

  test('the shelf is ranked for it; the same list while wheels and shelf are the same', () => {
    const store = measuredStore();
    const ranked = selectDonors(store.getState(), 1);
    // Trim 58.7 at 62 mm. Hand calculation: 0.4 % x 1.1 points + 10 % x ln(62/56) = 1.46 %; 0.4 % x 3.5 + 10 % x ln(62/61.5) = 1.48 %.
    expect(ranked.map(({ id }) => id)).toEqual(['demo-map-a', 'demo-map-b']);
    store.getState().run(setBuildField('air.altitude', { text: '900', unit: 'm' }));
    expect(selectDonors(store.getState(), 1)).toBe(ranked);
  });
});

test('figures of the wheels: trim, and tip speed and blade pass at the rated and the fastest shaft speed', () => {
  const store = measuredStore();
  const figures = selectCandidateFigures(store.getState(), 1);
  expect(selectCandidateFigures(store.getState(), 1)).toBe(figures);
  expect(figures?.compressor.figures.trim?.value).toBeCloseTo(100 * (47.5 / 62) ** 2, 10);
  const rated = figures?.compressor.rated;
  const limit = selectCandidateResults(store.getState(), 1)?.input?.limits.shaftSpeedRpm ?? 0;
  expect(rated?.shaftSpeedRpm).toBe(limit);
  expect(rated?.tipSpeedMPerS?.value).toBeCloseTo((Math.PI * 0.062 * limit) / 60, 8);
  expect(rated?.fullBladePassHz).toBeCloseTo(limit / 10, 8);
  const fastest = Math.max(
    ...(selectCandidateResults(store.getState(), 1)?.points ?? []).map((p) =>
      p.status === 'ok' ? p.shaftSpeedRpm : 0,
    ),
  );
  expect(figures?.compressor.fastest?.shaftSpeedRpm).toBe(fastest);
  // Its smaller diameter is at the outlet: 45.5 of 50.1 mm.
  expect(figures?.turbine.figures.trim?.value).toBeCloseTo(100 * (45.5 / 50.1) ** 2, 10);
});
