import { type ReferenceState, referenceFactors, referredSheet, referTo } from '../../compressor/index.ts';
import type { OperatingPoint } from '../../match/index.ts';
import type { CandidateResults } from '../../store/index.ts';

const known = new WeakMap<CandidateResults['candidate'], { surface: unknown; key: string; parts: Referred }>();

type Referred = Pick<CandidateResults, 'surface' | 'sheet'>;

/**
 * The results with map and operating points brought to another reference state, as two maps on equal axes need them: corrected flows
 * and speeds change, everything that a gauge on the car reads does not. The map is brought over once; the points follow every input.
 */
export function referredResults(results: CandidateResults, reference: ReferenceState | null): CandidateResults {
  const { surface, sheet, candidate } = results;
  if (surface === null || sheet === null || reference === null) return results;
  const from = surface.reference;
  if (from.temperatureK === reference.temperatureK && from.pressurePa === reference.pressurePa) return results;
  const factors = referenceFactors(from, reference);
  const key = `${reference.temperatureK}/${reference.pressurePa}`;
  const last = known.get(candidate);
  const parts =
    last?.surface === surface && last.key === key
      ? last.parts
      : { surface: referTo(surface, reference), sheet: referredSheet(sheet, reference) };
  known.set(candidate, { surface, key, parts });
  return { ...results, ...parts, points: results.points.map((point) => referredPoint(point, factors)) };
}

/** One operating point brought over. */
export function referredPoint(point: OperatingPoint, factors: { flow: number; speed: number }): OperatingPoint {
  if (point.status === 'ok') {
    return {
      ...point,
      correctedMassFlowKgPerS: point.correctedMassFlowKgPerS * factors.flow,
      correctedSpeedRpm: point.correctedSpeedRpm * factors.speed,
    };
  }
  if (point.demand === undefined) return point;
  const { correctedMassFlowKgPerS, pressureRatio } = point.demand;
  return { ...point, demand: { correctedMassFlowKgPerS: correctedMassFlowKgPerS * factors.flow, pressureRatio } };
}
