import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { boxesOverlap, cornersOf, type LabelBox, segmentInBox } from '../../src/plot/frame/pixels.ts';

const box = fc.record<LabelBox>({
  x: fc.double({ min: -50, max: 50, noNaN: true }),
  y: fc.double({ min: -50, max: 50, noNaN: true }),
  width: fc.double({ min: 2, max: 60, noNaN: true }),
  height: fc.double({ min: 2, max: 20, noNaN: true }),
  angle: fc.double({ min: -90, max: 90, noNaN: true }),
});

/** Whether a point is strictly inside, worked out separately from the code under test. */
function holds(b: LabelBox, x: number, y: number): boolean {
  const a = (-b.angle * Math.PI) / 180;
  const u = (x - b.x) * Math.cos(a) - (y - b.y) * Math.sin(a);
  const v = (x - b.x) * Math.sin(a) + (y - b.y) * Math.cos(a);
  return Math.abs(u) < b.width / 2 - 1e-6 && Math.abs(v) < b.height / 2 - 1e-6;
}

function samples(b: LabelBox): { x: number; y: number }[] {
  const [p, q, , s] = cornersOf(b) as [
    { x: number; y: number },
    { x: number; y: number },
    unknown,
    { x: number; y: number },
  ];
  const points = [];
  for (let i = 0; i <= 20; i++) {
    for (let j = 0; j <= 20; j++) {
      points.push({
        x: p.x + ((q.x - p.x) * i) / 20 + ((s.x - p.x) * j) / 20,
        y: p.y + ((q.y - p.y) * i) / 20 + ((s.y - p.y) * j) / 20,
      });
    }
  }
  return points;
}

describe('label boxes', () => {
  it('overlap whenever a point of a fine grid over one lies in the other', () => {
    fc.assert(
      fc.property(box, box, (a, b) => {
        const isShared = samples(a).some(({ x, y }) => holds(a, x, y) && holds(b, x, y));
        if (isShared) expect(boxesOverlap(a, b)).toBe(true);
      }),
    );
  });

  it('do not overlap when a straight line separates them (hand-placed cases)', () => {
    const level: LabelBox = { x: 0, y: 0, width: 10, height: 4, angle: 0 };
    expect(boxesOverlap(level, { ...level, x: 10 })).toBe(false);
    expect(boxesOverlap(level, { ...level, x: 9.9 })).toBe(true);
    // Turned upright its half width is 2: the two meet at x = 5 + 2.
    expect(boxesOverlap(level, { ...level, x: 7.1, angle: 90 })).toBe(false);
    expect(boxesOverlap(level, { ...level, x: 6.9, angle: 90 })).toBe(true);
  });

  it('say which part of a segment they hold', () => {
    const level: LabelBox = { x: 0, y: 0, width: 10, height: 4, angle: 0 };
    expect(segmentInBox(level, { x: -10, y: 0 }, { x: 10, y: 0 })).toEqual([0.25, 0.75]);
    expect(segmentInBox(level, { x: -10, y: 3 }, { x: 10, y: 3 })).toBeNull();
    expect(segmentInBox({ ...level, angle: 90 }, { x: -10, y: 0 }, { x: 10, y: 0 })?.[0]).toBeCloseTo(0.4, 12);
  });
});
