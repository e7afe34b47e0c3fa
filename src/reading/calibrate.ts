import { calibrationNotes, calibrationProblems, type WithoutPoint } from './calibration-checks.ts';
import {
  type KnownPlace,
  type PlaneFit,
  pictureToPlane,
  planeDerivatives,
  planeToPicture,
  type RefinedFit,
  refine,
  type SharePlace,
  shareOf,
  startAffine,
  startHomography,
} from './plane-fit.ts';

/**
 * A place in the picture, in pixels: x to the right, y down, the top left corner of the picture is (0, 0), so that the centre of the
 * first pixel is (0.5, 0.5), as a canvas counts.
 */
export interface PicturePlace {
  x: number;
  y: number;
}

/** A place on the sheet in the sheet's own numbers: flow in its flow unit, pressure ratio as printed. */
export interface DataPlace {
  flow: number;
  pressureRatio: number;
}

/**
 * A place whose values are printed on the sheet. With one value it stands on an axis (or on any one line parallel to it: all points
 * that know the flow alone on one line of constant pressure ratio, and the other way round); with both it is a grid point.
 */
export interface CalibrationPoint {
  place: PicturePlace;
  flow?: number | undefined;
  pressureRatio?: number | undefined;
}

/**
 * 'axes': a straight scan or print: shifted, scaled, rotated and skewed, but parallels stay parallel (affine).
 * 'grid': a photo: perspective as well (homography); four or more grid points.
 */
export type CalibrationMode = 'axes' | 'grid';

/** What is read: a compressor map (flow across, pressure ratio up) or a turbine sheet (expansion ratio across, flow up). */
export type CalibratedSheet = 'compressor' | 'turbine';

export interface CalibrationOptions {
  /** Size of the picture, pixels: where the expected reading error is looked for. Without it: the box around the points. */
  picture?: { width: number; height: number } | undefined;
  /** For the words, and for what counts as running backwards; the calibration itself does not depend on it. Default 'compressor'. */
  sheet?: CalibratedSheet | undefined;
}

export interface CalibrationProblem {
  code:
    | 'too-few-points'
    | 'not-a-number'
    | 'without-value'
    | 'same-place'
    | 'same-value'
    | 'collinear'
    | 'parallel-axes'
    | 'folded'
    | 'contradictory';
  /** Plain words: what, where, what to do. */
  message: string;
  /** Indices of the points it is about. */
  points: readonly number[];
}

export interface CalibrationNote {
  code:
    | 'flow-runs-left'
    | 'flow-runs-down'
    | 'ratio-runs-left'
    | 'ratio-runs-down'
    | 'reading-error-large'
    | 'point-stands-off'
    | 'no-extra-points'
    | 'perspective';
  message: string;
  points: readonly number[];
}

/** How far a calibration point comes back off its place. A value that the point does not know is null. */
export interface CalibrationResidual {
  /** Calibrated minus printed, sheet units. */
  flow: number | null;
  pressureRatio: number | null;
  /** Distance in the picture, pixels; for an axis point the distance to the line of its value. */
  pixels: number;
  /** The same in pixels with this point left out of the calibration: an honest error. null where it cannot be spared. */
  leftOutPixels: number | null;
}

export interface CalibrationError {
  /** Shares of full scale (largest flow; largest pressure ratio), standard deviation, at the worst place of the picture's middle nine tenths. */
  flowShare: number;
  ratioShare: number;
  /** 'extra-points': scaled by how far spare points really lie off; 'placing': from the assumed placing error alone. */
  from: 'extra-points' | 'placing';
  /** Root mean square of the left-out distances, pixels; null without a spare point. */
  leftOutPixels: number | null;
  /** Full scale that the shares refer to, sheet units. */
  fullScale: DataPlace;
}

export interface Calibration {
  /** null beyond the horizon of a perspective. */
  toData(place: PicturePlace): DataPlace | null;
  toPicture(data: DataPlace): PicturePlace | null;
  residuals: readonly CalibrationResidual[];
  error: CalibrationError;
  notes: readonly CalibrationNote[];
}

/** Standard deviation of a point placed by hand under a magnifier, pixels (common practice, no source). */
const PLACING_ERROR_PX = 0.5;
/** Axes that stand at less than this sine to each other are no axes. */
const LEAST_SINE = 0.1;

/**
 * Calibrate a picture from places with printed values; linear scales.
 * 'axes': two points on each axis (or three grid points, or a mixture), affine. 'grid': four or more grid points, homography by the
 * normalised direct linear transform. Spare points enter by least squares of the distances in the picture.
 *
 * @param points places in pixels, values in the sheet's own numbers
 * @returns the calibration with its own error, or what keeps the points from fixing one. Never throws.
 */
export function calibrate(
  points: readonly CalibrationPoint[],
  mode: CalibrationMode,
  options: CalibrationOptions = {},
): { ok: true; calibration: Calibration } | { ok: false; problems: readonly CalibrationProblem[] } {
  const sheet = options.sheet ?? 'compressor';
  const problems = calibrationProblems(points, mode, sheet);
  if (problems.length > 0) return { ok: false, problems };
  const flow = range(points.flatMap((p) => p.flow ?? []));
  const ratio = range(points.flatMap((p) => p.pressureRatio ?? []));
  const known = points.map(
    (p): KnownPlace => ({
      place: p.place,
      a: p.flow === undefined ? null : (p.flow - flow.from) / flow.span,
      b: p.pressureRatio === undefined ? null : (p.pressureRatio - ratio.from) / ratio.span,
    }),
  );
  const fit = fitPlane(known, mode);
  if (!('h' in fit)) return { ok: false, problems: [fit] };
  const toData = (place: PicturePlace): DataPlace | null => {
    const share = pictureToPlane(fit.h, place);
    return share && { flow: flow.from + share.a * flow.span, pressureRatio: ratio.from + share.b * ratio.span };
  };
  const leftOut = known.map((_, i) => withoutPoint(points, known, i, mode));
  const residuals = known.map((point, i): CalibrationResidual => {
    const read = pictureToPlane(fit.h, point.place);
    return {
      flow: read && point.a !== null ? (read.a - point.a) * flow.span : null,
      pressureRatio: read && point.b !== null ? (read.b - point.b) * ratio.span : null,
      pixels: distanceOf(fit, point) ?? 0,
      leftOutPixels: leftOut[i]?.pixels ?? null,
    };
  });
  const spared = residuals.flatMap((r) => r.leftOutPixels ?? []);
  const read = lookAt(points, options).flatMap((place) => toData(place) ?? []);
  const largest = (of: (p: Pick<CalibrationPoint, keyof DataPlace>) => number | undefined) =>
    Math.max(...[...points, ...read].map((p) => Math.abs(of(p) ?? 0)));
  const fullScale = { flow: largest((p) => p.flow), pressureRatio: largest((p) => p.pressureRatio) };
  const spread = largestSpread(fit, lookAt(points, options));
  const error: CalibrationError = {
    flowShare: (spread.a * Math.abs(flow.span)) / fullScale.flow,
    ratioShare: (spread.b * Math.abs(ratio.span)) / fullScale.pressureRatio,
    from: fit.spare > 0 ? 'extra-points' : 'placing',
    leftOutPixels: spared.length === 0 ? null : Math.hypot(...spared) / Math.sqrt(spared.length),
    fullScale,
  };
  return {
    ok: true,
    calibration: {
      toData,
      toPicture: (data) =>
        planeToPicture(fit.h, {
          a: (data.flow - flow.from) / flow.span,
          b: (data.pressureRatio - ratio.from) / ratio.span,
        }),
      residuals,
      error,
      notes: calibrationNotes(fit, residuals, leftOut, error, { mode, sheet }),
    },
  };
}

function range(values: readonly number[]): { from: number; span: number } {
  const from = Math.min(...values);
  return { from, span: Math.max(...values) - from };
}

function fitPlane(known: readonly KnownPlace[], mode: CalibrationMode): RefinedFit | CalibrationProblem {
  const start = mode === 'axes' ? startAffine(known) : startHomography(known);
  const problem = (code: CalibrationProblem['code'], message: string): CalibrationProblem => {
    return { code, message, points: known.map((_, i) => i) };
  };
  if (!start && mode === 'axes')
    return problem('contradictory', 'The points do not fix both axes. Place two on each axis.');
  if (!start || known.some((p) => p.a !== null && p.b !== null && !planeToPicture(start.h, { a: p.a, b: p.b }))) {
    const message =
      'No flat sheet can look like this: two of the grid points are probably swapped. Check their values.';
    return problem('folded', message);
  }
  const [ux, vx, , uy, vy] = start.h;
  const sine = Math.abs(ux! * vy! - uy! * vx!) / (Math.hypot(ux!, uy!) * Math.hypot(vx!, vy!));
  if (mode === 'axes' && !(sine >= LEAST_SINE)) {
    const message = 'The two axes run almost the same way. Check which points belong to which axis.';
    return problem('parallel-axes', message);
  }
  const fit = refine(start, known, mode === 'grid');
  return fit ?? problem('contradictory', 'The points contradict one another. Check their values.');
}

function distanceOf(fit: PlaneFit, point: KnownPlace): number | null {
  const at = planeToPicture(fit.h, shareOf(fit, point));
  return at && Math.hypot(at.x - point.place.x, at.y - point.place.y);
}

function withoutPoint(
  points: readonly CalibrationPoint[],
  known: readonly KnownPlace[],
  at: number,
  mode: CalibrationMode,
): WithoutPoint | null {
  if (calibrationProblems(points.toSpliced(at, 1), mode).length > 0) return null;
  const rest = known.toSpliced(at, 1);
  const left = known[at]!;
  // Where its axis stands is not known without another point of that axis.
  if (left.a === null && !rest.some((p) => p.a === null)) return null;
  if (left.b === null && !rest.some((p) => p.b === null)) return null;
  const fit = fitPlane(rest, mode);
  const pixels = 'h' in fit ? distanceOf(fit, left) : null;
  return !('h' in fit) || pixels === null ? null : { pixels, squares: fit.squares, spare: fit.spare };
}

/** Five by five places over the middle nine tenths of the picture, or over the box of the points. */
function lookAt(points: readonly CalibrationPoint[], { picture }: CalibrationOptions): PicturePlace[] {
  const xs = points.map((p) => p.place.x);
  const ys = points.map((p) => p.place.y);
  const [left, right, top, bottom] = picture
    ? [0.05 * picture.width, 0.95 * picture.width, 0.05 * picture.height, 0.95 * picture.height]
    : [Math.min(...xs), Math.max(...xs), Math.min(...ys), Math.max(...ys)];
  return Array.from({ length: 25 }, (_, i) => ({
    x: left + ((right - left) * (i % 5)) / 4,
    y: top + ((bottom - top) * Math.floor(i / 5)) / 4,
  }));
}

/** Weight of the assumed placing error against spare points, as if it had been seen in so many of them. */
const PRIOR_WEIGHT = 4;

/**
 * How wrong the two shares may be read, from the covariance of the least squares carried to the worst of the given places. The placing
 * error is the assumed one, drawn towards what spare points show. Source: Hartley & Zisserman, 2nd ed., sec. 5.1 (covariance of a transform).
 */
function largestSpread(fit: RefinedFit, places: readonly PicturePlace[]): SharePlace {
  const variance = (PRIOR_WEIGHT * PLACING_ERROR_PX ** 2 + fit.squares) / (PRIOR_WEIGHT + Math.max(0, fit.spare));
  const spreads = places.flatMap((place) => {
    const share = pictureToPlane(fit.h, place);
    return share === null ? [] : [spreadAt(fit, share)];
  });
  const worst = (of: (s: SharePlace) => number) => Math.max(0, ...spreads.map((s) => Math.sqrt(variance * of(s))));
  return { a: worst((s) => s.a), b: worst((s) => s.b) };
}

/** Variances of the two shares read at a place, for a placing error of one pixel. */
function spreadAt(fit: RefinedFit, share: SharePlace): SharePlace {
  const { byMap, byShare } = planeDerivatives(fit.h, share);
  const det = byShare[0][0] * byShare[1][1] - byShare[0][1] * byShare[1][0];
  // d(share) = -(d place / d share)^-1 (d place / d map) d(map).
  const rowA = byMap[0].map((x, k) => (x * byShare[1][1] - byMap[1][k]! * byShare[0][1]) / det);
  const rowB = byMap[0].map((x, k) => (byMap[1][k]! * byShare[0][0] - x * byShare[1][0]) / det);
  const spread = (row: readonly number[]) =>
    row.reduce((sum, x, i) => sum + x * row.reduce((s, y, j) => s + fit.covariance[i]![j]! * y, 0), 0);
  return { a: Math.max(0, spread(rowA)), b: Math.max(0, spread(rowB)) };
}
