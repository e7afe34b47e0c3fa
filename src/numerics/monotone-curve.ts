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
