/**
 * The compressor map: the sheet as entered (types.ts), the surface fitted to it, and what is drawn from it.
 *
 * - `fitSurface(sheet)`: the surface; throws `SheetNotFittable` with plain-language findings. `tryFitSurface(sheet)` returns them.
 * - `speedLine`, `boundaryLine`, `islandContours`: what a plot draws, sampled in data units; `mapMargins`: distances to surge and choke.
 * - `auditSheet(sheet)`: what is wrong or doubtful with a sheet, each finding with its place.
 * - `wheelFigures`, `wheelRatios`, `wheelAtSpeed`: trims, areas, tip speed and blade-pass frequency of measured wheels, with their widths.
 * - `scaleSurface(donorSurface, donor, wheel)`: the map of a wheel that has none, marked as an estimate; `nearestDonors` ranks a shelf.
 * - `referTo(surface, reference)`: the same map at another reference state, for equal axes; `referredSheet`, `scaledSheet` likewise.
 * - `flowFactor(unit, reference)`: from a sheet's flow unit to corrected kg/s.
 */
export { auditSheet } from './audit.ts';
export { fitSurface, flowFactor, SheetNotFittable, tryFitSurface } from './fit-surface.ts';
export { boundaryLine, type MapMargins, mapMargins, speedLine } from './fitted-surface.ts';
export { islandContours, roundIslandLevels } from './island-contours.ts';
export { nearestDonors, type RankedDonor, type ShelfDonor } from './scaling/nearest-donors.ts';
export { referenceFactors, referTo } from './scaling/refer-to.ts';
export { donorWheel, scaleSurface } from './scaling/scale-surface.ts';
export { referredSheet, scaledSheet } from './scaling/transform-sheet.ts';
export { isUsableBand } from './scaling/usable-band.ts';
export type * from './types.ts';
export { bladePassFrequency, tipSpeed, wheelAtSpeed } from './wheels/wheel-at-speed.ts';
export { tipCircleArea, trim, wheelFigures } from './wheels/wheel-figures.ts';
export { wheelRatios } from './wheels/wheel-ratios.ts';
