import { createContext, useContext } from 'react';
import { useStore } from 'zustand';
import type { CandidateResults } from './candidateResults.ts';
import type { LuglineState, LuglineStore } from './createStore.ts';
import { selectCandidateResults } from './selectors.ts';

/** The shell provides the store; tests provide one of their own. */
export const LuglineContext = createContext<LuglineStore | null>(null);

export function useLuglineStore(): LuglineStore {
  const store = useContext(LuglineContext);
  if (store === null) throw new Error('No store is provided above this component: this is a fault of the program.');
  return store;
}

/** A part of the state; the component draws again when it is another object. */
export function useLugline<T>(selector: (state: LuglineState) => T): T {
  return useStore(useLuglineStore(), selector);
}

/** Results of a candidate of the open build. */
export function useCandidateResults(index: number): CandidateResults | null {
  return useLugline((state) => selectCandidateResults(state, index));
}

/** The actions: they never change, so that using them draws nothing again. */
export function useActions(): Pick<LuglineState, 'run' | 'undo' | 'redo' | 'setUi' | 'setDraft'> {
  return useLuglineStore().getState();
}
