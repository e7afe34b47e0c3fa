import type { Build } from '../../build/index.ts';
import type { SolvedSamples } from '../../match/index.ts';
import type { SampleHelper } from './computeStudies.ts';
import type { StudyAnswer, StudyWorker } from './keepStudies.ts';

/** More than this gain little: what is not shared out takes its time all the same, and each needs its memory. */
const MOST_HELPERS = 3;

/** Asks that a helper has before it at a time: it never waits until this thread has time to give it the next. */
const AT_A_TIME = 2;

/**
 * Workers that solve samples of spreads, started when the first spread is asked for and kept for the next. One that fails or cannot be
 * started is not asked again; what it was asked for is rejected. Each stands in the list as often as it takes asks at a time.
 */
export function sampleHelpers(
  start: () => StudyWorker,
  count: number,
): (build: Build, candidateIndex: number) => SampleHelper[] {
  let workers: StudyWorker[] | null = null;
  return (build, candidateIndex) => {
    const most = Math.max(0, Math.min(MOST_HELPERS, count || 0));
    workers ??= Array.from({ length: most }, () => started(start)).filter((worker) => worker !== null);
    return workers.flatMap((worker) => {
      const broken = () => {
        workers = workers?.filter((other) => other !== worker) ?? null;
        worker.terminate();
      };
      return Array<SampleHelper>(AT_A_TIME).fill(helper(worker, build, candidateIndex, broken));
    });
  };
}

function started(start: () => StudyWorker): StudyWorker | null {
  try {
    return start();
  } catch {
    return null;
  }
}

function helper(worker: StudyWorker, build: Build, candidateIndex: number, broken: () => void): SampleHelper {
  const asked = new Map<number, { resolve: (solved: SolvedSamples) => void; reject: (why: Error) => void }>();
  let isBroken = false;
  let id = 0;
  const fail = () => {
    if (isBroken) return;
    isBroken = true;
    broken();
    for (const { reject } of asked.values()) reject(new Error('This helper does not work.'));
  };
  worker.onmessage = ({ data }: MessageEvent<StudyAnswer>) => {
    if (data.kind === 'samples') asked.get(data.id)?.resolve(data.result);
    else fail();
    asked.delete(data.id);
  };
  worker.onerror = fail;
  return (from, to) =>
    new Promise((resolve, reject) => {
      if (isBroken) {
        reject(new Error('This helper does not work.'));
        return;
      }
      id += 1;
      asked.set(id, { resolve, reject });
      worker.postMessage({ kind: 'samples', id, build: id === 1 ? build : null, candidateIndex, from, to });
    });
}
