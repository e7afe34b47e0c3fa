import { capital } from '../units/index.ts';
import type {
  CalibratedSheet,
  Calibration,
  CalibrationError,
  CalibrationMode,
  CalibrationNote,
  CalibrationPoint,
  CalibrationProblem,
  CalibrationResidual,
  DataPlace,
  PicturePlace,
} from './calibrate.ts';
import { planeDerivatives, type RefinedFit } from './plane-fit.ts';

/** Two places nearer than this are one and the same click, pixels. */
const SAME_PLACE_PX = 1;
/** Least height of a triangle of grid points over its longest side: flatter ones count as a line. */
const FLATNESS = 0.02;

/** What keeps placed points from fixing the axes, in plain words; empty when nothing does. */
export function calibrationProblems(
  points: readonly CalibrationPoint[],
  mode: CalibrationMode,
  sheet: CalibratedSheet = 'compressor',
): CalibrationProblem[] {
  const problem = (code: CalibrationProblem['code'], message: string, at: readonly number[] = []) => [
    { code, message, points: at },
  ];
  const all = (wrong: (p: CalibrationPoint) => boolean) => points.flatMap((p, i) => (wrong(p) ? [i] : []));
  const bad = all((p) => [p.place.x, p.place.y, p.flow ?? 0, p.pressureRatio ?? 0].some((v) => !Number.isFinite(v)));
  if (bad.length > 0) {
    return problem('not-a-number', `${names(bad)}: place and value must be numbers. Enter the value again.`, bad);
  }
  const bare = all((p) => p.flow === undefined && p.pressureRatio === undefined);
  if (bare.length > 0) {
    return problem(
      'without-value',
      `${names(bare)}: enter the value that is printed there, or remove the point.`,
      bare,
    );
  }
  for (let i = 0; i < points.length; i++) {
    for (let j = 0; j < i; j++) {
      if (distance(points[i]!.place, points[j]!.place) >= SAME_PLACE_PX) continue;
      return problem('same-place', `${names([j, i])} stand at the same place. Move one of them.`, [j, i]);
    }
  }
  return mode === 'grid' ? gridProblems(points, ratioWord(sheet)) : axesProblems(points, ratioWord(sheet));
}

/** What the ratio is called on such a sheet. */
function ratioWord(sheet: CalibratedSheet): string {
  return sheet === 'turbine' ? 'expansion ratio' : 'pressure ratio';
}

function gridProblems(points: readonly CalibrationPoint[], ratioName: string): CalibrationProblem[] {
  const half = points.flatMap((p, i) => (p.flow === undefined || p.pressureRatio === undefined ? [i] : []));
  if (half.length > 0) {
    const message = `${names(half)}: a photo is straightened by grid points, which need both flow and ${ratioName}. Enter both.`;
    return [{ code: 'without-value', message, points: half }];
  }
  if (points.length < 4) {
    const message = `A photo needs four grid points, best the corners of the grid; ${points.length} placed so far.`;
    return [{ code: 'too-few-points', message, points: [] }];
  }
  if (!hasQuadruple(points)) {
    const message =
      'The grid points lie in a line, or all but one do. Place four of which no three stand in a line: the corners of the grid.';
    return [{ code: 'collinear', message, points: points.map((_, i) => i) }];
  }
  return [];
}

function axesProblems(points: readonly CalibrationPoint[], ratioName: string): CalibrationProblem[] {
  const grid = points.filter((p) => p.flow !== undefined && p.pressureRatio !== undefined);
  const distinct = (values: readonly (number | undefined)[]) => new Set(values.filter((v) => v !== undefined)).size;
  const flowAxis = points.filter((p) => p.pressureRatio === undefined);
  const ratioAxis = points.filter((p) => p.flow === undefined);
  const flows = distinct(flowAxis.map((p) => p.flow));
  const ratios = distinct(ratioAxis.map((p) => p.pressureRatio));
  const enough =
    (flows >= 2 && ratios >= 2) ||
    (flows >= 2 && distinct(grid.map((p) => p.pressureRatio)) >= 2) ||
    (ratios >= 2 && distinct(grid.map((p) => p.flow)) >= 2);
  if (enough) return [];
  if (grid.length >= 3) {
    if (hasTriangle(grid)) return [];
    const message = 'The grid points lie in a line. Place one well away from it, or two points on each axis.';
    return [{ code: 'collinear', message, points: points.map((_, i) => i) }];
  }
  for (const [axis, values, name] of [
    [flowAxis, flows, 'flow'],
    [ratioAxis, ratios, ratioName],
  ] as const) {
    if (axis.length < 2 || values >= 2) continue;
    const at = points.flatMap((p, i) => (axis.includes(p) ? [i] : []));
    return [
      { code: 'same-value', message: `${names(at)} have the same ${name}. Enter what is printed at each.`, points: at },
    ];
  }
  const missing = [flows < 2 ? 'flow axis' : '', ratios < 2 ? `${ratioName} axis` : '']
    .filter(Boolean)
    .join(' and the ');
  const message = `Two points with different values are needed on each axis; the ${missing} has too few. Place them far apart.`;
  return [{ code: 'too-few-points', message, points: [] }];
}

/** 'Point 1', 'Points 1 and 3'. */
export function names(indices: readonly number[]): string {
  const numbers = indices.map((i) => `${i + 1}`);
  if (numbers.length === 1) return `Point ${numbers[0]}`;
  return `Points ${numbers.slice(0, -1).join(', ')} and ${numbers.at(-1)}`;
}

function distance(a: PicturePlace, b: PicturePlace): number {
  return Math.hypot(a.x - b.x, a.y - b.y);
}

function flat(a: PicturePlace, b: PicturePlace, c: PicturePlace): boolean {
  const longest = Math.max(distance(a, b), distance(b, c), distance(a, c));
  const twiceArea = Math.abs((b.x - a.x) * (c.y - a.y) - (b.y - a.y) * (c.x - a.x));
  return twiceArea <= FLATNESS * longest * longest;
}

/** A triangle counts only if it is one both in the picture and on the sheet. */
function flatOnEither(points: readonly CalibrationPoint[], i: number, j: number, k: number): boolean {
  const [a, b, c] = [points[i]!, points[j]!, points[k]!];
  if (flat(a.place, b.place, c.place)) return true;
  const span = (of: (p: CalibrationPoint) => number | undefined) => {
    const values = points.map((p) => of(p) ?? 0);
    return Math.max(...values) - Math.min(...values) || 1;
  };
  const [flowSpan, ratioSpan] = [span((p) => p.flow), span((p) => p.pressureRatio)];
  const onSheet = (p: CalibrationPoint) => ({ x: (p.flow ?? 0) / flowSpan, y: (p.pressureRatio ?? 0) / ratioSpan });
  return flat(onSheet(a), onSheet(b), onSheet(c));
}

function hasTriangle(points: readonly CalibrationPoint[]): boolean {
  for (let i = 0; i < points.length; i++)
    for (let j = 0; j < i; j++) for (let k = 0; k < j; k++) if (!flatOnEither(points, i, j, k)) return true;
  return false;
}

/** Four points of which no three are in a line. Of very many points a dozen evenly chosen ones are looked at. */
function hasQuadruple(all: readonly CalibrationPoint[]): boolean {
  const points = all.length <= 12 ? all : Array.from({ length: 12 }, (_, i) => all[Math.floor((i * all.length) / 12)]!);
  const n = points.length;
  for (let i = 0; i < n; i++)
    for (let j = 0; j < i; j++)
      for (let k = 0; k < j; k++) {
        if (flatOnEither(points, i, j, k)) continue;
        for (let l = 0; l < k; l++) {
          const bent =
            !flatOnEither(points, i, j, l) && !flatOnEither(points, i, k, l) && !flatOnEither(points, j, k, l);
          if (bent) return true;
        }
      }
  return false;
}

/** What a map reading should not exceed, share of full scale: the aim of the reading itself. */
const AIM = 0.004;
/** A point this far off when left out, in pixels and in multiples of the placing error that the rest shows, is named. */
const STANDS_OFF_PX = 2.5;
const STANDS_OFF_TIMES = 3;
/** Few spare points may agree by chance: the rest's scatter is drawn towards half a pixel with the weight of so many values. */
const PLACING_PX = 0.5;
const PLACING_WEIGHT = 4;

/** The calibration without one point. */
export interface WithoutPoint {
  /** How far the point lies off it, pixels. */
  pixels: number;
  /** Squares that the rest leaves, and how many of its values are spare. */
  squares: number;
  spare: number;
}

/**
 * What is worth saying about a calibration that stands.
 * @param without for each point the calibration without it; null where it cannot be spared.
 */
export function calibrationNotes(
  fit: RefinedFit,
  residuals: readonly CalibrationResidual[],
  without: readonly (WithoutPoint | null)[],
  error: CalibrationError,
  { mode, sheet }: { mode: CalibrationMode; sheet: CalibratedSheet },
): CalibrationNote[] {
  const notes: CalibrationNote[] = [];
  const add = (code: CalibrationNote['code'], message: string, points: readonly number[] = []) =>
    notes.push({ code, message, points });
  const ratioName = ratioWord(sheet);
  for (const { axis, way } of runsBack(fit, sheet)) {
    const name = axis === 'flow' ? 'Flow' : capital(ratioName);
    const where = way === 'left' ? 'to the left' : 'downwards';
    add(
      `${axis}-runs-${way}`,
      `${name} rises ${where} in this picture. If the sheet does not, two values are swapped.`,
    );
  }
  const worst = Math.max(error.flowShare, error.ratioShare);
  if (worst > AIM) {
    const which = error.flowShare >= error.ratioShare ? 'flow' : ratioName;
    add(
      'reading-error-large',
      `The ${which} may be read wrong by ${percent(worst)} of full scale at the far side of the picture. Place the points farther apart, or add grid points.`,
    );
  }
  const off = standsOff(fit, without);
  if (off !== null) {
    // The very figure that the row of the point shows.
    const { leftOutPixels, pixels } = residuals[off.worst]!;
    const by = `${(leftOutPixels ?? pixels).toFixed(2)} px`;
    const spared = residuals.flatMap((r, i) => (r.leftOutPixels === null ? [] : [i]));
    const message = off.isCertain
      ? `${names([off.worst])} lies ${by} off the others. Check its place and its value.`
      : `The points disagree by ${by}, and there are too few to tell which is wrong. Check all of them.`;
    add('point-stands-off', message, off.isCertain ? [off.worst] : spared);
  }
  if (fit.spare <= 0) {
    const more = mode === 'grid' ? 'A fifth grid point' : 'A third point on an axis, or a grid point,';
    add('no-extra-points', `${more} would show how good this calibration is.`);
  }
  return notes;
}

/** The axis that such a sheet has across, where it runs left; the one that it has up, where it runs down. A picture may lie on its side. */
function runsBack(fit: RefinedFit, sheet: CalibratedSheet): { axis: 'flow' | 'ratio'; way: 'left' | 'down' }[] {
  const [byX, byY] = planeDerivatives(fit.h, { a: 0.5, b: 0.5 }).byShare;
  const flow = { axis: 'flow', x: byX[0], y: byY[0] } as const;
  const ratio = { axis: 'ratio', x: byX[1], y: byY[1] } as const;
  const [across, up] = sheet === 'turbine' ? [ratio, flow] : [flow, ratio];
  return [
    ...(across.x < 0 && Math.abs(across.x) > Math.abs(across.y) ? [{ axis: across.axis, way: 'left' } as const] : []),
    ...(up.y > 0 && Math.abs(up.y) > Math.abs(up.x) ? [{ axis: up.axis, way: 'down' } as const] : []),
  ];
}

/** One bad point spoils what the others are predicted by: to blame is the one without which the rest agrees best. */
function standsOff(
  fit: RefinedFit,
  without: readonly (WithoutPoint | null)[],
): { worst: number; isCertain: boolean } | null {
  const off = without.map((w) => w?.pixels ?? 0);
  const largest = off.indexOf(Math.max(...off));
  if (!(off[largest]! > STANDS_OFF_PX)) return null;
  const rest = without.map((w) => (w && w.spare > 0 ? w.squares : Number.POSITIVE_INFINITY));
  const best = rest.indexOf(Math.min(...rest));
  const left = without[best];
  if (!left || !Number.isFinite(rest[best]!)) return { worst: largest, isCertain: false };
  // Two coordinates of one point: by chance their share of the squares is twice the variance, whatever the point's leverage.
  const variance = (PLACING_WEIGHT * PLACING_PX ** 2 + left.squares) / (PLACING_WEIGHT + left.spare);
  const stands = off[best]! > STANDS_OFF_PX && fit.squares - left.squares > 2 * STANDS_OFF_TIMES ** 2 * variance;
  return stands ? { worst: best, isCertain: true } : null;
}

function percent(share: number): string {
  return `${(100 * share).toFixed(share < 0.01 ? 2 : 1)} %`;
}

/** Values on one axis at which the sheet prints its grid. */
interface GridSteps {
  from: number;
  to: number;
  step: number;
}

/** A line of the check grid over the picture. */
interface CheckGridLine {
  of: 'flow' | 'pressureRatio';
  value: number;
  /** In picture places; straight pieces. */
  points: readonly PicturePlace[];
}

/** Pieces of a line, so that it can be drawn where a part of it lies beyond the horizon. */
const PIECES = 16;
/** More lines than this are a slip in the step, and would cover the picture. */
const MOST_LINES = 200;

/**
 * The check grid: lines of constant flow and of constant pressure ratio, in picture places, to be laid over the picture.
 * @returns empty for steps that are not above zero, ranges that are not numbers, or more than 200 lines an axis.
 */
export function checkGrid(calibration: Calibration, flow: GridSteps, pressureRatio: GridSteps): CheckGridLine[] {
  const along = (of: CheckGridLine['of'], value: number, at: (share: number) => DataPlace): CheckGridLine[] => {
    const points = Array.from({ length: PIECES + 1 }, (_, i) => calibration.toPicture(at(i / PIECES))).filter(
      (place): place is PicturePlace => place !== null,
    );
    return points.length < 2 ? [] : [{ of, value, points }];
  };
  const between = ({ from, to }: GridSteps, share: number) => from + (to - from) * share;
  return [
    ...values(flow).flatMap((value) =>
      along('flow', value, (s) => ({ flow: value, pressureRatio: between(pressureRatio, s) })),
    ),
    ...values(pressureRatio).flatMap((value) =>
      along('pressureRatio', value, (s) => ({ flow: between(flow, s), pressureRatio: value })),
    ),
  ];
}

function values({ from, to, step }: GridSteps): number[] {
  const count = Math.floor((to - from) / step + 1e-6) + 1;
  if (!(step > 0) || !(count >= 1 && count <= MOST_LINES)) return [];
  // Rounded, so that a label reads 0.3 and not 0.30000000000000004.
  return Array.from({ length: count }, (_, i) => Number((from + i * step).toPrecision(12)));
}

/**
 * Grid steps that suit a range: 1, 2 or 5 times a power of ten, about `count` lines, beginning and ending on a step within the range.
 * @returns null for a range without width or that is not a number.
 */
export function niceSteps(from: number, to: number, count = 10): GridSteps | null {
  const width = to - from;
  if (!(width > 0) || !Number.isFinite(width) || !(count >= 1)) return null;
  const rough = width / count;
  const power = 10 ** Math.floor(Math.log10(rough));
  const step = [1, 2, 5, 10].map((m) => m * power).find((s) => s >= rough * 0.999) ?? 10 * power;
  const tidy = (value: number) => Number((value * step).toPrecision(12));
  return {
    from: tidy(Math.ceil(from / step - 1e-9)),
    to: tidy(Math.floor(to / step + 1e-9)),
    step: Number(step.toPrecision(12)),
  };
}

/** Decimals that a reading is worth: a last digit of at most a quarter of a pixel. */
export function sensibleDecimals(calibration: Calibration, around: PicturePlace): { flow: number; ratio: number } {
  const at = (dx: number, dy: number) => calibration.toData({ x: around.x + dx, y: around.y + dy });
  const [here, right, down] = [at(0, 0), at(1, 0), at(0, 1)];
  if (here === null || right === null || down === null) return { flow: 4, ratio: 3 };
  const per = (of: keyof DataPlace) => Math.hypot(right[of] - here[of], down[of] - here[of]);
  const decimals = (perPixel: number) =>
    perPixel > 0 ? Math.min(8, Math.max(0, Math.ceil(-Math.log10(perPixel / 4) - 1e-9))) : 4;
  return { flow: decimals(per('flow')), ratio: decimals(per('pressureRatio')) };
}
