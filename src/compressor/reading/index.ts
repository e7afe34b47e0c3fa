/**
 * From a sheet's picture to a sheet, and how far to trust it; pure.
 *
 * - `calibrate(points, mode)`: picture places to the sheet's numbers and back, with the calibration's own error; `checkGrid` to look at it.
 * - `qualityCard(sheet)`, `qualityCardSteps(sheet)`: noise, left-out lines, suspicious points; `mapHash(sheet)`: a short name of the data.
 */
export { calibrate } from './calibrate.ts';
export type * from './calibration-types.ts';
export { checkGrid, type GridSteps, niceSteps } from './check-grid.ts';
export { mapHash } from './map-hash.ts';
export { qualityCard, qualityCardSteps } from './quality-card.ts';
export type * from './quality-types.ts';
export { sha256 } from './sha256.ts';
export type * from './sheet-reading.ts';
