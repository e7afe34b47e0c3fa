/**
 * The store: workspace with undo, what is looked at, the state of storage; and what is derived from them, remembered.
 * Runs without React (createLuglineStore); hooks.ts joins it to React. Result types are passed on because views may not import
 * match or compressor.
 */

export {
  type CandidateFigures,
  selectCandidateFigures,
  selectCandidateTurbine,
  selectDonors,
  type WheelResults,
} from './candidateFigures.ts';
export { type CandidateResults, candidateResults } from './candidateResults.ts';
export { type ComparisonResults, selectComparison } from './comparison.ts';
export { createId } from './createId.ts';
export { createLuglineStore, type LuglineState, type LuglineStore, type StoreOptions } from './createStore.ts';
export { type History, type HistoryEntry, MERGE_WITHIN_MS } from './history.ts';
export {
  LuglineContext,
  useActions,
  useApply,
  useBuild,
  useBuildField,
  useCandidateResults,
  useFieldDraft,
  useLugline,
  useLuglineStore,
  useSettings,
  useShelf,
} from './hooks.ts';
export { takePicture, withPicture } from './mapPictures.ts';
export { type AltitudeLine, otherAltitudeLines } from './otherAltitudes.ts';
export { type KeptPicture, memoryPictures, type PictureShelf } from './pictures.ts';
export { pointAt } from './pointAt.ts';
export {
  selectActiveBuild,
  selectBuilds,
  selectCandidateResults,
  selectCandidates,
  selectDayAir,
  selectMap,
  selectMapFit,
  selectRedoLabel,
  selectShelf,
  selectShownCandidate,
  selectUndoLabel,
} from './selectors.ts';
export type * from './studies.ts';
export { initialStudies, isSameAltitudeStudy, isSameSpread } from './studies.ts';
export {
  initialStorage,
  initialUi,
  type Notice,
  type PendingRestore,
  type StorageStatus,
  type UiState,
} from './uiState.ts';
