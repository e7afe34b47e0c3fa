/**
 * From a sheet's picture to a sheet, and how far to trust it; pure.
 *
 * - `calibrate(points, mode)`: picture places to the sheet's numbers and back, with the calibration's own error; `checkGrid` to look at it.
 * - `placeEfficiencies(sheet, readings)`, `correctOutlet(sheet, diameter)`, `proposeSpeeds(lines)`, `isClosedContour(points)`: what a sheet lacks,
 *   completed step by step, with what was assumed.
 * - `qualityCard(sheet)`, `qualityCardSteps(sheet)`: noise, left-out lines, suspicious points; `mapHash(sheet)`: a short name of the data.
 * - `proposedRepair(finding, sheet)`: a repair for a finding of the audit, where one is clear.
 */
export * from './calibrate.ts';
export { checkGrid, niceSteps, sensibleDecimals } from './calibration-checks.ts';
export * from './complete-sheet.ts';
export { mapHash, sha256, turbineHash } from './map-hash.ts';
export { type RatioReader, ratioReader } from './outlet-pressure.ts';
export { insertionRow } from './place-readings.ts';
export { proposeSpeeds } from './propose-speeds.ts';
export * from './quality-card.ts';
export { type ProposedRepair, proposedRepair } from './repairs.ts';
