import type { LuglineStore } from '../../store/index.ts';
import { type RunningStudies, runStudies } from './runStudies.ts';

/** Keeps the studies up with the document, in module workers. */
export function keepStudies(store: LuglineStore): RunningStudies {
  return runStudies(store, () => new Worker(new URL('./study.worker.ts', import.meta.url), { type: 'module' }));
}
