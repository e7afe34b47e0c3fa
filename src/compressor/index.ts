/**
 * The compressor map: the sheet as entered (types.ts), the surface fitted to it, and what is drawn from it.
 *
 * - `fitSurface(sheet)`: the surface; throws `SheetNotFittable` with plain-language findings. `tryFitSurface(sheet)` returns them.
 * - `flowFactor(unit, reference)`: from a sheet's flow unit to corrected kg/s.
 */
export { fitSurface, SheetNotFittable, tryFitSurface } from './fit-surface.ts';
export { flowFactor } from './sheet-points.ts';
export type * from './types.ts';
