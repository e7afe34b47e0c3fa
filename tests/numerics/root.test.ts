import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { findRoot } from '../../src/numerics/index.ts';

/** Counts what a search costs. */
function counted(f: (x: number) => number) {
  const count = { calls: 0 };
  const g = (x: number) => {
    count.calls += 1;
    return f(x);
  };
  return { count, f: g };
}

// Test problems of Alefeld, Potra and Shi, "Algorithm 748", ACM Trans. Math. Softw. 21(3), 1995, table 1 (statement from memory; the
// roots are those of the equations themselves). Function, bracket, root.
const PROBLEMS: readonly [string, (x: number) => number, number, number, number][] = [
  ['sin x - x/2', (x) => Math.sin(x) - x / 2, Math.PI / 2, Math.PI, 1.8954942670339809],
  ['x^3', (x) => x ** 3, -1, 10, 0],
  ['x^9', (x) => x ** 9, -1, 10, 0],
  ['2 x e^-5 - 2 e^-5x + 1', (x) => 2 * x * Math.exp(-5) - 2 * Math.exp(-5 * x) + 1, 0, 1, 0.13825715505682407],
  ['x e^x - 1', (x) => x * Math.exp(x) - 1, -1, 1, 0.5671432904097838],
  ['(n-1)x / (n x), shifted', (x) => (20 * x - 1) / (19 * x), 0.01, 1, 0.05],
  ['step-like', (x) => Math.tanh(1e6 * (x - 0.3)), 0, 1, 0.3],
];

describe('findRoot', () => {
  it.each(PROBLEMS)('finds the root of %s', (_name, f, a, b, root) => {
    const solved = findRoot(f, a, b);
    expect(solved.ok).toBe(true);
    if (solved.ok) expect(Math.abs(solved.value - root)).toBeLessThan(1e-5);
  });

  it('takes few evaluations on a smooth function', () => {
    const { count, f } = counted((x) => x * Math.exp(x) - 1);
    const solved = findRoot(f, -1, 1, { xTolerance: 1e-12 });
    expect(solved.ok && Math.abs(solved.value - 0.5671432904097838)).toBeLessThan(1e-12);
    expect(count.calls).toBeLessThan(15);
  });

  it('ends within four times the steps of bisection, whatever the function', () => {
    fc.assert(
      fc.property(
        fc.double({ min: -50, max: 50, noNaN: true }),
        fc.integer({ min: 1, max: 25 }),
        fc.double({ min: 1e-3, max: 1e3, noNaN: true }),
        (root, power, steep) => {
          const f = (x: number) => Math.sign(x - root) * Math.abs(steep * (x - root)) ** power;
          const { count, f: g } = counted(f);
          const solved = findRoot(g, -100, 100, { xTolerance: 1e-6 });
          expect(solved.ok).toBe(true);
          if (solved.ok && f(solved.value) !== 0) expect(Math.abs(solved.value - root)).toBeLessThan(1e-6);
          expect(count.calls).toBeLessThan(4 * Math.log2(200 / 1e-6) + 4);
        },
      ),
      { seed: 20, numRuns: 2000 },
    );
  });

  it('takes the bracket in either order and a root at an end', () => {
    const solved = findRoot((x) => x - 2, 5, 2);
    expect(solved).toMatchObject({ ok: true, value: 2 });
  });

  it('names what went wrong instead of giving a number', () => {
    expect(findRoot((x) => x * x + 1, -1, 1)).toMatchObject({ ok: false, reason: 'no-bracket' });
    expect(findRoot((x) => Math.log(x), -1, 2)).toMatchObject({ ok: false, reason: 'not-finite' });
    const few = findRoot((x) => x ** 9 - 1e-3, -1, 10, { maxIterations: 3 });
    expect(few).toMatchObject({ ok: false, reason: 'not-converged' });
  });

  it('closes in on a jump from below to above zero', () => {
    const solved = findRoot((x) => (x < 0.7 ? -1 : 1), 0, 1, { xTolerance: 1e-9 });
    expect(solved.ok && Math.abs(solved.value - 0.7)).toBeLessThan(1e-9);
  });
});
