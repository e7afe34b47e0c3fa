import type { LuglineStore } from '../../store/index.ts';
import { runStudies } from './runStudies.ts';

/** Keeps the studies up with the document, in module workers. Returns what ends it. */
export function keepStudies(store: LuglineStore): () => void {
  return runStudies(store, () => new Worker(new URL('./study.worker.ts', import.meta.url), { type: 'module' }));
}
