/**
 * From a sheet's picture to a sheet, and how far to trust it; pure.
 *
 * - `calibrate(points, mode)`: picture places to the sheet's numbers and back, with the calibration's own error; `checkGrid` to look at it.
 * - `completeSheet(reading)`: the sheet from whatever a sheet gives, with what was assumed; `totalPressureRatio`, `proposeSpeeds` and
 *   `convertFlow` by themselves.
 * - `qualityCard(sheet)`, `qualityCardSteps(sheet)`: noise, left-out lines, suspicious points; `mapHash(sheet)`: a short name of the data.
 * - `proposedRepair(finding, sheet)`: a repair for a finding of the audit, where one is clear.
 */
export { calibrate } from './calibrate.ts';
export type * from './calibration-types.ts';
export { checkGrid, type GridSteps, niceSteps } from './check-grid.ts';
export { completeSheet } from './complete-sheet.ts';
export { convertFlow } from './convert-flow.ts';
export { isClosedContour } from './island-closure.ts';
export { mapHash, turbineHash } from './map-hash.ts';
export { proposeSpeeds, type UnlabelledLines } from './propose-speeds.ts';
export { proposedRepair } from './proposed-repair.ts';
export { qualityCard, qualityCardSteps, readingNoise } from './quality-card.ts';
export type * from './quality-types.ts';
export { sha256 } from './sha256.ts';
export type * from './sheet-reading.ts';
export { type StaticOutlet, type TotalOutlet, totalPressureRatio } from './static-outlet.ts';
