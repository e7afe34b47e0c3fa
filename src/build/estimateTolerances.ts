import type { EstimateBand } from '../compressor/types.ts';
import type { Tolerances } from '../match/types.ts';

/**
 * Tolerances of the map where it is a scaled one: its band and the tolerance of reading the donor's sheet, which are independent of each
 * other, together (root of the sum of squares). All others stay.
 *
 * @param band half widths of the estimate; flow takes the wider of surge and choke
 */
export function estimateTolerances(tolerances: Tolerances, band: EstimateBand): Tolerances {
  return {
    ...tolerances,
    mapFlow: Math.hypot(tolerances.mapFlow, Math.max(band.surgeFlow, band.chokeFlow)),
    mapPressureRatio: Math.hypot(tolerances.mapPressureRatio, band.pressureRatio),
    mapEfficiency: Math.hypot(tolerances.mapEfficiency, band.efficiency),
  };
}
