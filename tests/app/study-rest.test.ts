import { afterEach, beforeEach, describe, expect, test, vi } from 'vitest';
import type { StudyAnswer, StudyRequest, StudyWorker } from '../../src/app/studies/keepStudies.ts';
import { runStudies } from '../../src/app/studies/keepStudies.ts';
import { demoWorkspace } from '../../src/build/demo.ts';
import { changeSettings, setBuildField } from '../../src/build/index.ts';
import { createLuglineStore } from '../../src/store/index.ts';

/** A worker that only remembers what it was asked. */
class SilentWorker implements StudyWorker {
  asked: StudyRequest[] = [];
  ended = false;
  onmessage: ((event: MessageEvent<StudyAnswer>) => void) | null = null;
  onerror: ((event: ErrorEvent) => void) | null = null;
  postMessage(request: StudyRequest) {
    this.asked.push(request);
  }
  terminate() {
    this.ended = true;
  }
}

beforeEach(() => {
  vi.useFakeTimers();
});
afterEach(() => {
  vi.useRealTimers();
});

function comparing() {
  const store = createLuglineStore(demoWorkspace());
  const workers: SilentWorker[] = [];
  const running = runStudies(store, () => {
    const worker = new SilentWorker();
    workers.push(worker);
    return worker;
  });
  store.getState().run(changeSettings({ matchDrawer: 'differences' }));
  const type = (text: string) => store.getState().run(setBuildField('air.altitude', { text, unit: 'm' }));
  const worker = () => workers[0]!;
  const answer = () => {
    const id = worker().asked.at(-1)!.id;
    const places = { grid: [], saved: [], field: [], rangeM: null, rule: null, problems: [] };
    worker().onmessage?.({
      data: { id, kind: 'altitude', result: { places, candidates: [] } },
    } as unknown as MessageEvent<StudyAnswer>);
  };
  return { store, running, type, worker, answer };
}

describe('the altitudes beside a comparison', () => {
  test('are computed at once when it is opened', () => {
    expect(comparing().worker().asked).toHaveLength(1);
  });

  test('wait until the inputs rest, and take the newest state then', () => {
    const { store, type, worker, answer } = comparing();
    answer();
    for (const text of ['700', '800', '900']) {
      type(text);
      vi.advanceTimersByTime(100);
      expect(worker().asked).toHaveLength(1);
    }
    vi.advanceTimersByTime(400);
    expect(worker().asked).toHaveLength(2);
    expect(worker().asked[1]).toMatchObject({ build: store.getState().workspace.builds.demo });
  });

  test('what is begun is finished while somebody types', () => {
    const { store, type, worker, answer } = comparing();
    type('700');
    expect(worker().ended).toBe(false);
    answer();
    expect(store.getState().studies.altitude.result).not.toBeNull();
  });

  test('are given up when neither view shows them', () => {
    const { store, type, worker } = comparing();
    store.getState().run(changeSettings({ matchDrawer: 'closed' }));
    type('700');
    vi.advanceTimersByTime(1000);
    expect(worker().asked).toHaveLength(1);
  });
});
