import { describe, expect, it } from 'vitest';
import { cutByBox, linePath, pixelRuns } from '../../src/plot/frame/pixels.ts';

const same = (point: { x: number; y: number }) => point;

describe('pixel paths', () => {
  it('break at a missing point and at one that is not finite, and keep both sides', () => {
    const runs = pixelRuns(
      [{ x: 0, y: 0 }, { x: 1, y: 0 }, null, { x: 2, y: 0 }, { x: 3, y: 0 }, { x: Number.NaN, y: 1 }, { x: 4, y: 0 }],
      same,
    );
    expect(runs.map((run) => run.length)).toEqual([2, 2, 1]);
    expect(linePath(runs)).toBe('M0,0L1,0M2,0L3,0');
  });

  it('join points by straight segments only, one for each pair', () => {
    const d = linePath([[...Array(60).keys()].map((x) => ({ x, y: x * x }))]);
    expect(d).toMatch(/^M[-\d.,]+(L[-\d.,]+){59}$/);
  });

  it('leave a gap for a label: what is left is the line less the box', () => {
    const pieces = cutByBox(
      [
        { x: 0, y: 0 },
        { x: 100, y: 0 },
      ],
      { x: 40, y: 0, width: 20, height: 10, angle: 0 },
    );
    expect(linePath(pieces)).toBe('M0,0L30,0M50,0L100,0');
  });

  it('leave a gap across several segments and at an end', () => {
    const run = [0, 10, 20, 30, 40].map((x) => ({ x, y: 0 }));
    expect(linePath(cutByBox(run, { x: 20, y: 0, width: 24, height: 4, angle: 0 }))).toBe('M0,0L8,0M32,0L40,0');
    expect(linePath(cutByBox(run, { x: 0, y: 0, width: 30, height: 4, angle: 0 }))).toBe('M15,0L20,0L30,0L40,0');
    expect(cutByBox(run, { x: 20, y: 0, width: 90, height: 4, angle: 0 })).toEqual([]);
  });
});
