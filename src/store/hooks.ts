import { createContext, useCallback, useContext } from 'react';
import { useStore } from 'zustand';
import type { Build, BuildPath, Change, FieldValue, MapDraft, Settings } from '../build/index.ts';
import { getBuildField, shownSettings } from '../build/index.ts';
import { memory } from '../numerics/index.ts';
import type { CandidateResults } from './candidateResults.ts';
import { selectActiveBuild, selectCandidateResults, selectShelf } from './selectors.ts';
import type { LuglineState, LuglineStore } from './state.ts';

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
export function useActions(): Pick<LuglineState, 'run' | 'undo' | 'redo' | 'setUi' | 'setDraft' | 'dismiss'> {
  return useLuglineStore().getState();
}

/** Runs a command: `apply(setBuildField('air.altitude', typed))`. */
export function useApply(): (change: Change, mergeKey?: string) => void {
  return useLuglineStore().getState().run;
}

/** Runs a command that takes something away, and says so with a button that takes that very step back. */
export function useRemoval(): (change: Change, text: string) => void {
  const { getState } = useLuglineStore();
  return (change, text) => {
    const { run, undo, notify } = getState();
    const newest = () => getState().history.past.at(-1);
    run(change);
    const removal = newest();
    // Only this very step: once something else was done, the button must not take that back instead.
    const takeBack = () => {
      if (newest() === removal) undo();
      else notify({ tone: 'done', text: 'Something else was done since. Undo it first, with Ctrl+Z.', details: [] });
    };
    notify({ tone: 'done', text, details: [], action: { name: 'Undo', run: takeBack } });
  };
}

/** The open build. */
export function useBuild(): Build {
  return useLugline(selectActiveBuild);
}

/** One field of the open build; draws again when that field changes. */
export function useBuildField<P extends BuildPath>(path: P): FieldValue<P> {
  return useLugline((state) => getBuildField(selectActiveBuild(state), path));
}

/** The shelf in the order of the list. */
export function useShelf(): readonly MapDraft[] {
  return useLugline(selectShelf);
}

/** `several`: a candidate of the open build has more than one turbo, so that every number must say whose it is. */
export type ShownSettings = Settings & { several?: true | undefined };

const known = memory<Settings, ShownSettings>();

/** How the open build is shown: settings, and over them the build's own units; the same object while neither changes. */
export function useSettings(): ShownSettings {
  return useLugline(selectSettings);
}

function selectSettings(state: LuglineState): ShownSettings {
  const { units, candidates } = selectActiveBuild(state);
  const several = candidates.some(({ turboCount }) => turboCount > 1);
  const { settings } = state.workspace;
  return known(settings, [units, several], () => {
    const shown = shownSettings({ units }, settings);
    return several ? { ...shown, several } : shown;
  });
}

/** The unread text of a field, by the field's place, and how to keep it; null when the field can be read. */
export function useFieldDraft(place: string): [string | null, (text: string | null) => void] {
  const store = useLuglineStore();
  const text = useLugline((state) => state.ui.drafts[place] ?? null);
  const keep = useCallback((next: string | null) => store.getState().setDraft(place, next), [store, place]);
  return [text, keep];
}
