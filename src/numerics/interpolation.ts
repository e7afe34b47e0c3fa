import type { Curve } from './types.ts';

/**
 * Value of a curve at an engine speed: linear between its points, constant outside the first and the last.
 *
 * @param curve points in rising engine speed, at least one
 * @param engineSpeedRpm rev/min
 * @returns the value in the curve's own unit, or null for an empty curve or an engine speed that is not a number
 */
export function evaluateCurve(curve: Curve, engineSpeedRpm: number): number | null {
  const first = curve[0];
  const last = curve[curve.length - 1];
  if (first === undefined || last === undefined || Number.isNaN(engineSpeedRpm)) return null;
  if (engineSpeedRpm <= first.engineSpeedRpm) return first.value;
  if (engineSpeedRpm >= last.engineSpeedRpm) return last.value;
  let below = first;
  for (const point of curve) {
    if (point.engineSpeedRpm >= engineSpeedRpm) {
      const share = (engineSpeedRpm - below.engineSpeedRpm) / (point.engineSpeedRpm - below.engineSpeedRpm);
      return below.value + share * (point.value - below.value);
    }
    below = point;
  }
  return last.value;
}

/** True where `evaluateCurve` answers by holding an end value: one point is a constant by intent and never counts. */
export function isOutsideCurve(curve: Curve, engineSpeedRpm: number): boolean {
  const first = curve[0];
  const last = curve[curve.length - 1];
  if (first === undefined || last === undefined || curve.length < 2) return false;
  return engineSpeedRpm < first.engineSpeedRpm || engineSpeedRpm > last.engineSpeedRpm;
}

/**
 * Monotone piecewise cubic through given points: where the data rise, the curve rises, so it invents no peak between them.
 * Straight beyond the ends with the end slope. Source: Fritsch & Butland, SIAM J. Sci. Stat. Comput. 5 (1984) 300 (harmonic-mean
 * slopes); one-sided three-point end slopes as in Moler, Numerical Computing with MATLAB, sec. 3.4 (from memory).
 */
export class MonotoneCurve {
  private readonly x: readonly number[];
  private readonly y: readonly number[];
  private readonly slope: readonly number[];

  /** @param x strictly rising, at least one value. */
  constructor(x: readonly number[], y: readonly number[]) {
    this.x = x;
    this.y = y;
    this.slope = slopes(x, y);
  }

  at(x: number): number {
    const { x: xs, y: ys, slope } = this;
    const last = xs.length - 1;
    if (x <= xs[0]!) return ys[0]! + (x - xs[0]!) * slope[0]!;
    if (x >= xs[last]!) return ys[last]! + (x - xs[last]!) * slope[last]!;
    let low = 0;
    let high = last;
    while (high - low > 1) {
      const middle = (low + high) >> 1;
      if (xs[middle]! <= x) low = middle;
      else high = middle;
    }
    const h = xs[high]! - xs[low]!;
    const t = (x - xs[low]!) / h;
    const t2 = t * t;
    const t3 = t2 * t;
    return (
      (1 - 3 * t2 + 2 * t3) * ys[low]! +
      (3 * t2 - 2 * t3) * ys[high]! +
      (t3 - 2 * t2 + t) * h * slope[low]! +
      (t3 - t2) * h * slope[high]!
    );
  }
}

function endSlope(h0: number, h1: number, d0: number, d1: number): number {
  const slope = ((2 * h0 + h1) * d0 - h0 * d1) / (h0 + h1);
  if (slope * d0 <= 0) return 0;
  return d0 * d1 < 0 && Math.abs(slope) > 3 * Math.abs(d0) ? 3 * d0 : slope;
}

function slopes(x: readonly number[], y: readonly number[]): number[] {
  const n = x.length;
  if (n === 1) return [0];
  const h = Array.from({ length: n - 1 }, (_, i) => x[i + 1]! - x[i]!);
  const d = h.map((step, i) => (y[i + 1]! - y[i]!) / step);
  if (n === 2) return [d[0]!, d[0]!];
  const result: number[] = [endSlope(h[0]!, h[1]!, d[0]!, d[1]!)];
  for (let i = 1; i < n - 1; i++) {
    const before = d[i - 1]!;
    const after = d[i]!;
    if (before * after <= 0) result.push(0);
    else {
      const w1 = 2 * h[i]! + h[i - 1]!;
      const w2 = h[i]! + 2 * h[i - 1]!;
      result.push((w1 + w2) / (w1 / before + w2 / after));
    }
  }
  result.push(endSlope(h[n - 2]!, h[n - 3]!, d[n - 2]!, d[n - 3]!));
  return result;
}

/** Index of the number nearest to a wanted one, the first of several as near; -1 for none. */
export function nearestIndex(values: readonly (number | null)[], wanted: number): number {
  let best = -1;
  let least = Number.POSITIVE_INFINITY;
  values.forEach((value, i) => {
    if (value === null || Math.abs(value - wanted) >= least) return;
    least = Math.abs(value - wanted);
    best = i;
  });
  return best;
}
