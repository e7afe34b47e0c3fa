import type { Finding, MatchInput, OperatingPoint } from '../types.ts';
import { finding } from './runs.ts';

/** That the map is a donor's, scaled: said once, also where nothing is wrong, because nothing on it is a reading. */
export function estimateFindings(points: readonly OperatingPoint[], input: MatchInput): Finding[] {
  const { estimate } = input.compressor;
  if (estimate === undefined || points.length === 0) return [];
  const { band, sizeRatio, trimDifference } = estimate;
  const values = {
    surgeFlowBand: band.surgeFlow,
    chokeFlowBand: band.chokeFlow,
    pressureRatioBand: band.pressureRatio,
    efficiencyBand: band.efficiency,
    correctedSpeedBand: band.correctedSpeed,
    sizeRatio,
    trimDifference: trimDifference ?? undefined,
  };
  return [finding('caution', 'map-estimated', values)];
}
