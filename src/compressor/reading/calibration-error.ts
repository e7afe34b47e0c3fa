import type { RefinedFit } from './calibration-fit.ts';
import type { CalibrationError, PicturePlace } from './calibration-types.ts';
import { pictureToPlane, planeDerivatives, type SharePlace } from './plane-map.ts';

/** Weight of the assumed placing error against spare points, as if it had been seen in so many of them. */
const PRIOR_WEIGHT = 4;

export interface ErrorInput {
  fit: RefinedFit;
  placingErrorPx: number;
  /** Places at which the error is looked for. */
  places: readonly PicturePlace[];
  /** Sheet units of one share, and where share zero stands. */
  flow: { from: number; span: number };
  ratio: { from: number; span: number };
  largest: { flow: number; pressureRatio: number };
  leftOutPixels: number | null;
}

/**
 * How wrong the calibration may be, from the covariance of its least squares carried to the worst of the given places. The placing error
 * is the assumed one, drawn towards what spare points show. Source: Hartley & Zisserman, 2nd ed., sec. 5.1 (covariance of a transform).
 */
export function calibrationError(input: ErrorInput): CalibrationError {
  const { fit, places, flow, ratio } = input;
  const variance = (PRIOR_WEIGHT * input.placingErrorPx ** 2 + fit.squares) / (PRIOR_WEIGHT + Math.max(0, fit.spare));
  const shares = places.flatMap((place) => pictureToPlane(fit.h, place) ?? []);
  const fullScale = {
    flow: Math.max(input.largest.flow, ...shares.map((s) => Math.abs(flow.from + s.a * flow.span))),
    pressureRatio: Math.max(input.largest.pressureRatio, ...shares.map((s) => Math.abs(ratio.from + s.b * ratio.span))),
  };
  let flowError = 0;
  let ratioError = 0;
  for (const share of shares) {
    const [a, b] = spreadAt(fit, share);
    flowError = Math.max(flowError, Math.sqrt(variance * a) * Math.abs(flow.span));
    ratioError = Math.max(ratioError, Math.sqrt(variance * b) * Math.abs(ratio.span));
  }
  return {
    flowShare: flowError / fullScale.flow,
    ratioShare: ratioError / fullScale.pressureRatio,
    from: fit.spare > 0 ? 'extra-points' : 'placing',
    leftOutPixels: input.leftOutPixels,
    fullScale,
  };
}

/** Variances of the two shares read at a place, for a placing error of one pixel. */
function spreadAt(fit: RefinedFit, share: SharePlace): [number, number] {
  const { byMap, byShare } = planeDerivatives(fit.h, share);
  const det = byShare[0][0] * byShare[1][1] - byShare[0][1] * byShare[1][0];
  // d(share) = -(d place / d share)^-1 (d place / d map) d(map).
  const rowA = byMap[0].map((x, k) => (x * byShare[1][1] - byMap[1][k]! * byShare[0][1]) / det);
  const rowB = byMap[0].map((x, k) => (byMap[1][k]! * byShare[0][0] - x * byShare[1][0]) / det);
  const spread = (row: readonly number[]) =>
    row.reduce((sum, x, i) => sum + x * row.reduce((s, y, j) => s + fit.covariance[i]![j]! * y, 0), 0);
  return [Math.max(0, spread(rowA)), Math.max(0, spread(rowB))];
}
