import type { EstimateBand } from './types.ts';

/** With more than this in doubt a map says less than the areas of the wheels do (common practice, no source). */
const MOST_FLOW_BAND = 0.18;

/** Whether a scaled map with this band is worth being computed on. */
export function isUsableBand(band: EstimateBand): boolean {
  return Math.max(band.surgeFlow, band.chokeFlow) <= MOST_FLOW_BAND;
}
