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
