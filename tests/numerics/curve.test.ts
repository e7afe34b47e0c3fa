import { describe, expect, it } from 'vitest';
import { evaluateCurve, isOutsideCurve } from '../../src/numerics/index.ts';

const curve = [
  { engineSpeedRpm: 1000, value: 10 },
  { engineSpeedRpm: 2000, value: 30 },
  { engineSpeedRpm: 4000, value: 0 },
];

describe('evaluateCurve', () => {
  it.each([
    [1000, 10],
    [1500, 20],
    [2000, 30],
    [2500, 22.5],
    [4000, 0],
  ])('is linear between its points: at %d rpm %d', (rpm, value) => {
    expect(evaluateCurve(curve, rpm)).toBeCloseTo(value, 12);
  });

  it('is constant outside them, and says so', () => {
    expect(evaluateCurve(curve, 1)).toBe(10);
    expect(evaluateCurve(curve, 9000)).toBe(0);
    expect(isOutsideCurve(curve, 999)).toBe(true);
    expect(isOutsideCurve(curve, 4000)).toBe(false);
  });

  it('takes one point as a constant by intent', () => {
    expect(evaluateCurve([{ engineSpeedRpm: 3000, value: 7 }], 100)).toBe(7);
    expect(isOutsideCurve([{ engineSpeedRpm: 3000, value: 7 }], 100)).toBe(false);
  });

  it('has no value without points or without a speed', () => {
    expect(evaluateCurve([], 1000)).toBeNull();
    expect(evaluateCurve(curve, Number.NaN)).toBeNull();
  });
});
