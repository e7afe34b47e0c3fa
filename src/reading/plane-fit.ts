import { solveLinear, symmetricEigen } from '../numerics/index.ts';
import type { PicturePlace } from './calibrate.ts';

/** A place on the sheet in shares of the calibrated ranges: a of flow, b of pressure ratio. */
export interface SharePlace {
  a: number;
  b: number;
}

/**
 * The map from the sheet's plane to the picture's: x = (h0 a + h1 b + h2) / w, y = (h3 a + h4 b + h5) / w, w = h6 a + h7 b + 1.
 * h6 = h7 = 0 is affine. Source: Hartley & Zisserman, Multiple View Geometry, 2nd ed., sec. 2.3 and 2.4.
 */
type PlaneMap = readonly number[];

/** @returns null on or beyond the horizon (w not above zero). */
export function planeToPicture(h: PlaneMap, { a, b }: SharePlace): PicturePlace | null {
  const w = h[6]! * a + h[7]! * b + 1;
  if (!(w > 1e-9)) return null;
  return { x: (h[0]! * a + h[1]! * b + h[2]!) / w, y: (h[3]! * a + h[4]! * b + h[5]!) / w };
}

/** The inverse. @returns null where no place of the visible side of the sheet is seen there. */
export function pictureToPlane(h: PlaneMap, { x, y }: PicturePlace): SharePlace | null {
  // (h0 - x h6) a + (h1 - x h7) b = x - h2, and the same in y.
  const m00 = h[0]! - x * h[6]!;
  const m01 = h[1]! - x * h[7]!;
  const m10 = h[3]! - y * h[6]!;
  const m11 = h[4]! - y * h[7]!;
  const det = m00 * m11 - m01 * m10;
  const a = ((x - h[2]!) * m11 - (y - h[5]!) * m01) / det;
  const b = ((y - h[5]!) * m00 - (x - h[2]!) * m10) / det;
  const visible = Number.isFinite(a) && Number.isFinite(b) && h[6]! * a + h[7]! * b + 1 > 1e-9;
  return visible ? { a, b } : null;
}

/** Derivatives of the picture place at a sheet place: by the eight numbers of the map, and by a and b. */
export function planeDerivatives(
  h: PlaneMap,
  { a, b }: SharePlace,
): { byMap: [number[], number[]]; byShare: [[number, number], [number, number]] } {
  const w = h[6]! * a + h[7]! * b + 1;
  const x = (h[0]! * a + h[1]! * b + h[2]!) / w;
  const y = (h[3]! * a + h[4]! * b + h[5]!) / w;
  return {
    byMap: [
      [a / w, b / w, 1 / w, 0, 0, 0, (-x * a) / w, (-x * b) / w],
      [0, 0, 0, a / w, b / w, 1 / w, (-y * a) / w, (-y * b) / w],
    ],
    byShare: [
      [(h[0]! - x * h[6]!) / w, (h[1]! - x * h[7]!) / w],
      [(h[3]! - y * h[6]!) / w, (h[4]! - y * h[7]!) / w],
    ],
  };
}

/** A calibration point in shares of the calibrated ranges; null: not printed, common to all points of that axis. */
export interface KnownPlace {
  place: PicturePlace;
  a: number | null;
  b: number | null;
}

/** The map, and where the axes stand: the flow axis at pressure ratio `axisB`, the pressure-ratio axis at flow `axisA`. */
export interface PlaneFit {
  h: PlaneMap;
  axisA: number;
  axisB: number;
}

export interface RefinedFit extends PlaneFit {
  /** Sum of squared distances, pixels squared. */
  squares: number;
  /** Values less unknowns: how many are spare. */
  spare: number;
  /** Covariance of the eight numbers of the map for a placing error of one pixel; rows of fixed numbers are zero. */
  covariance: readonly (readonly number[])[];
}

const MAP_SIZE = 8;
const AXIS_A = 8;
const AXIS_B = 9;

export function shareOf(fit: PlaneFit, known: KnownPlace): SharePlace {
  return { a: known.a ?? fit.axisA, b: known.b ?? fit.axisB };
}

/**
 * Least squares of the distances in the picture, where the placing errors are made, by Gauss-Newton with step halving.
 * Source: Hartley & Zisserman, 2nd ed., sec. 4.2.3 (error in one image); Nocedal & Wright, Numerical Optimization, sec. 10.3.
 * @param perspective false holds h6 and h7 at zero.
 * @returns null where the points do not fix the map.
 */
export function refine(start: PlaneFit, points: readonly KnownPlace[], perspective: boolean): RefinedFit | null {
  const free = unknowns(points, perspective);
  let theta = [...start.h, start.axisA, start.axisB];
  let squares = sumOfSquares(theta, points);
  if (!Number.isFinite(squares)) return null;
  for (let i = 0; i < 40; i++) {
    const { normal, gradient } = normalEquations(theta, points, free);
    const step = solveScaled(normal, gradient);
    if (!step) return null;
    let share = 1;
    let next = moved(theta, free, step, share);
    let nextSquares = sumOfSquares(next, points);
    while (!(nextSquares <= squares) && share > 1e-4) {
      share /= 2;
      next = moved(theta, free, step, share);
      nextSquares = sumOfSquares(next, points);
    }
    if (!(nextSquares <= squares)) break;
    const gain = squares - nextSquares;
    theta = next;
    squares = nextSquares;
    if (gain <= 1e-14 * squares + 1e-18) break;
  }
  const covariance = covarianceOf(theta, points, free);
  if (!covariance) return null;
  return { ...fitOf(theta), squares, spare: 2 * points.length - free.length, covariance };
}

function fitOf(theta: readonly number[]): PlaneFit {
  return { h: theta.slice(0, MAP_SIZE), axisA: theta[AXIS_A]!, axisB: theta[AXIS_B]! };
}

function unknowns(points: readonly KnownPlace[], perspective: boolean): number[] {
  const free = [0, 1, 2, 3, 4, 5];
  if (perspective) free.push(6, 7);
  if (points.some((p) => p.a === null)) free.push(AXIS_A);
  if (points.some((p) => p.b === null)) free.push(AXIS_B);
  return free;
}

function moved(theta: readonly number[], free: readonly number[], step: readonly number[], share: number): number[] {
  const next = [...theta];
  free.forEach((index, k) => {
    next[index]! -= share * step[k]!;
  });
  return next;
}

function sumOfSquares(theta: readonly number[], points: readonly KnownPlace[]): number {
  const fit = fitOf(theta);
  return points.reduce((sum, known) => {
    const at = planeToPicture(fit.h, shareOf(fit, known));
    return at ? sum + (at.x - known.place.x) ** 2 + (at.y - known.place.y) ** 2 : Number.POSITIVE_INFINITY;
  }, 0);
}

/** Rows of the Jacobian for one point, over all ten numbers. */
function rowsOf(fit: PlaneFit, known: KnownPlace): [number[], number[]] {
  const { byMap, byShare } = planeDerivatives(fit.h, shareOf(fit, known));
  const row = (i: 0 | 1) => [...byMap[i], known.a === null ? byShare[i][0] : 0, known.b === null ? byShare[i][1] : 0];
  return [row(0), row(1)];
}

function normalEquations(
  theta: readonly number[],
  points: readonly KnownPlace[],
  free: readonly number[],
): { normal: number[][]; gradient: number[] } {
  const n = free.length;
  const normal = Array.from({ length: n }, () => new Array<number>(n).fill(0));
  const gradient = new Array<number>(n).fill(0);
  const fit = fitOf(theta);
  for (const known of points) {
    const at = planeToPicture(fit.h, shareOf(fit, known)) ?? known.place;
    const off = [at.x - known.place.x, at.y - known.place.y] as const;
    rowsOf(fit, known).forEach((row, axis) => {
      for (let p = 0; p < n; p++) {
        gradient[p]! += row[free[p]!]! * off[axis as 0 | 1];
        for (let q = 0; q < n; q++) normal[p]![q]! += row[free[p]!]! * row[free[q]!]!;
      }
    });
  }
  return { normal, gradient };
}

/** The unknowns are pixels and shares at once: scaled to a unit diagonal before solving. */
function solveScaled(normal: readonly (readonly number[])[], right: readonly number[]): number[] | null {
  const d = normal.map((row, i) => Math.sqrt(row[i]!));
  if (d.some((value) => !(value > 0))) return null;
  const scaled = normal.map((row, i) => row.map((value, j) => value / (d[i]! * d[j]!)));
  const solved = solveLinear(
    scaled,
    right.map((value, i) => value / d[i]!),
  );
  return solved?.map((value, i) => value / d[i]!) ?? null;
}

function covarianceOf(
  theta: readonly number[],
  points: readonly KnownPlace[],
  free: readonly number[],
): number[][] | null {
  const { normal } = normalEquations(theta, points, free);
  const covariance = Array.from({ length: MAP_SIZE }, () => new Array<number>(MAP_SIZE).fill(0));
  for (let k = 0; k < free.length; k++) {
    const column = solveScaled(
      normal,
      free.map((_, i) => (i === k ? 1 : 0)),
    );
    if (!column) return null;
    free.forEach((index, i) => {
      if (index < MAP_SIZE && free[k]! < MAP_SIZE) covariance[index]![free[k]!] = column[i]!;
    });
  }
  return covariance;
}

/**
 * A first affine map by linear regressions: one picture vector a unit of flow along the flow axis, one a unit of pressure ratio along its
 * axis, and the origin where the axes (or the grid points) put it.
 * @returns null where the points do not fix it: the problems have been named before.
 */
export function startAffine(points: readonly KnownPlace[]): PlaneFit | null {
  const onFlowAxis = points.filter((p) => p.b === null);
  const onRatioAxis = points.filter((p) => p.a === null);
  const grid = points.filter((p): p is Grid => p.a !== null && p.b !== null);
  let u = regression(onFlowAxis.map((p) => ({ t: p.a ?? 0, place: p.place })));
  let v = regression(onRatioAxis.map((p) => ({ t: p.b ?? 0, place: p.place })));
  if (!u && !v) return fromGrid(grid);
  u ??= v && regression(grid.map((p) => ({ t: p.a, place: less(p.place, v!.slope, p.b) })));
  v ??= u && regression(grid.map((p) => ({ t: p.b, place: less(p.place, u!.slope, p.a) })));
  if (!u || !v) return null;
  const [du, dv] = [u.slope, v.slope];
  if (onFlowAxis.length > 0 && onRatioAxis.length > 0 && grid.length === 0) {
    // Flow axis u.at + a du, ratio axis v.at + b dv; both are origin + a du + b dv with a common b and a common a.
    const cross = du.x * dv.y - du.y * dv.x;
    const d = { x: v.at.x - u.at.x, y: v.at.y - u.at.y };
    const axisA = (d.x * dv.y - d.y * dv.x) / cross;
    const axisB = (d.x * du.y - d.y * du.x) / cross;
    if (!Number.isFinite(axisA) || !Number.isFinite(axisB)) return null;
    return fitFrom(less(u.at, dv, axisB), du, dv, axisA, axisB);
  }
  const origin = mean(grid.map((p) => less(less(p.place, du, p.a), dv, p.b)));
  const spot = (axis: readonly KnownPlace[], along: PicturePlace, t: (p: KnownPlace) => number) =>
    mean(axis.map((p) => less(less(p.place, along, t(p)), origin, 1)));
  const onto = (d: PicturePlace, e: PicturePlace) => (d.x * e.x + d.y * e.y) / (e.x * e.x + e.y * e.y);
  const flowSpot = spot(onFlowAxis, du, (p) => p.a ?? 0);
  const ratioSpot = spot(onRatioAxis, dv, (p) => p.b ?? 0);
  const axisB = onFlowAxis.length > 0 ? onto(flowSpot, dv) : 0;
  const axisA = onRatioAxis.length > 0 ? onto(ratioSpot, du) : 0;
  return fitFrom(origin, du, dv, axisA, axisB);
}

interface Grid extends KnownPlace {
  a: number;
  b: number;
}

function fitFrom(o: PicturePlace, u: PicturePlace, v: PicturePlace, axisA: number, axisB: number): PlaneFit {
  return { h: [u.x, v.x, o.x, u.y, v.y, o.y, 0, 0], axisA, axisB };
}

function less(place: PicturePlace, along: PicturePlace, by: number): PicturePlace {
  return { x: place.x - by * along.x, y: place.y - by * along.y };
}

function mean(places: readonly PicturePlace[]): PicturePlace {
  const n = places.length;
  return { x: places.reduce((s, p) => s + p.x, 0) / n, y: places.reduce((s, p) => s + p.y, 0) / n };
}

/** Place over value; null with fewer than two different values. */
function regression(
  rows: readonly { t: number; place: PicturePlace }[],
): { slope: PicturePlace; at: PicturePlace } | null {
  if (rows.length < 2) return null;
  const t = rows.reduce((s, r) => s + r.t, 0) / rows.length;
  const centre = mean(rows.map((r) => r.place));
  const square = rows.reduce((s, r) => s + (r.t - t) ** 2, 0);
  if (!(square > 0)) return null;
  const along = (of: (p: PicturePlace) => number, middle: number) =>
    rows.reduce((s, r) => s + (r.t - t) * (of(r.place) - middle), 0) / square;
  const slope = { x: along((p) => p.x, centre.x), y: along((p) => p.y, centre.y) };
  return { slope, at: less(centre, slope, t) };
}

function fromGrid(grid: readonly Grid[]): PlaneFit | null {
  if (grid.length < 3) return null;
  const rows = grid.map((p) => [p.a, p.b, 1]);
  const normal = [0, 1, 2].map((i) => [0, 1, 2].map((j) => rows.reduce((s, r) => s + r[i]! * r[j]!, 0)));
  const solve = (of: (p: PicturePlace) => number) =>
    solveLinear(
      normal,
      [0, 1, 2].map((i) => rows.reduce((s, r, k) => s + r[i]! * of(grid[k]!.place), 0)),
    );
  const x = solve((p) => p.x);
  const y = solve((p) => p.y);
  return x && y ? { h: [...x, ...y, 0, 0], axisA: 0, axisB: 0 } : null;
}

/**
 * Homography from the sheet's plane to the picture by the normalised direct linear transform, over four or more grid points, no three of
 * some four in a line; with more than four the algebraic error is least.
 * Source: Hartley & Zisserman, Multiple View Geometry, 2nd ed., algorithm 4.2.
 * @returns the map with h8 = 1, or null where there is none (degenerate points, or the sheet's origin at the horizon)
 */
export function startHomography(points: readonly KnownPlace[]): PlaneFit | null {
  if (points.length < 4) return null;
  const shares = points.map((p) => ({ a: p.a ?? 0, b: p.b ?? 0 }));
  const places = points.map((p) => p.place);
  const from = normalisation(shares.map(({ a, b }) => [a, b]));
  const to = normalisation(places.map(({ x, y }) => [x, y]));
  if (!from || !to) return null;
  const normal = Array.from({ length: 9 }, () => new Array<number>(9).fill(0));
  shares.forEach(({ a, b }, i) => {
    const [u, v] = from.apply(a, b);
    const [x, y] = to.apply(places[i]!.x, places[i]!.y);
    for (const row of [
      [u, v, 1, 0, 0, 0, -x * u, -x * v, -x],
      [0, 0, 0, u, v, 1, -y * u, -y * v, -y],
    ]) {
      for (let p = 0; p < 9; p++) for (let q = 0; q < 9; q++) normal[p]![q]! += row[p]! * row[q]!;
    }
  });
  const [least, next, ...rest] = symmetricEigen(normal);
  // A second near-zero eigenvalue: a whole family of maps fits, so the points do not fix one.
  if (!least || !next || next.value < 1e-10 * rest.at(-1)!.value) return null;
  const h = undo(least.vector, from, to);
  const last = h[8]!;
  const largest = Math.max(...h.map(Math.abs));
  if (!(Math.abs(last) > 1e-12 * largest)) return null;
  return { h: h.slice(0, 8).map((value) => value / last), axisA: 0, axisB: 0 };
}

type Normalisation = NonNullable<ReturnType<typeof normalisation>>;

/** Centroid to the origin, mean distance to the square root of 2. */
function normalisation(points: readonly (readonly [number, number])[]) {
  const n = points.length;
  const x = points.reduce((sum, p) => sum + p[0], 0) / n;
  const y = points.reduce((sum, p) => sum + p[1], 0) / n;
  const mean = points.reduce((sum, p) => sum + Math.hypot(p[0] - x, p[1] - y), 0) / n;
  if (!(mean > 0) || !Number.isFinite(mean)) return null;
  const scale = Math.SQRT2 / mean;
  return { scale, x, y, apply: (px: number, py: number) => [scale * (px - x), scale * (py - y)] as const };
}

/** T'^-1 H T, row by row. */
function undo(h: readonly number[], from: Normalisation, to: Normalisation): number[] {
  const s = from.scale;
  const right = [0, 1, 2].map((row) => {
    const [p, q, r] = [h[3 * row]!, h[3 * row + 1]!, h[3 * row + 2]!];
    return [p * s, q * s, r - s * (p * from.x + q * from.y)];
  });
  const [one, two, three] = right as [number[], number[], number[]];
  return [
    ...one.map((value, i) => value / to.scale + to.x * three[i]!),
    ...two.map((value, i) => value / to.scale + to.y * three[i]!),
    ...three,
  ];
}
