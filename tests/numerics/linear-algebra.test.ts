import { describe, expect, it } from 'vitest';
import { solveLinear, symmetricEigen } from '../../src/numerics/index.ts';
import { seededRandom } from '../machines/random.ts';

describe('solveLinear', () => {
  // Worked by hand: 2x + y = 5, x - y = 1 meet at (2, 1); the second has a zero pivot until the rows are exchanged.
  it('solves systems worked by hand, with rows to be exchanged', () => {
    expect(
      solveLinear(
        [
          [2, 1],
          [1, -1],
        ],
        [5, 1],
      ),
    ).toEqual([2, 1]);
    expect(
      solveLinear(
        [
          [0, 2],
          [3, 0],
        ],
        [4, 9],
      ),
    ).toEqual([3, 2]);
  });

  it('gives back the unknowns of random systems of eight', () => {
    const random = seededRandom(3);
    for (let run = 0; run < 200; run++) {
      const matrix = Array.from({ length: 8 }, () => Array.from({ length: 8 }, () => random() - 0.5));
      const x = Array.from({ length: 8 }, () => random() - 0.5);
      const solved = solveLinear(
        matrix,
        matrix.map((row) => row.reduce((s, a, i) => s + a * x[i]!, 0)),
      );
      x.forEach((value, i) => {
        expect(solved?.[i]).toBeCloseTo(value, 8);
      });
    }
  });

  it('answers null for singular and for unusable systems', () => {
    expect(
      solveLinear(
        [
          [1, 2],
          [2, 4],
        ],
        [1, 2],
      ),
    ).toBeNull();
    expect(
      solveLinear(
        [
          [0, 0],
          [0, 0],
        ],
        [0, 0],
      ),
    ).toBeNull();
    expect(
      solveLinear(
        [
          [Number.NaN, 1],
          [1, 1],
        ],
        [1, 1],
      ),
    ).toBeNull();
  });
});

describe('symmetricEigen', () => {
  // By hand: [[2, 1], [1, 2]] has 1 along (1, -1) and 3 along (1, 1).
  it('finds values and directions worked by hand', () => {
    const [low, high] = symmetricEigen([
      [2, 1],
      [1, 2],
    ]);
    expect(low?.value).toBeCloseTo(1, 14);
    expect(high?.value).toBeCloseTo(3, 14);
    expect(high!.vector[0]! / high!.vector[1]!).toBeCloseTo(1, 14);
    expect(low!.vector[0]! / low!.vector[1]!).toBeCloseTo(-1, 14);
  });

  it('gives A v = lambda v, unit vectors, rising values and the trace, for random matrices of nine', () => {
    const random = seededRandom(5);
    for (let run = 0; run < 50; run++) {
      const half = Array.from({ length: 9 }, () => Array.from({ length: 9 }, () => random() - 0.5));
      const matrix = half.map((row, i) => row.map((value, j) => value + half[j]![i]!));
      const pairs = symmetricEigen(matrix);
      expect(pairs.reduce((s, p) => s + p.value, 0)).toBeCloseTo(
        matrix.reduce((s, row, i) => s + row[i]!, 0),
        10,
      );
      pairs.forEach(({ value, vector }, k) => {
        if (k > 0) expect(value).toBeGreaterThanOrEqual(pairs[k - 1]!.value);
        expect(Math.hypot(...vector)).toBeCloseTo(1, 12);
        matrix.forEach((row, i) => {
          expect(row.reduce((s, a, j) => s + a * vector[j]!, 0)).toBeCloseTo(value * vector[i]!, 10);
        });
      });
    }
  });
});
