/**
 * The saved document and the headless door to it; pure, runs in Node without a DOM.
 *
 * - `parseMapFile(json)`, `parseBuildFile(json)`, `parseBackupFile(json)`: the value, or problems in plain words with their paths.
 * - `toMatchInput(build, candidateIndex)`: the input of the operating line in SI; throws its problems. `tryMatchInput` returns them.
 * - `fitDraft(draft)`: the sheet and the surface of a map's tables, remembered while the tables are the same; `auditDraft(draft)`: all that is
 *   wrong or doubtful with them.
 * - `candidateSurface(build, index)`: a candidate's own map, or a donor's scaled to its measured wheel; `readCard` reads the measurements.
 * - `readControlTable(build)`: what `controlTable` of src/match is asked with, from breakpoints and a table as they were pasted.
 * - `readKnownVe(build)`: what `knownVolumetricEfficiency` of src/match is asked with, from the rows of a dynamometer run or air-mass sensor.
 * - `assumptions(build, index, results)`: all that the numbers rest on and nobody measured.
 * - Commands: each returns a `Change`, a pure step from workspace to workspace with its undo policy.
 */

export * from './assumptions.ts';
export {
  type CardReading,
  candidateSurface,
  donorChoice,
  readCard,
} from './candidateSurface.ts';
export * from './candidateTurbine.ts';
export {
  deleteBuild,
  duplicateBuild,
  newBuild,
  renameBuild,
  selectBuild,
  sharingMaps,
} from './commands/builds.ts';
export {
  addCandidate,
  assignDonor,
  assignMap,
  assignTurbineSheet,
  changeCandidates,
  MOST_CANDIDATES,
  removeCandidate,
} from './commands/candidates.ts';
export { type Change, changeSettings, chooseUnits, shownSettings } from './commands/changeBuild.ts';
export {
  addLog,
  changeLog,
  enterInletLoss,
  enterVolumetricEfficiency,
  keepLogRows,
  rememberedHints,
  removeLog,
  withHints,
} from './commands/logs.ts';
export { editMap, findMap } from './commands/maps.ts';
export {
  addFitmentItem,
  addPlace,
  fileSheet,
  MOST_FITMENT_ITEMS,
  MOST_PLACES,
  removeFitmentItem,
  removePlace,
  setFitmentItem,
  takeBreakpoints,
} from './commands/places.ts';
export * from './commands/setField.ts';
export {
  addSheet,
  countRestore,
  deleteMap,
  duplicateMap,
  importBuild,
  importMap,
  putMapOnShelf,
  type RestoreCounts,
  renameMap,
  restoreBackup,
} from './commands/shelf.ts';
export {
  type DraftFit,
  draftPlace,
  draftToSheet,
  fitDraft,
  type MapFitter,
  type MapGeometry,
  mapFitter,
  mapGeometry,
  sheetToDraft,
  speedLineAt,
} from './compressorSheet.ts';
export { type ControlTableSetup, readControlTable, usualBreakpoints } from './controlTable.ts';
export * from './defaults.ts';
export * from './document.ts';
export { type Parsed, type Problem, refused } from './document.ts';
export {
  isOfKind,
  isTurbineSheet,
  lineSpeed,
  listTooLong,
  mapTooBig,
  type SheetKindKey,
  sheetKindOf,
} from './draftCells.ts';
export { engineKinds, type FirstAnswers, startBuild, usualAnswers } from './engineKinds.ts';
export type { ChoiceField, CurveField, FieldRule, NumberField } from './field.ts';
export {
  type BuildPath,
  type CandidatePath,
  type CurvePath,
  type FieldPath,
  type FieldValue,
  fieldAt,
  type GroupPath,
  type PathsOfField,
  pathsIn,
} from './fields.ts';
export * from './filedSheet.ts';
export { type KnownVeColumn, knownVeCells, knownVeColumns, knownVeText, readKnownVe } from './knownVe.ts';
export { CHANNELS } from './log/names.ts';
export { readLogText, refusedLog } from './log/readLogText.ts';
export { keptRows, roadLogOf } from './log/record.ts';
export { logTooLarge } from './log/scan.ts';
export type * from './log/types.ts';
export { roleTitle } from './log/understand.ts';
export { LOG_UNITS } from './log/units.ts';
export {
  draftToMapFile,
  type MapFile,
  mapFileToDraft,
  parseMapFile,
  pictureOfMapFile,
  sheetToMapFile,
  turbineSheetToMapFile,
} from './mapFile.ts';
export { readJsonText } from './openFormat.ts';
export * from './openSaved.ts';
export * from './savedFiles.ts';
export { auditDraft, sheetUnits } from './sheetAudit.ts';
export * from './studyInput.ts';
export { candidateRotor } from './studyInput.ts';
export * from './studyPlaces.ts';
export { type DayAirReading, dayAir, daySpeedFactor, toMatchInput, tryMatchInput } from './toMatchInput.ts';
export {
  type AxisPoint,
  axisPoint,
  type EmbeddedPicture,
  emptyHabits,
  emptyTracing,
  type MapTracing,
  type PictureLook,
  type SheetHabits,
  type SheetPicture,
  type TracedMark,
} from './tracing.ts';
export { turbineSheetToDraft } from './turbineFile.ts';
export {
  draftToTurbineSheet,
  fitTurbineDraft,
  type TurbineDraftFit,
  type TurbineTables,
} from './turbineSheet.ts';
