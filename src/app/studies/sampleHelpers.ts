import type { Build } from '../../build/index.ts';
import type { SampleHelper } from './computeStudies.ts';
import type { StudyAnswer, StudyWorker } from './keepStudies.ts';

/** More than this gain little: what is not shared out takes its time all the same, and each needs its memory. */
const MOST_HELPERS = 3;

/**
 * Workers that solve samples of spreads, started when the first spread is asked for and kept for the next. One that fails or cannot be
 * started is not asked again; what it was asked for is rejected.
 */
export function sampleHelpers(
  start: () => StudyWorker,
  count: number,
): (build: Build, candidateIndex: number) => SampleHelper[] {
  let workers: (StudyWorker | null)[] | null = null;
  return (build, candidateIndex) => {
    workers ??= Array.from({ length: Math.max(0, Math.min(MOST_HELPERS, count || 0)) }, () => started(start));
    return workers.flatMap((worker, i) => {
      if (worker === null) return [];
      const broken = () => {
        if (workers !== null) workers[i] = null;
        worker.terminate();
      };
      return [helper(worker, build, candidateIndex, broken)];
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
  let isKnown = false;
  let id = 0;
  return (from, to) =>
    new Promise((resolve, reject) => {
      id += 1;
      const fail = () => {
        broken();
        reject(new Error('This helper does not work.'));
      };
      worker.onmessage = ({ data }: MessageEvent<StudyAnswer>) => {
        if (data.kind === 'samples') resolve(data.result);
        else fail();
      };
      worker.onerror = fail;
      worker.postMessage({ kind: 'samples', id, build: isKnown ? null : build, candidateIndex, from, to });
      isKnown = true;
    });
}
