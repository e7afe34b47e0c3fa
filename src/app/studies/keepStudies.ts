import type { Build } from '../../build/index.ts';
import {
  type AltitudeStudy,
  isSameAltitudeStudy,
  isSameSpread,
  type LuglineState,
  type LuglineStore,
  type SpreadStudy,
  type StudySlot,
  selectActiveBuild,
  selectShownCandidate,
  type UiState,
} from '../../store/index.ts';
import { type StartWorker, StudyKeeper, type StudyKind } from './StudyKeeper.ts';

/** Keeps the studies up with the document, in module workers. */
export function keepStudies(store: LuglineStore): RunningStudies {
  return runStudies(store, () => new Worker(new URL('./study.worker.ts', import.meta.url), { type: 'module' }));
}

const SHOWN_IN: ReadonlySet<UiState['view']> = new Set(['altitude', 'sheet']);

/** Two candidates held against each other show one row of the study. */
function isComparing({ ui }: LuglineState): boolean {
  return ui.view === 'match' && (ui.matchLayout !== 'one' || ui.isCounter);
}

/**
 * The altitudes: computed while a view that shows them is open, the newest state of the build as soon as the worker is free. Beside a
 * comparison they wait until the inputs rest: taking over so large a result costs the page a good part of a frame.
 */
const altitudes = (rested: () => Build | null): StudyKind<Build> => ({
  wanted: (state) => {
    if (SHOWN_IN.has(state.ui.view)) return selectActiveBuild(state);
    return isComparing(state) ? (rested() ?? selectActiveBuild(state)) : null;
  },
  isSame: isSameAltitudeStudy,
  known: (state) => state.studies.altitude.result?.build ?? null,
  request: (id, build) => ({ id, kind: 'altitude', build }),
  slot: (state) => state.studies.altitude,
  take: (answer, build) => (answer.kind === 'altitude' ? { result: { ...answer.result, build } } : null),
  put: (store, slot) => store.getState().setStudies({ altitude: slot as StudySlot<AltitudeStudy> }),
  interrupts: false,
  settleMs: 0,
});

interface WantedSpread {
  build: Build;
  index: number;
}

/** The spread: computed once it is asked for, and anew when the inputs have changed and rest, until it is cancelled. */
const spread: StudyKind<WantedSpread> = {
  wanted: (state) => {
    const index = selectShownCandidate(state);
    return state.studies.spreadWanted && index !== null ? { build: selectActiveBuild(state), index } : null;
  },
  isSame: (a, b) => a.index === b.index && isSameSpread(a.build, b.build),
  known: (state) => {
    const { result } = state.studies.spread;
    return result && { build: result.build, index: result.candidateIndex };
  },
  request: (id, { build, index }) => ({ id, kind: 'spread', build, candidateIndex: index }),
  slot: (state) => state.studies.spread,
  take: (answer, { build }) => (answer.kind === 'spread' ? { result: { ...answer.result, build } } : null),
  put: (store, slot) => store.getState().setStudies({ spread: slot as StudySlot<SpreadStudy> }),
  interrupts: true,
  settleMs: 250,
};

const REST_MS = 350;

/** The open build as it was when the inputs last rested; null until they first do. The store is told when they do. */
function watchRest(store: LuglineStore): { build: () => Build | null; close: () => void } {
  let rested: Build | null = null;
  let newest: Build | null = null;
  let timer: ReturnType<typeof setTimeout> | undefined;
  const follow = (state: LuglineState) => {
    const build = selectActiveBuild(state);
    if (build === newest) return;
    // Another build that is opened has not been typed in.
    if (build.id !== newest?.id) rested = build;
    newest = build;
    clearTimeout(timer);
    timer = setTimeout(() => {
      if (rested === build) return;
      rested = build;
      if (isComparing(store.getState())) store.getState().setStudies({});
    }, REST_MS);
  };
  follow(store.getState());
  const unsubscribe = store.subscribe(follow);
  return {
    build: () => rested,
    close: () => {
      clearTimeout(timer);
      unsubscribe();
    },
  };
}

export interface RunningStudies {
  /** Fetches the worker when the page has nothing else to do. */
  warm(): void;
  close(): void;
}

/** Keeps the studies up with the document, until it is closed. */
export function runStudies(store: LuglineStore, start: StartWorker): RunningStudies {
  const rest = watchRest(store);
  const keepers = [new StudyKeeper(store, start, altitudes(rest.build)), new StudyKeeper(store, start, spread)];
  return {
    warm: () => keepers[0]?.warm(),
    close: () => {
      rest.close();
      for (const keeper of keepers) keeper.close();
    },
  };
}
