import type { DonorLikeness, EstimateBand } from './types.ts';

/** What the band depends on. */
export interface DonorDistance {
  sizeRatio: number;
  /** null: not known. */
  trimDifference: number | null;
  /** Relative widths of the flow factors that the calipers give. */
  caliperAtSurge: number;
  caliperAtChoke: number;
}

/** An unknown trim counts like one this many points off: about the spread of trims in one family of wheels. */
const UNKNOWN_TRIM_POINTS = 8;

/**
 * Half widths of a scaled map. Common practice, no source: similarity holds exactly only for wheel, diffuser and volute of one shape.
 * At no distance 3 % of flow, 2 % of pressure ratio and 1.5 points of efficiency stand for everything that two wheels of equal size
 * and trim may differ in (blade angles, diffuser, clearance, surface). Each point of trim adds 0.4 % of flow, because blending between
 * inducer and exducer area is itself a guess, and 0.1 point of efficiency. Size adds 10 % of the logarithm of the diameter ratio to
 * flow and 5 % of it to efficiency: clearances do not scale, and losses fall with Reynolds number to about the power -0.2 (Dixon and
 * Hall, ch. 2, from memory), a twentieth of the efficiency for each e-fold of size. What the calipers may be off is added.
 */
export function estimateBand(distance: DonorDistance): EstimateBand {
  const points = Math.abs(distance.trimDifference ?? UNKNOWN_TRIM_POINTS);
  const size = Math.abs(Math.log(distance.sizeRatio));
  const flow = 0.03 + 0.004 * points + 0.1 * size;
  return {
    // Head goes with speed squared, so that speed is known better than pressure ratio; a diameter counts once, an area twice.
    correctedSpeed: 0.015 + 0.001 * points + 0.03 * size + 0.5 * distance.caliperAtSurge,
    surgeFlow: flow + distance.caliperAtSurge,
    chokeFlow: flow + distance.caliperAtChoke,
    pressureRatio: 0.02 + 0.001 * points + 0.05 * size,
    efficiency: 0.015 + 0.001 * points + 0.05 * size,
  };
}

/** How like a donor is. Common practice, no source. Without both trims it is never 'near'. */
export function donorLikeness(sizeRatio: number, trimDifference: number | null): DonorLikeness {
  const points = Math.abs(trimDifference ?? UNKNOWN_TRIM_POINTS);
  const size = Math.abs(Math.log(sizeRatio));
  if (points <= 3 && size <= Math.log(1.1)) return 'near';
  return points <= 8 && size <= Math.log(1.3) ? 'fair' : 'far';
}
