import type { EstimateBand } from '../compressor/types.ts';
import type { Tolerances } from '../match/types.ts';
import type { TurbineCapacity } from '../turbine/types.ts';

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

/**
 * Tolerances of the turbine where its capacity is an estimate: its band and the tolerance of the capacity together, as above. A sheet
 * has no band and changes nothing.
 */
export function turbineTolerances(tolerances: Tolerances, { band }: Pick<TurbineCapacity, 'band'>): Tolerances {
  return { ...tolerances, turbineCapacity: Math.hypot(tolerances.turbineCapacity, band) };
}
