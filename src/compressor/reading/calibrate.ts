import { calibrationError } from './calibration-error.ts';
import { type KnownPlace, type PlaneFit, type RefinedFit, refine, shareOf } from './calibration-fit.ts';
import { calibrationNotes, type WithoutPoint } from './calibration-notes.ts';
import { calibrationProblems } from './calibration-problems.ts';
import { startAffine } from './calibration-start.ts';
import type {
  CalibrationMode,
  CalibrationOptions,
  CalibrationPoint,
  CalibrationProblem,
  CalibrationResidual,
  CalibrationResult,
  PicturePlace,
} from './calibration-types.ts';
import { homography } from './homography.ts';
import { pictureToPlane, planeToPicture } from './plane-map.ts';

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
