import { describe, expect, it } from 'vitest';
import { normalProbability, normalQuantile, orderForQuantiles, sampleQuantile } from '../../src/numerics/index.ts';
import { generator } from '../match/random-builds.ts';

describe('normalQuantile', () => {
  // Independent code: scipy 1.17.1, scipy.special.ndtri; 0.975 is the 1.959964 of every statistics table.
  it.each([
    [1e-300, -37.0470962993612],
    [1e-10, -6.361340902404056],
    [0.001, -3.090232306167813],
    [0.1, -1.2815515655446004],
    [0.25, -0.6744897501960817],
    [0.5, 0],
    [0.9, 1.2815515655446004],
    [0.975, 1.959963984540054],
    [0.9999, 3.719016485455709],
  ])('of %f is %f', (p, z) => {
    expect(Math.abs(normalQuantile(p) - z)).toBeLessThan(1e-14 * Math.max(1, Math.abs(z)));
  });

  it('has no value outside 0..1 and none but infinity at its ends', () => {
    expect(normalQuantile(-0.1)).toBeNaN();
    expect(normalQuantile(1.1)).toBeNaN();
    expect(normalQuantile(Number.NaN)).toBeNaN();
    expect(normalQuantile(0)).toBe(Number.NEGATIVE_INFINITY);
    expect(normalQuantile(1)).toBe(Number.POSITIVE_INFINITY);
  });
});

describe('normalProbability', () => {
  // Abramowitz & Stegun, table 26.1 (from memory; the same figures follow from scipy.special.ndtr).
  it.each([
    [0, 0.5],
    [1, 0.841344746068543],
    [2, 0.977249868051821],
    [-1.5, 0.066807201268858],
    [3, 0.99865010196837],
    [-4, 3.167124183311986e-5],
  ])('of %f is %f', (z, p) => {
    expect(Math.abs(normalProbability(z) - p)).toBeLessThan(1e-14);
  });

  it('undoes the quantile', () => {
    for (let i = 1; i < 400; i++) expect(normalProbability(normalQuantile(i / 400))).toBeCloseTo(i / 400, 13);
  });
});

describe('sampleQuantile', () => {
  // Hand calculation: of 1, 2, 3, 4 the median is 2.5, the tenth percentile at 0.3 of the first step.
  it('is linear between the ordered values', () => {
    expect(sampleQuantile([1, 2, 3, 4], 0.5)).toBe(2.5);
    expect(sampleQuantile([1, 2, 3, 4], 0.1)).toBeCloseTo(1.3, 12);
    expect(sampleQuantile([7], 0.9)).toBe(7);
    expect(sampleQuantile([], 0.5)).toBeNaN();
  });
});

describe('orderForQuantiles', () => {
  const SHARES = [0.1, 0.5, 0.9];

  it('gives the quantiles of the sorted values, for every length and many orders', () => {
    const random = generator(7);
    for (let length = 1; length < 200; length++) {
      // Few different values: equal ones must not end the search too early, or never.
      const values = Float64Array.from({ length }, () => (length % 3 === 0 ? Math.floor(4 * random()) : random()));
      const sorted = values.toSorted();
      orderForQuantiles(values, SHARES);
      for (const share of SHARES) expect(sampleQuantile(values, share)).toBe(sampleQuantile(sorted, share));
      expect(values.toSorted()).toEqual(sorted);
    }
  });

  it('of values in order already, or the other way round', () => {
    const rising = Float64Array.from({ length: 1024 }, (_, i) => i);
    for (const values of [rising.slice(), rising.toReversed()]) {
      orderForQuantiles(values, SHARES);
      for (const share of SHARES) expect(sampleQuantile(values, share)).toBe(sampleQuantile(rising, share));
    }
  });
});
