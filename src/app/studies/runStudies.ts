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

const SHOWN_IN: ReadonlySet<UiState['view']> = new Set(['altitude', 'sheet']);

/** Where a study over altitude is in sight: its own views, and two candidates held against each other. */
function showsAltitudes({ ui }: LuglineState): boolean {
  return SHOWN_IN.has(ui.view) || (ui.view === 'match' && (ui.matchLayout !== 'one' || ui.isCounter));
}

/** The altitudes: computed while a view that shows them is open, the newest state of the build as soon as the worker is free. */
const altitudes: StudyKind<Build> = {
  wanted: (state) => (showsAltitudes(state) ? selectActiveBuild(state) : null),
  isSame: isSameAltitudeStudy,
  known: (state) => state.studies.altitude.result?.build ?? null,
  request: (id, build) => ({ id, kind: 'altitude', build }),
  slot: (state) => state.studies.altitude,
  take: (answer, build) => (answer.kind === 'altitude' ? { result: { ...answer.result, build } } : null),
  put: (store, slot) => store.getState().setStudies({ altitude: slot as StudySlot<AltitudeStudy> }),
  interrupts: false,
  settleMs: 0,
};

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

export interface RunningStudies {
  /** Fetches the worker when the page has nothing else to do. */
  warm(): void;
  close(): void;
}

/** Keeps the studies up with the document, until it is closed. */
export function runStudies(store: LuglineStore, start: StartWorker): RunningStudies {
  const keepers = [new StudyKeeper(store, start, altitudes), new StudyKeeper(store, start, spread)];
  return {
    warm: () => keepers[0]?.warm(),
    close: () => {
      for (const keeper of keepers) keeper.close();
    },
  };
}
