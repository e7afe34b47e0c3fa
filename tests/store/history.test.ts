import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { Change, Workspace } from '../../src/build/index.ts';
import {
  changeSettings,
  defaultBuild,
  deleteBuild,
  newBuild,
  restoreBackup,
  selectBuild,
  setBuildField,
  workspaceOf,
} from '../../src/build/index.ts';
import { createLuglineStore, selectRedoLabel, selectUndoLabel } from '../../src/store/index.ts';
import { anyChange, buildWithMap, withTurbine } from '../build/anyChange.ts';

/** What undo covers: everything but how things are shown and which build is open. */
function document({ builds, buildOrder, shelf, shelfOrder }: Workspace) {
  return { builds, buildOrder, shelf, shelfOrder };
}

/** Rules that hold in every workspace, whatever was done to it. */
function expectSound(workspace: Workspace) {
  expect(workspace.buildOrder.length).toBeGreaterThan(0);
  expect([...workspace.buildOrder].sort()).toEqual(Object.keys(workspace.builds).sort());
  expect([...workspace.shelfOrder].sort()).toEqual(Object.keys(workspace.shelf).sort());
  expect(workspace.builds[workspace.activeBuildId]).toBeDefined();
  const names = workspace.buildOrder.map((id) => workspace.builds[id]?.name);
  expect(new Set(names).size).toBe(names.length);
  const mapNames = workspace.shelfOrder.map((id) => workspace.shelf[id]?.name);
  expect(new Set(mapNames).size).toBe(mapNames.length);
  for (const build of Object.values(workspace.builds)) {
    for (const { map, donor, turbineSheet } of build.candidates) {
      for (const carried of [map, donor, turbineSheet]) {
        const shelved = carried === null ? undefined : workspace.shelf[carried.id];
        if (shelved !== undefined) expect(carried).toBe(shelved);
      }
      for (const compressor of [map, donor]) expect(compressor?.kind).toBeUndefined();
      if (turbineSheet !== null) expect(turbineSheet.kind).toBe('turbine');
    }
  }
}

describe('undo and redo', () => {
  test('after any sequence of commands, undoing all gives the start and redoing all gives the end', () => {
    fc.assert(
      fc.property(fc.array(fc.tuple(anyChange, fc.nat(1500)), { maxLength: 25 }), (sequence) => {
        let clock = 0;
        const start = workspaceOf([withTurbine(buildWithMap('first'))]);
        const store = createLuglineStore(start, { now: () => clock });
        sequence.forEach(([make, pause], serial) => {
          clock += pause;
          store.getState().run(make(store.getState().workspace, serial));
          expectSound(store.getState().workspace);
        });
        const end = store.getState().workspace;
        const steps = store.getState().history.past.length;
        for (let i = 0; i < steps; i += 1) {
          store.getState().undo();
          expectSound(store.getState().workspace);
        }
        expect(selectUndoLabel(store.getState())).toBeNull();
        expect(document(store.getState().workspace)).toEqual(document(start));
        for (let i = 0; i < steps; i += 1) store.getState().redo();
        expect(selectRedoLabel(store.getState())).toBeNull();
        expect(document(store.getState().workspace)).toEqual(document(end));
      }),
      { numRuns: 300, seed: 20261 },
    );
  });

  const altitude = (text: string) => setBuildField('air.altitude', { text, unit: 'm' });
  const altitudeOf = (workspace: Workspace) => workspace.builds[workspace.activeBuildId]?.air.altitude.text;

  test('typing that comes back to what stood there leaves no step', () => {
    let clock = 0;
    const start = workspaceOf([defaultBuild('a', 'A')]);
    const store = createLuglineStore(start, { now: () => clock });
    const before = altitudeOf(start) ?? '';
    for (const text of ['1', '12', before]) {
      clock += 200;
      store.getState().run(altitude(text));
    }
    expect(selectUndoLabel(store.getState())).toBeNull();
    expect(store.getState().workspace).toBe(start);
    // A second later the same is a step of its own: both can be undone.
    store.getState().run(altitude('900'));
    clock += 5000;
    store.getState().run(altitude(before));
    store.getState().undo();
    expect(altitudeOf(store.getState().workspace)).toBe('900');
  });

  test('typing in one field is one step, a pause of a second or another field begins the next', () => {
    let clock = 0;
    const store = createLuglineStore(workspaceOf([defaultBuild('b')]), { now: () => clock });
    for (const text of ['1', '15', '150', '1500']) {
      clock += 999;
      store.getState().run(altitude(text));
    }
    expect(store.getState().history.past).toHaveLength(1);
    clock += 1000;
    store.getState().run(altitude('1600'));
    store.getState().run(setBuildField('air.temperature', { text: '30', unit: 'degC' }));
    store.getState().run(altitude('1700'));
    expect(store.getState().history.past).toHaveLength(4);
    expect(selectUndoLabel(store.getState())).toBe('change altitude');
    for (let i = 0; i < 3; i += 1) store.getState().undo();
    expect(altitudeOf(store.getState().workspace)).toBe('1500');
    store.getState().undo();
    expect(altitudeOf(store.getState().workspace)).toBe('0');
  });

  test('a value equal to the present one makes no step, and a new change clears what could be redone', () => {
    const store = createLuglineStore(workspaceOf([defaultBuild('b')]), { now: () => 0 });
    store.getState().run(altitude('0'));
    expect(selectUndoLabel(store.getState())).toBeNull();
    store.getState().run(altitude('5'));
    store.getState().undo();
    expect(selectRedoLabel(store.getState())).toBe('change altitude');
    store.getState().run(altitude('6'));
    expect(selectRedoLabel(store.getState())).toBeNull();
  });

  test('how things are shown is no step, and undo leaves it as it is now', () => {
    const store = createLuglineStore(workspaceOf([defaultBuild('b')]));
    store.getState().run(altitude('900'));
    store.getState().run(changeSettings({ theme: 'dark' }));
    store.getState().undo();
    expect(altitudeOf(store.getState().workspace)).toBe('0');
    expect(store.getState().workspace.settings.theme).toBe('dark');
  });

  test('undo opens the build in which the step was made', () => {
    const store = createLuglineStore(workspaceOf([defaultBuild('a', 'A'), defaultBuild('b', 'B')]));
    store.getState().run(altitude('900'));
    store.getState().run(selectBuild('b'));
    store.getState().undo();
    expect(store.getState().workspace.activeBuildId).toBe('a');
    expect(altitudeOf(store.getState().workspace)).toBe('0');
  });

  test('deleting the last build leaves a new one, and undo brings the deleted one back', () => {
    const store = createLuglineStore(workspaceOf([buildWithMap('only')]));
    store.getState().run(deleteBuild('only', 'spare'));
    expect(store.getState().workspace.buildOrder).toEqual(['spare']);
    store.getState().undo();
    expect(store.getState().workspace.builds.only).toEqual(buildWithMap('only'));
  });

  test('restoring a backup with settings is one step, settings included', () => {
    const store = createLuglineStore(workspaceOf([defaultBuild('a')]));
    const settings = { ...store.getState().workspace.settings, theme: 'dark' as const };
    const backup = { builds: [buildWithMap('k')], maps: [], settings, activeBuildId: 'k' };
    store.getState().run(restoreBackup(backup, 'fresh'));
    expect(store.getState().workspace.activeBuildId).toBe('k');
    store.getState().undo();
    expect(store.getState().workspace.settings.theme).toBe('system');
    expect(store.getState().workspace.buildOrder).toEqual(['a']);
  });

  test('a restored backup opens the build that was open in it, also where that had to be given a new id', () => {
    const store = createLuglineStore(workspaceOf([buildWithMap('k')]));
    const changed = { ...buildWithMap('k'), notes: 'as it was in the backup' };
    const backup = { builds: [changed, buildWithMap('other')], maps: [], settings: null, activeBuildId: 'k' };
    store.getState().run(restoreBackup(backup, 'fresh'));
    const { builds, activeBuildId } = store.getState().workspace;
    expect(builds[activeBuildId]?.notes).toBe('as it was in the backup');
    expect(builds.k?.notes).toBe('');
  });

  test('a merge key handed in joins changes that would be steps of their own', () => {
    const store = createLuglineStore(workspaceOf([defaultBuild('a')]), { now: () => 0 });
    store.getState().run(newBuild('x'), 'gesture');
    store.getState().run(newBuild('y'), 'gesture');
    expect(store.getState().history.past).toHaveLength(1);
    store.getState().undo();
    expect(store.getState().workspace.buildOrder).toEqual(['a']);
  });
});

describe('undo when another window has saved', () => {
  const changes = fc.array(anyChange, { maxLength: 12 });
  const few = fc.array(anyChange, { minLength: 1, maxLength: 2 });

  test('what it changed is taken back by no step, and every step that is left leaves a whole workspace', () => {
    let kept = 0;
    fc.assert(
      fc.property(changes, few, changes, (before, elsewhere, undone) => {
        const builds = ['first', 'second', 'third'].map((id) => buildWithMap(id));
        const store = createLuglineStore(workspaceOf(builds as [(typeof builds)[number]]), { now: () => 0 });
        before.forEach((make, serial) => void store.getState().run(make(store.getState().workspace, serial)));
        for (const _ of undone) store.getState().undo();
        const here = store.getState().workspace;
        const there = elsewhere.reduce((w, make, serial) => make(w, 1000 + serial).perform(w), here);
        store.getState().adopt(there, {});
        kept += store.getState().history.past.length;
        const expectElsewhereKept = () => {
          const { workspace } = store.getState();
          expect([...workspace.buildOrder].sort()).toEqual(Object.keys(workspace.builds).sort());
          expect(workspace.builds[workspace.activeBuildId]).toBeDefined();
          for (const id of new Set([...Object.keys(here.builds), ...Object.keys(there.builds)]))
            if (here.builds[id] !== there.builds[id]) expect(workspace.builds[id]).toEqual(there.builds[id]);
          for (const id of new Set([...Object.keys(here.shelf), ...Object.keys(there.shelf)]))
            if (here.shelf[id] !== there.shelf[id]) expect(workspace.shelf[id]).toEqual(there.shelf[id]);
          for (const build of Object.values(workspace.builds))
            for (const { map } of build.candidates) expect(workspace.shelf[map?.id ?? ''] ?? map).toEqual(map);
        };
        for (let i = 0; i < before.length; i += 1) {
          store.getState().undo();
          expectElsewhereKept();
        }
        for (let i = 0; i < before.length; i += 1) {
          store.getState().redo();
          expectElsewhereKept();
        }
      }),
      { numRuns: 400, seed: 20262 },
    );
    // Not all of them went.
    expect(kept).toBeGreaterThan(100);
  });

  test('a step in another build can be undone still; one in the same build is gone, with how many went', () => {
    const altitude = (text: string) => setBuildField('air.altitude', { text, unit: 'm' });
    let clock = 0;
    const store = createLuglineStore(workspaceOf([defaultBuild('a', 'A'), defaultBuild('b', 'B')]), {
      now: () => clock,
    });
    store.getState().run(selectBuild('b'));
    store.getState().run(altitude('100'));
    clock += 5000;
    store.getState().run(selectBuild('a'));
    store.getState().run(altitude('200'));
    const inB = [selectBuild('b'), altitude('300')];
    const adoptWith = (list: readonly Change[]) =>
      store.getState().adopt(
        list.reduce((w, change) => change.perform(w), store.getState().workspace),
        {},
      );
    expect(adoptWith(inB)).toBe(1);
    store.getState().undo();
    expect(store.getState().workspace.builds.a?.air.altitude.text).toBe('0');
    expect(store.getState().workspace.builds.b?.air.altitude.text).toBe('300');
    expect(selectUndoLabel(store.getState())).toBeNull();
  });
});
