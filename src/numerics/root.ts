import type { Solved } from './types.ts';

/**
 * Root of a continuous function in a bracket, by inverse quadratic interpolation guarded by bisection.
 *
 * Source: Chandrupatla, T. R. (1997), "A new hybrid quadratic/bisection algorithm for finding the zero of a nonlinear function
 * without using derivatives", Advances in Engineering Software 28(3), 145-149. One guard is added: when three steps together have
 * not halved the bracket the next one bisects, so the number of steps is bounded by four times that of bisection.
 *
 * @param f function of one variable; it may return a value that is not finite, which ends the search
 * @param a one end of the bracket
 * @param b the other end, in either order
 * @param xTolerance stop when the bracket is narrower than this; never finer than 4 ulp of x, or 1 ulp of the first bracket's width
 * @param fTolerance stop when |f| is at or below this
 * @param maxIterations more than bisection of any bracket of doubles to 4 ulp needs in practice
 * @returns the abscissa, or a failure: 'no-bracket' when f(a) and f(b) have the same sign, 'not-finite' when f gave no number,
 *   'not-converged' when the iterations ran out. It never throws and always ends.
 */
export function findRoot(
  f: (x: number) => number,
  a: number,
  b: number,
  {
    xTolerance = 0,
    fTolerance = 0,
    maxIterations = 200,
  }: { xTolerance?: number; fTolerance?: number; maxIterations?: number } = {},
): Solved {
  let [x1, x2] = [a, b];
  let f1 = f(x1);
  if (!Number.isFinite(f1)) return { ok: false, reason: 'not-finite' };
  if (Math.abs(f1) <= fTolerance) return { ok: true, value: x1 };
  let f2 = f(x2);
  if (!Number.isFinite(f2)) return { ok: false, reason: 'not-finite' };
  if (Math.abs(f2) <= fTolerance) return { ok: true, value: x2 };
  if (f1 > 0 === f2 > 0) return { ok: false, reason: 'no-bracket' };
  let [x3, f3] = [x1, f1];
  let share = 0.5;
  const finest = Math.max(xTolerance, Number.EPSILON * Math.abs(x2 - x1));
  let widthAtCheck = Math.abs(x2 - x1);
  for (let i = 1; i <= maxIterations; i++) {
    const x = x1 + share * (x2 - x1);
    const fx = f(x);
    if (!Number.isFinite(fx)) return { ok: false, reason: 'not-finite' };
    [x3, f3] = fx > 0 === f1 > 0 ? [x1, f1] : [x2, f2];
    if (fx > 0 !== f1 > 0) [x2, f2] = [x1, f1];
    [x1, f1] = [x, fx];
    const [best, fBest] = Math.abs(f1) < Math.abs(f2) ? [x1, f1] : [x2, f2];
    const width = Math.abs(x2 - x1);
    const tolerance = Math.max(finest, 4 * Number.EPSILON * Math.max(Math.abs(x1), Math.abs(x2)));
    if (Math.abs(fBest) <= fTolerance || width <= tolerance) return { ok: true, value: best };
    if (i % 3 === 0) {
      const slow = width > 0.5 * widthAtCheck;
      widthAtCheck = width;
      share = slow ? 0.5 : nextShare(x1, x2, x3, f1, f2, f3, tolerance / (2 * width));
    } else {
      share = nextShare(x1, x2, x3, f1, f2, f3, tolerance / (2 * width));
    }
  }
  return { ok: false, reason: 'not-converged' };
}

/** Chandrupatla's test decides between inverse quadratic interpolation and bisection; the share keeps off both ends. */
function nextShare(x1: number, x2: number, x3: number, f1: number, f2: number, f3: number, edge: number): number {
  const xi = (x1 - x2) / (x3 - x2);
  const phi = (f1 - f2) / (f3 - f2);
  let share = 0.5;
  if (1 - Math.sqrt(1 - xi) < phi && phi < Math.sqrt(xi)) {
    share = (f1 / (f2 - f1)) * (f3 / (f2 - f3)) + ((x3 - x1) / (x2 - x1)) * (f1 / (f3 - f1)) * (f2 / (f3 - f2));
    if (!Number.isFinite(share)) share = 0.5;
  }
  return Math.min(1 - edge, Math.max(edge, share));
}
