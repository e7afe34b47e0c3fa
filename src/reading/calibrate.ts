import { calibrationNotes, calibrationProblems, type WithoutPoint } from './calibration-checks.ts';
import {
  homography,
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
  /** How exactly a person places a point, pixels (standard deviation, each way). Default 0.5. */
  placingErrorPx?: number | undefined;
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
  mode: CalibrationMode;
  /** null beyond the horizon of a perspective. */
  toData(place: PicturePlace): DataPlace | null;
  toPicture(data: DataPlace): PicturePlace | null;
  residuals: readonly CalibrationResidual[];
  error: CalibrationError;
  notes: readonly CalibrationNote[];
}

export type CalibrationResult =
  | { ok: true; calibration: Calibration }
  | { ok: false; problems: readonly CalibrationProblem[] };

/** A line of the check grid over the picture. */
export interface CheckGridLine {
  of: 'flow' | 'pressureRatio';
  value: number;
  /** In picture places; straight pieces. */
  points: readonly PicturePlace[];
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
): CalibrationResult {
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
  const leftOut = known.map((_, i) => withoutPoint(points, known, i, mode));
  const residuals = known.map((point, i) => residualOf(point, fit, leftOut[i]?.pixels ?? null, flow.span, ratio.span));
  const spared = residuals.flatMap((r) => r.leftOutPixels ?? []);
  const leftOutPixels = spared.length === 0 ? null : Math.hypot(...spared) / Math.sqrt(spared.length);
  const error = calibrationError({
    fit,
    placingErrorPx: options.placingErrorPx ?? PLACING_ERROR_PX,
    places: lookAt(points, options),
    flow,
    ratio,
    largest: {
      flow: Math.max(...points.map((p) => Math.abs(p.flow ?? 0))),
      pressureRatio: Math.max(...points.map((p) => Math.abs(p.pressureRatio ?? 0))),
    },
    leftOutPixels,
  });
  return {
    ok: true,
    calibration: {
      mode,
      toData: (place) => {
        const share = pictureToPlane(fit.h, place);
        return share && { flow: flow.from + share.a * flow.span, pressureRatio: ratio.from + share.b * ratio.span };
      },
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
  const all = known.map((_, i) => i);
  const start = startOf(known, mode);
  const folded: CalibrationProblem = {
    code: 'folded',
    message: 'No flat sheet can look like this: two of the grid points are probably swapped. Check their values.',
    points: all,
  };
  if (!start) {
    if (mode === 'grid') return folded;
    return { code: 'contradictory', message: 'The points do not fix both axes. Place two on each axis.', points: all };
  }
  if (known.some((p) => p.a !== null && p.b !== null && !planeToPicture(start.h, { a: p.a, b: p.b }))) return folded;
  const [ux, vx, , uy, vy] = start.h;
  const sine = Math.abs(ux! * vy! - uy! * vx!) / (Math.hypot(ux!, uy!) * Math.hypot(vx!, vy!));
  if (mode === 'axes' && !(sine >= LEAST_SINE)) {
    const message = 'The two axes run almost the same way. Check which points belong to which axis.';
    return { code: 'parallel-axes', message, points: all };
  }
  const fit = refine(start, known, mode === 'grid');
  if (fit) return fit;
  return { code: 'contradictory', message: 'The points contradict one another. Check their values.', points: all };
}

function startOf(known: readonly KnownPlace[], mode: CalibrationMode): PlaneFit | null {
  if (mode === 'axes') return startAffine(known);
  const h = homography(
    known.map((p) => ({ a: p.a ?? 0, b: p.b ?? 0 })),
    known.map((p) => p.place),
  );
  return h && { h, axisA: 0, axisB: 0 };
}

function residualOf(
  point: KnownPlace,
  fit: RefinedFit,
  leftOutPixels: number | null,
  flowSpan: number,
  ratioSpan: number,
): CalibrationResidual {
  const read = pictureToPlane(fit.h, point.place);
  return {
    flow: read && point.a !== null ? (read.a - point.a) * flowSpan : null,
    pressureRatio: read && point.b !== null ? (read.b - point.b) * ratioSpan : null,
    pixels: distanceOf(fit, point) ?? 0,
    leftOutPixels,
  };
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
  const others = <T>(all: readonly T[]) => all.filter((_, i) => i !== at);
  if (calibrationProblems(others(points), mode).length > 0) return null;
  const rest = others(known);
  const left = known[at]!;
  // Where its axis stands is not known without another point of that axis.
  if (left.a === null && !rest.some((p) => p.a === null)) return null;
  if (left.b === null && !rest.some((p) => p.b === null)) return null;
  const fit = fitPlane(rest, mode);
  const pixels = 'h' in fit ? distanceOf(fit, left) : null;
  if (!('h' in fit) || pixels === null) return null;
  return { pixels, squares: fit.squares, spare: fit.spare };
}

/** Five by five places over the middle nine tenths of the picture, or over the box of the points. */
function lookAt(points: readonly CalibrationPoint[], options: CalibrationOptions): PicturePlace[] {
  const xs = points.map((p) => p.place.x);
  const ys = points.map((p) => p.place.y);
  const { picture } = options;
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
