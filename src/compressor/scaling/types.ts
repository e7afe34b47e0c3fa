import type { CompressorSurface, ReferenceState } from '../types.ts';

/** Diameters of a compressor wheel for scaling, m. */
export interface ScalingWheel {
  inducerM?: number | undefined;
  exducerM?: number | undefined;
  /** Half width of what the diameters may be off; left out: exactly known. */
  caliperM?: number | undefined;
}

/**
 * Half widths within which the true map is expected to lie, as shares (efficiency: as points, 0.02 for 2 points). Common practice, no
 * source: see estimate-band.ts.
 */
export interface EstimateBand {
  correctedSpeed: number;
  /** Near surge and near choke. */
  surgeFlow: number;
  chokeFlow: number;
  pressureRatio: number;
  efficiency: number;
}

/** How like the donor is to the wheel. 'far': hardly more than a guess. */
export type DonorLikeness = 'near' | 'fair' | 'far';

/** How a surface was made from another wheel's map. */
export interface SurfaceEstimate {
  donor: { inducerM: number | null; exducerM: number };
  wheel: { inducerM: number | null; exducerM: number };
  /** Larger diameter of the wheel over that of the donor. */
  sizeRatio: number;
  /** Trim of the wheel less that of the donor; null where an inducer is not known, and then equal trims are taken. */
  trimDifference: number | null;
  speedFactor: number;
  surgeFlowFactor: number;
  chokeFlowFactor: number;
  /** The donor sheet's rated speed at the same tip speed; no limit of this wheel, for which the maker's own holds. */
  donorLimitScaledRpm: number | null;
  likeness: DonorLikeness;
  band: EstimateBand;
}

/** How points of one surface become points of another: speed and flow by factors, pressure ratio and efficiency as they are. */
export interface SurfaceTransform {
  reference: ReferenceState;
  speedFactor: number;
  surgeFlowFactor: number;
  chokeFlowFactor: number;
}

/** A surface that says how it was estimated. */
export type ScaledSurface = CompressorSurface & {
  readonly estimate: SurfaceEstimate;
  /** Flow here of a flow on a speed line of the donor; null where the donor does not know the ends of the line. */
  flowFromSource(sourceFlowKgPerS: number, sourceSpeedRpm: number): number | null;
};

/**
 * 'no-exducer', 'no-donor-exducer': without both larger diameters nothing can be scaled. 'trims-too-different': no room would be left
 * between surge and choke.
 */
export type NoScaleReason = 'no-exducer' | 'no-donor-exducer' | 'trims-too-different';

export type ScaleResult = { ok: true; surface: ScaledSurface } | { ok: false; reason: NoScaleReason };
