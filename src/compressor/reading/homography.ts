import { symmetricEigen } from '../../numerics/index.ts';
import type { PicturePlace } from './calibration-types.ts';
import type { PlaneMap, SharePlace } from './plane-map.ts';

/**
 * Homography from the sheet's plane to the picture by the normalised direct linear transform, over four or more pairs; with more than
 * four the algebraic error is least. Source: Hartley & Zisserman, Multiple View Geometry, 2nd ed., algorithm 4.2.
 *
 * @param shares places on the sheet, no three of some four in a line
 * @param places the same in the picture, pixels
 * @returns the map with h8 = 1, or null where there is none (degenerate points, or the sheet's origin at the horizon)
 */
export function homography(shares: readonly SharePlace[], places: readonly PicturePlace[]): PlaneMap | null {
  if (shares.length < 4 || shares.length !== places.length) return null;
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
  return h.slice(0, 8).map((value) => value / last);
}

interface Normalisation {
  scale: number;
  x: number;
  y: number;
  apply(x: number, y: number): [number, number];
}

/** Centroid to the origin, mean distance to the square root of 2. */
function normalisation(points: readonly (readonly [number, number])[]): Normalisation | null {
  const n = points.length;
  const x = points.reduce((sum, p) => sum + p[0], 0) / n;
  const y = points.reduce((sum, p) => sum + p[1], 0) / n;
  const mean = points.reduce((sum, p) => sum + Math.hypot(p[0] - x, p[1] - y), 0) / n;
  if (!(mean > 0) || !Number.isFinite(mean)) return null;
  const scale = Math.SQRT2 / mean;
  return { scale, x, y, apply: (px, py) => [scale * (px - x), scale * (py - y)] };
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
