/**
 * The compressor map: the sheet as entered (types.ts), the surface fitted to it, and what is drawn from it.
 *
 * - `fitSurface(sheet)`: the surface; throws plain-language findings. `tryFitSurface(sheet)` returns them.
 * - `fitKey(sheet)`: what a fit may be kept under, so that the next visit need not search for it.
 * - `speedLine`, `boundaryLine`, `islandContours`: what a plot draws, sampled in data units; `mapMargins`: distances to surge and choke.
 * - `auditSheet(sheet)`: what is wrong or doubtful with a sheet, each finding with its place.
 * - `wheelFigures`, `wheelRatios`, `wheelAtSpeed`: trims, areas, tip speed and blade-pass frequency of measured wheels, with their widths.
 * - `scaleSurface(donorSurface, donor, wheel)`: the map of a wheel that has none, marked as an estimate; `nearestDonors` ranks a shelf.
 * - `referTo(surface, reference)`: the same map at another reference state, for equal axes; `referredSheet`, `scaledSheet` likewise.
 */
export { auditSheet, settledContext } from './audit.ts';
export {
  type AuditContext,
  type AuditLine,
  type AuditPoint,
  auditContext,
  groupedNumber,
  type SheetUnits,
} from './audit-context.ts';
export { doubtfulSpeeds, headOf } from './audit-lines.ts';
export { fittingFlowUnits } from './audit-reference.ts';
export { fitSurface, LEAST_PRESSURE_RATIO, tryFitSurface } from './fit-surface.ts';
export { boundaryLine, mapMargins, speedLine } from './fitted-surface.ts';
export { islandContours } from './island-contours.ts';
export { fitKey, keptFit, sealOf } from './kept-fit.ts';
export * from './scaling.ts';
export {
  pressureRatioOf,
  rootHead,
  rootHeadSensitivity,
  type SimilarityScale,
  similarityScale,
  toPolar,
} from './similarity.ts';
export type * from './types.ts';
export * from './wheels.ts';
