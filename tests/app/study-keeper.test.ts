import { afterEach, beforeEach, describe, expect, test, vi } from 'vitest';
import type { StudyAnswer, StudyRequest, StudyWorker } from '../../src/app/studies/keepStudies.ts';
import { runStudies } from '../../src/app/studies/keepStudies.ts';
import { demoWorkspace } from '../../src/build/demo.ts';
import { setBuildField } from '../../src/build/index.ts';
import { createLuglineStore } from '../../src/store/index.ts';

/** A worker that answers when the test says so. */
class HandWorker implements StudyWorker {
  onmessage: StudyWorker['onmessage'] = null;
  onerror: StudyWorker['onerror'] = null;
  readonly asked: StudyRequest[] = [];
  isEnded = false;
  postMessage(request: StudyRequest) {
    this.asked.push(request);
  }
  terminate() {
    this.isEnded = true;
  }
  answer(answer: Partial<StudyAnswer> & { kind: StudyAnswer['kind'] }, id = this.asked.at(-1)!.id) {
    this.onmessage?.({ data: { id, ...answer } } as MessageEvent<StudyAnswer>);
  }
}

function opened() {
  const store = createLuglineStore(demoWorkspace());
  const workers: HandWorker[] = [];
  const running = runStudies(store, () => {
    const worker = new HandWorker();
    workers.push(worker);
    return worker;
  });
  const altitude = (text: string) => store.getState().run(setBuildField('air.altitude', { text, unit: 'm' }));
  const studies = () => store.getState().studies;
  return { store, workers, running, altitude, studies };
}

const nothing = { places: { grid: [], saved: [], field: [], rangeM: null, rule: null, problems: [] }, candidates: [] };

beforeEach(() => {
  vi.useFakeTimers();
});
afterEach(() => {
  vi.useRealTimers();
});

describe('the altitudes', () => {
  test('are computed only while their view is open', () => {
    const { store, workers } = opened();
    expect(workers).toHaveLength(0);
    store.getState().setUi({ view: 'altitude' });
    expect(workers[0]!.asked).toHaveLength(1);
  });

  test('finish what is begun, then take the newest state and pass over those between', () => {
    const { store, workers, altitude, studies } = opened();
    store.getState().setUi({ view: 'altitude' });
    const begun = store.getState().workspace.builds.demo;
    altitude('700');
    altitude('800');
    altitude('900');
    expect(workers[0]!.asked).toHaveLength(1);
    workers[0]!.answer({ kind: 'altitude', result: nothing });
    // What came is of the state that was asked for, and kept with it: it is not taken for that of the present inputs.
    expect(studies().altitude.result?.build).toBe(begun);
    expect(studies().altitude.running).toBe(true);
    expect(workers[0]!.asked).toHaveLength(2);
    expect(workers[0]!.asked[1]!.build!.air.altitude.text).toBe('900');
    workers[0]!.answer({ kind: 'altitude', result: nothing });
    expect(studies().altitude.running).toBe(false);
    expect(studies().altitude.result?.build).toBe(store.getState().workspace.builds.demo);
  });

  test('have their worker there before they are asked for, and take another where that one broke', () => {
    const { store, workers, running, studies } = opened();
    running.warm();
    expect(workers).toHaveLength(1);
    workers[0]!.onerror?.({} as ErrorEvent);
    expect(studies().altitude.problem).toBeNull();
    store.getState().setUi({ view: 'altitude' });
    expect(workers).toHaveLength(2);
    expect(workers[1]!.asked).toHaveLength(1);
  });

  test('are not computed again for what they do not depend on', () => {
    const { store, workers } = opened();
    store.getState().setUi({ view: 'altitude' });
    workers[0]!.answer({ kind: 'altitude', result: nothing });
    store.getState().run(setBuildField('notes', 'another word'));
    store.getState().setUi({ pointerEngineSpeedRpm: 3000 });
    expect(workers[0]!.asked).toHaveLength(1);
  });

  test('drop an answer to an older question, and say it when a study fails; a change tries anew', () => {
    const { store, workers, altitude, studies } = opened();
    store.getState().setUi({ view: 'altitude' });
    workers[0]!.answer({ kind: 'altitude', result: nothing }, 999);
    expect(studies().altitude.result).toBeNull();
    workers[0]!.onerror?.({} as ErrorEvent);
    expect(studies().altitude.problem).toMatch(/could not be computed/);
    expect(workers).toHaveLength(1);
    altitude('750');
    expect(workers).toHaveLength(2);
    expect(studies().altitude.problem).toBeNull();
  });
});

describe('the table for the control unit', () => {
  test('is computed in its own place of the Altitude view, ended when it is cancelled, and begun again when asked', () => {
    const { store, workers, studies } = opened();
    const asked = () => workers.flatMap((worker) => worker.asked).filter(({ kind }) => kind === 'table');
    store.getState().setUi({ view: 'altitude' });
    expect(asked()).toHaveLength(0);
    store.getState().setUi({ altitudePlace: 'table' });
    expect(asked()).toHaveLength(1);
    const worker = workers.find((one) => one.asked.some(({ kind }) => kind === 'table'))!;
    worker.answer({ kind: 'progress', share: 0.3 });
    expect(studies().table).toMatchObject({ running: true, progress: 0.3 });
    store.getState().setStudies({ tableWanted: false });
    expect(worker.isEnded).toBe(true);
    expect(studies().table).toMatchObject({ running: false, result: null });
    store.getState().setStudies({ tableWanted: true });
    expect(asked()).toHaveLength(2);
  });

  test('is computed for the sheet only where it is printed, whatever was cancelled; its own settings ask anew, notes do not', () => {
    const { store, workers, studies } = opened();
    const asked = () => workers.flatMap((worker) => worker.asked).filter(({ kind }) => kind === 'table');
    store.getState().setStudies({ tableWanted: false });
    store.getState().setUi({ view: 'sheet' });
    expect(asked()).toHaveLength(0);
    store.getState().run(setBuildField('sheet.controlTable', true));
    expect(asked()).toHaveLength(1);
    const worker = workers.find((one) => one.asked.some(({ kind }) => kind === 'table'))!;
    worker.answer({ kind: 'table', result: { candidateIndex: 0 } as never });
    expect(studies().table.result?.build).toBe(store.getState().workspace.builds.demo);
    store.getState().run(setBuildField('notes', 'nothing that counts'));
    vi.advanceTimersByTime(1000);
    expect(asked()).toHaveLength(1);
    store.getState().run(setBuildField('controlTable.entered', '1 2'));
    vi.advanceTimersByTime(1000);
    expect(asked()).toHaveLength(2);
  });
});

describe('the spread', () => {
  const wanted = (store: ReturnType<typeof opened>['store'], on: boolean) =>
    store.getState().setStudies({ spreadWanted: on });

  test('runs when it is asked for, shows how far it is, and stops at once when it is cancelled', () => {
    const { store, workers, studies } = opened();
    wanted(store, true);
    workers[0]!.answer({ kind: 'progress', share: 0.4 });
    expect(studies().spread).toMatchObject({ running: true, progress: 0.4 });
    wanted(store, false);
    expect(workers[0]!.isEnded).toBe(true);
    expect(studies().spread).toMatchObject({ running: false, progress: null, result: null });
    // A word from the ended worker changes nothing.
    workers[0]!.answer({ kind: 'spread', result: { candidateIndex: 0 } as never });
    expect(studies().spread.result).toBeNull();
  });

  test('is ended and begun anew, once the inputs rest, when they change', () => {
    const { store, workers, altitude, studies } = opened();
    wanted(store, true);
    altitude('700');
    altitude('710');
    expect(workers[0]!.isEnded).toBe(true);
    expect(workers).toHaveLength(1);
    vi.advanceTimersByTime(1000);
    expect(workers).toHaveLength(2);
    expect(workers[1]!.asked[0]!.build!.air.altitude.text).toBe('710');
    workers[1]!.answer({ kind: 'spread', result: { candidateIndex: 0 } as never });
    expect(studies().spread).toMatchObject({ running: false });
    expect(studies().spread.result?.build).toBe(store.getState().workspace.builds.demo);
  });

  test('needs no second run when a change is undone before it has begun', () => {
    const { store, workers, altitude, studies } = opened();
    wanted(store, true);
    workers[0]!.answer({ kind: 'spread', result: { candidateIndex: 0 } as never });
    altitude('700');
    expect(studies().spread.running).toBe(true);
    store.getState().undo();
    vi.advanceTimersByTime(1000);
    expect(workers.flatMap((worker) => worker.asked)).toHaveLength(1);
    expect(studies().spread.running).toBe(false);
  });

  test('says in the words of the worker what stands in the way', () => {
    const { store, workers, studies } = opened();
    wanted(store, true);
    workers[0]!.answer({ kind: 'failed', message: 'The seed cannot be read.' });
    expect(studies().spread.problem).toBe('The seed cannot be read.');
  });

  test('leaves no worker behind', () => {
    const { store, workers, running } = opened();
    store.getState().setUi({ view: 'altitude' });
    wanted(store, true);
    running.close();
    expect(workers.every((worker) => worker.isEnded)).toBe(true);
  });
});
