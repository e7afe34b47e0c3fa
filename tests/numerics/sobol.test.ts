import { describe, expect, it } from 'vitest';
import { SobolPoints } from '../../src/numerics/index.ts';
import { MOST_SOBOL_DIMENSIONS } from '../../src/numerics/statistics.ts';

/** Independent code: scipy 1.17.1, scipy.stats.qmc.Sobol(12, scramble=False). */
const SCIPY: Readonly<Record<number, readonly number[]>> = {
  1: [0.5, 0.5, 0.5, 0.5, 0.5, 0.5, 0.5, 0.5, 0.5, 0.5, 0.5, 0.5],
  2: [0.75, 0.25, 0.25, 0.25, 0.75, 0.75, 0.25, 0.75, 0.75, 0.75, 0.75, 0.75],
  17: [0.59375, 0.96875, 0.96875, 0.15625, 0.78125, 0.46875, 0.03125, 0.34375, 0.96875, 0.65625, 0.59375, 0.90625],
  63: [
    0.015625, 0.796875, 0.359375, 0.453125, 0.859375, 0.140625, 0.578125, 0.140625, 0.828125, 0.578125, 0.421875,
    0.671875,
  ],
  1000: [
    0.2197265625, 0.0966796875, 0.5185546875, 0.6767578125, 0.2802734375, 0.9072265625, 0.0458984375, 0.8994140625,
    0.5009765625, 0.0693359375, 0.0849609375, 0.2548828125,
  ],
  4001: [
    0.554931640625, 0.620849609375, 0.935791015625, 0.284423828125, 0.182373046875, 0.180419921875, 0.504150390625,
    0.351806640625, 0.152587890625, 0.222900390625, 0.921142578125, 0.688720703125,
  ],
};

describe('SobolPoints', () => {
  it('gives the points of independent code', () => {
    const points = new SobolPoints(12, null);
    for (const [index, expected] of Object.entries(SCIPY)) {
      expect([...points.point(Number(index))], `point ${index}`).toEqual(expected);
    }
  });

  it.each([null, 1, 2, 77_777])(
    'with seed %s: 2^k points fill each of 2^k equal strips once, in every dimension',
    (seed) => {
      const points = new SobolPoints(MOST_SOBOL_DIMENSIONS, seed);
      const n = 256;
      const filled = Array.from({ length: points.dimensions }, () => new Set<number>());
      for (let i = 0; i < n; i++) {
        for (const [d, x] of points.point(i).entries()) filled[d]!.add(Math.floor(x * n));
      }
      expect(filled.map((set) => set.size)).toEqual(filled.map(() => n));
    },
  );

  it('scrambled: the first two dimensions fill every elementary box of 256 points', () => {
    const points = new SobolPoints(2, 5);
    for (const columns of [1, 2, 4, 8, 16, 32, 64, 128, 256]) {
      const rows = 256 / columns;
      const boxes = new Set<number>();
      for (let i = 0; i < 256; i++) {
        const [x, y] = points.point(i) as unknown as [number, number];
        boxes.add(Math.floor(x * columns) * rows + Math.floor(y * rows));
      }
      expect(boxes.size).toBe(256);
    }
  });

  it('scrambled: never 0 or 1, the same for the same seed, others for another', () => {
    const points = new SobolPoints(5, 9);
    const again = new SobolPoints(5, 9);
    const other = new SobolPoints(5, 10);
    for (let i = 0; i < 1024; i++) {
      const here = points.point(i);
      expect(here.every((x) => x > 0 && x < 1)).toBe(true);
      expect(again.point(i)).toEqual(here);
    }
    expect(other.point(3)).not.toEqual(points.point(3));
  });

  it('integrates a product over six dimensions far better than chance', () => {
    // Hand calculation: the mean of prod(1 + (x_d - 1/2)) over the unit cube is 1, its variance (13/12)^6 - 1 = 0.616.
    const errors = [1, 2, 3, 4, 5, 6, 7, 8].map((seed) => {
      const points = new SobolPoints(6, seed);
      let sum = 0;
      for (let i = 0; i < 1024; i++) sum += points.point(i).reduce((product, x) => product * (0.5 + x), 1);
      return Math.abs(sum / 1024 - 1);
    });
    const chance = Math.sqrt(0.616 / 1024);
    expect(Math.max(...errors)).toBeLessThan(chance / 5);
  });

  it('refuses dimensions that it has no numbers for', () => {
    expect(() => new SobolPoints(MOST_SOBOL_DIMENSIONS + 1, 1)).toThrow(RangeError);
    expect(() => new SobolPoints(0, 1)).toThrow(RangeError);
  });
});
