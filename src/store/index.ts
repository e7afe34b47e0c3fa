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
export { type ComparisonResults, type SpoolReading, selectComparison, selectSpool, spoolOf } from './comparison.ts';
export type { History } from './history.ts';
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
  useSettings,
  useShelf,
} from './hooks.ts';
export { otherAltitudeLines } from './otherAltitudes.ts';
export { memoryPictures, type PictureShelf, takePicture, withPicture } from './pictures.ts';
export {
  draftOfFile,
  isLogFile,
  type LogLine,
  type LogShelf,
  type LogStudy,
  type LogSummary,
  type LogTaken,
  memoryLogs,
  type OpenedLog,
} from './roadLogs.ts';
export {
  pointAt,
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
export type * from './state.ts';
export {
  createId,
  createLuglineStore,
  initialStorage,
  isSameAltitudeStudy,
  isSameLogStudy,
  isSameSpread,
  isSameTable,
  type LuglineState,
  type LuglineStore,
  type Notice,
  type PendingRestore,
  type StorageStatus,
  type UiState,
} from './state.ts';
