import type { PixelPlace } from './ink.ts';

/** A place on a followed stroke: where, how far along, and how much it counts. */
export interface TrackPoint {
  x: number;
  y: number;
  /** Arc length along the followed stroke, pixels. */
  s: number;
  /** 1 measured, less where the stroke was not seen by itself. */
  weight: number;
}

export interface CurveAt {
  x: number;
  y: number;
  /** Derivatives by arc length. */
  dx: number;
  dy: number;
  ddx: number;
  ddy: number;
}

/**
 * Local quadratic through points of a track by weighted least squares, x and y over the arc length, evaluated at an arc length.
 * Source: Savitzky & Golay, Anal. Chem. 36 (1964) 1627, for uneven spacing and with Gaussian weights (local regression).
 *
 * @param from,to range of indices that may count, `to` excluded
 * @param reach standard deviation of the weights, pixels of arc length; Infinity weighs all alike
 * @returns null for no points; a straight line or a place with fewer than three.
 */
export function localCurve(
  track: readonly TrackPoint[],
  from: number,
  to: number,
  at: number,
  reach: number,
): CurveAt | null {
  const m = [0, 0, 0, 0, 0];
  const bx = [0, 0, 0];
  const by = [0, 0, 0];
  let count = 0;
  const scale = Number.isFinite(reach) ? reach : Math.max(1, Math.abs(track[from]!.s - track[to - 1]!.s));
  for (let i = from; i < to; i++) {
    const p = track[i]!;
    const t = (p.s - at) / scale;
    const w = p.weight * (Number.isFinite(reach) ? Math.exp(-0.5 * t * t) : 1);
    if (w < 1e-4) continue;
    count++;
    let power = w;
    for (let k = 0; k < 5; k++) {
      m[k]! += power;
      if (k < 3) {
        bx[k]! += power * p.x;
        by[k]! += power * p.y;
      }
      power *= t;
    }
  }
  const solved = count >= 4 ? quadratic(m, bx, by) : count >= 2 ? straight(m, bx, by) : null;
  if (!solved) return null;
  const [x, y] = solved;
  return {
    x: x[0],
    y: y[0],
    dx: x[1] / scale,
    dy: y[1] / scale,
    ddx: (2 * x[2]) / scale ** 2,
    ddy: (2 * y[2]) / scale ** 2,
  };
}

type Three = [number, number, number];

function straight(m: readonly number[], bx: readonly number[], by: readonly number[]): [Three, Three] | null {
  const det = m[0]! * m[2]! - m[1]! * m[1]!;
  if (!(Math.abs(det) > 1e-12)) return null;
  const of = (b: readonly number[]): Three => [
    (b[0]! * m[2]! - b[1]! * m[1]!) / det,
    (b[1]! * m[0]! - b[0]! * m[1]!) / det,
    0,
  ];
  return [of(bx), of(by)];
}

/** Cramer's rule on the 3 by 3 normal equations: the abscissa is scaled to the order of 1, so that they are well conditioned. */
function quadratic(m: readonly number[], bx: readonly number[], by: readonly number[]): [Three, Three] | null {
  const [m0, m1, m2, m3, m4] = m as [number, number, number, number, number];
  const c00 = m2 * m4 - m3 * m3;
  const c01 = m2 * m3 - m1 * m4;
  const c02 = m1 * m3 - m2 * m2;
  const c11 = m0 * m4 - m2 * m2;
  const c12 = m1 * m2 - m0 * m3;
  const c22 = m0 * m2 - m1 * m1;
  const det = m0 * c00 + m1 * c01 + m2 * c02;
  if (!(Math.abs(det) > 1e-9 * m0 ** 3)) return straight(m, bx, by);
  const of = (b: readonly number[]): Three => [
    (c00 * b[0]! + c01 * b[1]! + c02 * b[2]!) / det,
    (c01 * b[0]! + c11 * b[1]! + c12 * b[2]!) / det,
    (c02 * b[0]! + c12 * b[1]! + c22 * b[2]!) / det,
  ];
  return [of(bx), of(by)];
}

/** Smoothing of the followed centre line, pixels of arc length. */
const SMOOTHING = 5;
const FEWEST = 5;

/** The followed centre line without the noise of single cuts: a local quadratic at each of its points. */
export function smoothTrack(track: readonly TrackPoint[]): TrackPoint[] {
  return track.map((p, i) => {
    const curve = localCurve(track, ...around(track, i, 3 * SMOOTHING), p.s, SMOOTHING);
    return curve ? { ...p, x: curve.x, y: curve.y } : p;
  });
}

function around(track: readonly TrackPoint[], at: number, reach: number): [number, number] {
  const s = track[at]!.s;
  let from = at;
  while (from > 0 && s - track[from - 1]!.s <= reach) from--;
  let to = at + 1;
  while (to < track.length && track[to]!.s - s <= reach) to++;
  return [Math.max(0, Math.min(from, at - 3)), Math.min(track.length, Math.max(to, at + 4))];
}

/**
 * A sensible number of points of a centre line: both ends, and between them closer where it bends, so that a straight piece between
 * two of them lies about `tolerance` off (a chord of length h over curvature k lies k h² / 8 off: so the density goes with the root of k).
 * @returns at least the ends; at most `most`.
 */
export function thinPath(track: readonly TrackPoint[], tolerance: number, most: number): PixelPlace[] {
  const length = track.length > 0 ? track[track.length - 1]!.s - track[0]!.s : 0;
  if (track.length <= 2 || !(length > 0)) return track.map(({ x, y }) => ({ x, y }));
  const reach = Math.max(10, length / 25);
  const density = track.map((p, i) => {
    const curve = localCurve(track, ...around(track, i, 2.5 * reach), p.s, reach);
    const bend = curve ? Math.abs(curve.dx * curve.ddy - curve.dy * curve.ddx) : 0;
    // Straight pieces get points as well: a reader wants to see what they say.
    return Math.hypot(Math.sqrt(bend / (8 * tolerance)), (FEWEST - 1) / length);
  });
  const sum = [0];
  for (let i = 1; i < track.length; i++) {
    sum.push(sum[i - 1]! + 0.5 * (density[i]! + density[i - 1]!) * (track[i]!.s - track[i - 1]!.s));
  }
  const total = sum[sum.length - 1]!;
  const pieces = Math.min(most - 1, Math.max(Math.min(FEWEST - 1, track.length - 1), Math.round(total)));
  const points: PixelPlace[] = [];
  let i = 0;
  for (let k = 0; k <= pieces; k++) {
    const wanted = (total * k) / pieces;
    while (i < track.length - 2 && sum[i + 1]! < wanted) i++;
    const t = (wanted - sum[i]!) / (sum[i + 1]! - sum[i]! || 1);
    const [a, b] = [track[i]!, track[i + 1]!];
    points.push({ x: a.x + t * (b.x - a.x), y: a.y + t * (b.y - a.y) });
  }
  return points;
}
