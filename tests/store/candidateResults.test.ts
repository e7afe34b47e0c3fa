import { describe, expect, test } from 'vitest';
import { demoWorkspace } from '../../src/build/demo.ts';
import {
  changeSettings,
  editMap,
  type MapFitter,
  mapFitter,
  renameBuild,
  renameMap,
  setBuildField,
  setField,
} from '../../src/build/index.ts';
import { selectCandidateTurbine } from '../../src/store/candidateFigures.ts';
import { createLuglineStore, selectBuilds, selectCandidateResults, selectDayAir } from '../../src/store/index.ts';
import { selectMapFit, selectShelf } from '../../src/store/selectors.ts';

/** A store whose map fits are counted. */
function countingStore() {
  let fits = 0;
  const fitter: MapFitter = {
    fit: (sheet) => {
      fits += 1;
      return mapFitter.fit(sheet);
    },
  };
  const store = createLuglineStore(demoWorkspace(), { fitter });
  const results = (index: number) => {
    const found = selectCandidateResults(store.getState(), index);
    if (found === null) throw new Error('a candidate expected');
    return found;
  };
  return { store, results, fits: () => fits };
}

const altitude = (text: string) => setBuildField('air.altitude', { text, unit: 'm' });

describe('results of a candidate', () => {
  test('are the same object while nothing they depend on changes', () => {
    const { store, results, fits } = countingStore();
    const first = results(0);
    expect(first.points.length).toBeGreaterThan(10);
    expect(first.input?.compressor).toBe(first.surface);
    store.getState().run(renameBuild('demo', 'Another name'));
    store.getState().run(changeSettings({ theme: 'dark' }));
    store.getState().run(setBuildField('notes', 'Another note'));
    store.getState().setUi({ pointerEngineSpeedRpm: 4000 });
    expect(results(0)).toBe(first);
    expect(fits()).toBe(1);
  });

  test('an exhaust or turbine that is changed solves the line again; the sheet is not fitted again, nor the map', () => {
    const { store, results, fits } = countingStore();
    const turbine = () => selectCandidateTurbine(store.getState(), 0);
    const [before, first] = [results(0), turbine()];
    store.getState().run(renameBuild('demo', 'Another name'));
    expect(turbine()).toBe(first);
    expect(before.input?.turbine).toBe(first?.input);
    store.getState().run(setBuildField('exhaust.loss', { text: '30', unit: 'kPa' }));
    const choked = results(0);
    expect(turbine()?.input?.exhaustLoss.lossPa).toBeCloseTo(30_000, 6);
    expect(turbine()?.capacity).toBe(first?.capacity);
    const pressure = (r: typeof before) =>
      r.points.map((p) => (p.status === 'ok' ? (p.turbineInletPressurePa ?? 0) : 0));
    // More back-pressure behind the turbine is more before it.
    expect(pressure(choked).at(-1)).toBeGreaterThan((pressure(before).at(-1) ?? 0) + 10_000);
    store.getState().run(setField('candidate.turbine.source', 'none', 'demo-a'));
    expect(results(0).input?.turbine).toBeUndefined();
    expect(turbine()).toMatchObject({ from: 'none', input: null });
    expect(fits()).toBe(1);
    expect(selectCandidateTurbine(store.getState(), 9)).toBeNull();
  });

  test('a change of air solves the line again without fitting a map again, and undo gives the numbers of before', () => {
    const { store, results, fits } = countingStore();
    const before = results(0);
    results(1);
    expect(fits()).toBe(2);
    store.getState().run(altitude('2000'));
    const higher = results(0);
    expect(higher).not.toBe(before);
    expect(higher.surface).toBe(before.surface);
    const speed = (r: typeof before) => r.points.map((p) => (p.status === 'ok' ? p.shaftSpeedRpm : Number.NaN));
    const fastest = (r: typeof before) => Math.max(...speed(r));
    // The same gauge boost on thinner air needs a higher pressure ratio, and that a faster shaft.
    expect(fastest(higher)).toBeGreaterThan(fastest(before) * 1.05);
    store.getState().undo();
    expect(speed(results(0))).toEqual(speed(before));
    expect(fits()).toBe(2);
  });

  test('an edit of one map fits that map alone; a new name fits none', () => {
    const { store, results, fits } = countingStore();
    results(0);
    const other = results(1);
    store
      .getState()
      .run(editMap('demo-map-a', (map) => ({ ...map, limits: { shaftSpeed: { text: '150000', unit: 'rpm' } } })));
    expect(results(0).input?.limits.shaftSpeedRpm).toBe(150000);
    expect(results(1)).toBe(other);
    expect(fits()).toBe(3);
    store.getState().run(renameMap('demo-map-a', 'Renamed'));
    results(0);
    expect(selectMapFit(store.getState(), 'demo-map-a')?.surface).toBe(results(0).surface);
    expect(fits()).toBe(3);
  });

  test('an entry that cannot be read gives its problem and no points; the map stays', () => {
    const { store, results } = countingStore();
    store.getState().run(altitude('up there'));
    expect(results(0)).toMatchObject({ input: null, points: [], findings: [] });
    expect(results(0).problems.map(({ path }) => path)).toEqual(['air.altitude']);
    expect(results(0).surface).not.toBeNull();
    expect(selectCandidateResults(store.getState(), 9)).toBeNull();
  });
});

test('lists and the day’s air stay the same objects between calls', () => {
  const { store } = countingStore();
  expect(selectBuilds(store.getState())).toBe(selectBuilds(store.getState()));
  expect(selectShelf(store.getState())).toBe(selectShelf(store.getState()));
  const air = selectDayAir(store.getState());
  store.getState().run(renameBuild('demo', 'X'));
  expect(selectDayAir(store.getState())).toBe(air);
  // ISO 2533 at 620 m: T = 284.12 K, p = 101325 (284.12 / 288.15)^5.25588.
  expect(air.air?.ambient.pressurePa).toBeCloseTo(101325 * (284.12 / 288.15) ** 5.25588, 1);
});

test('unread texts are kept by place and let go of', () => {
  const { store } = countingStore();
  store.getState().setDraft('demo/air.altitude', '6oo');
  store.getState().setDraft('demo/air.temperature', 'x');
  store.getState().setDraft('demo/air.altitude', null);
  expect(store.getState().ui.drafts).toEqual({ 'demo/air.temperature': 'x' });
});
