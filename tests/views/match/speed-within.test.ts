import { describe, expect, it } from 'vitest';
import { speedWithin } from '../../../src/views/shared/mapDrawing.ts';
import { drivenPoint } from '../../match/solved-example.ts';

describe('the engine speed looked at', () => {
  const points = [drivenPoint(2000, 0.1), drivenPoint(2500, 0.1), drivenPoint(3000, 0.1)];

  it('stays where it is inside the line, between its points too, and is held at the ends outside', () => {
    expect([1500, 2000, 2730, 3000, 6500].map((rpm) => speedWithin(points, rpm))).toEqual([
      2000, 2000, 2730, 3000, 3000,
    ]);
  });

  it('is the only one of a line of one point, and stays as chosen where nothing is computed', () => {
    expect(speedWithin(points.slice(1, 2), 2750)).toBe(2500);
    expect(speedWithin([], 2750)).toBe(2750);
    expect(speedWithin(points, null)).toBeNull();
  });
});
