import { solveLinear } from '../../numerics/index.ts';
import type { PicturePlace } from './calibration-types.ts';
import { type PlaneMap, planeDerivatives, planeToPicture, type SharePlace } from './plane-map.ts';

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
