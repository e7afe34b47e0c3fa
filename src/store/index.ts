/**
 * The store: workspace with undo, what is looked at, the state of storage; and what is derived from them, remembered.
 * Runs without React (createLuglineStore); hooks.ts joins it to React. Result types are passed on because views may not import
 * match or compressor.
 */

export { type CandidateFigures, selectCandidateFigures, selectDonors, type WheelResults } from './candidateFigures.ts';
export type { CandidateResults } from './candidateResults.ts';
export { type ComparisonResults, type SpoolReading, selectComparison, selectSpool, spoolOf } from './comparison.ts';
export {
  LuglineContext,
  type ShownSettings,
  useActions,
  useApply,
  useBuild,
  useBuildField,
  useCandidateResults,
  useFieldDraft,
  useLugline,
  useLuglineStore,
  useRemoval,
  useSettings,
  useShelf,
} from './hooks.ts';
export { takePicture, withPicture } from './mapPictures.ts';
export { otherAltitudeLines } from './otherAltitudes.ts';
export { draftOfFile, isLogFile, type LogLine, type LogStudy, type LogSummary, type LogTaken } from './roadLogs.ts';
export {
  pointAt,
  selectActiveBuild,
  selectBuildNames,
  selectBuilds,
  selectCandidateResults,
  selectCandidates,
  selectDayAir,
  selectMap,
  selectRedoLabel,
  selectShownCandidate,
  selectUndoLabel,
} from './selectors.ts';
export type * from './state.ts';
export {
  createId,
  createLuglineStore,
  isSameStudy,
  type LuglineState,
  type LuglineStore,
  type Notice,
  type PendingRestore,
  type StorageStatus,
  type UiState,
} from './state.ts';
