/**
 * The compressor map: the sheet as entered (types.ts), the surface fitted to it, and what is drawn from it.
 *
 * - `fitSurface(sheet)`: the surface; throws `SheetNotFittable` with plain-language findings. `tryFitSurface(sheet)` returns them.
 * - `speedLine`, `boundaryLine`, `islandContours`: what a plot draws, sampled in data units; `mapMargins`: distances to surge and choke.
 * - `auditSheet(sheet)`: what is wrong or doubtful with a sheet, each finding with its place.
 * - `flowFactor(unit, reference)`: from a sheet's flow unit to corrected kg/s.
 */
export { auditSheet } from './audit.ts';
export { fitSurface, SheetNotFittable, tryFitSurface } from './fit-surface.ts';
export { islandContours, roundIslandLevels } from './island-contours.ts';
export { boundaryLine, speedLine } from './map-lines.ts';
export { type MapMargins, mapMargins } from './margins.ts';
export { flowFactor } from './sheet-points.ts';
export type * from './types.ts';
