import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  type CurveChartModel,
  curveValueAt,
  midpointAfter,
  movedPoint,
  nudged,
  pointOnCurve,
} from '../../src/plot/charts/curve.tsx';

const model: CurveChartModel = {
  valueAxis: { title: 'Lambda', unit: '', min: 0.6, max: 1.4, step: 0.01, decimals: 2 },
  speedAxis: { min: 1000, max: 7000, step: 50 },
  points: [
    { engineSpeedRpm: 1000, value: 1 },
    { engineSpeedRpm: 3000, value: 0.9 },
    { engineSpeedRpm: 7000, value: 0.8 },
  ],
};

describe('a moved point', () => {
  it('goes in steps, without binary dust', () => {
    expect(movedPoint(model, 1, { engineSpeedRpm: 3024, value: 0.8349 })).toEqual({
      engineSpeedRpm: 3000,
      value: 0.83,
    });
    expect(nudged(model, 1, 'ArrowUp', false)).toEqual({ engineSpeedRpm: 3000, value: 0.91 });
    expect(nudged(model, 1, 'ArrowDown', true)).toEqual({ engineSpeedRpm: 3000, value: 0.8 });
    expect(nudged(model, 1, 'ArrowRight', true)).toEqual({ engineSpeedRpm: 3500, value: 0.9 });
    expect(nudged(model, 1, 'Home', false)).toBeNull();
  });

  it('keeps its engine speed at both ends', () => {
    expect(nudged(model, 0, 'ArrowRight', true)?.engineSpeedRpm).toBe(1000);
    expect(nudged(model, 2, 'ArrowLeft', true)?.engineSpeedRpm).toBe(7000);
  });

  it('keeps a value as typed when only the engine speed moves', () => {
    const typed = { ...model, points: model.points.with(1, { engineSpeedRpm: 3000, value: 0.8765 }) };
    expect(nudged(typed, 1, 'ArrowRight', false)).toEqual({ engineSpeedRpm: 3050, value: 0.8765 });
  });

  it('never leaves the limits nor passes a neighbour, wherever it is dragged', () => {
    fc.assert(
      fc.property(fc.double({ noNaN: true }), fc.double({ noNaN: true }), (engineSpeedRpm, value) => {
        const moved = movedPoint(model, 1, { engineSpeedRpm, value });
        if (!Number.isFinite(engineSpeedRpm) || !Number.isFinite(value)) {
          expect(moved).toBeNull();
          return;
        }
        expect(moved!.value).toBeGreaterThanOrEqual(0.6);
        expect(moved!.value).toBeLessThanOrEqual(1.4);
        expect(moved!.engineSpeedRpm).toBeGreaterThanOrEqual(1050);
        expect(moved!.engineSpeedRpm).toBeLessThanOrEqual(6950);
      }),
    );
  });
});

describe('an added point', () => {
  it('lies on the curve, so that adding it changes nothing', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1000, max: 7000 }), fc.integer({ min: 1000, max: 7000 }), (speed, probe) => {
        const added = pointOnCurve(model, speed);
        if (!added) return;
        const points = model.points.toSpliced(added.index, 0, added.point);
        expect(curveValueAt(points, probe)).toBeCloseTo(curveValueAt(model.points, probe)!, 9);
        expect(points.map((p) => p.engineSpeedRpm)).toEqual(
          [...points.map((p) => p.engineSpeedRpm)].sort((a, b) => a - b),
        );
      }),
    );
  });

  it('stands halfway to the next point, or before the last one', () => {
    expect(midpointAfter(model, 0)).toEqual({ index: 1, point: { engineSpeedRpm: 2000, value: 0.95 } });
    expect(midpointAfter(model, 2)).toEqual({ index: 2, point: { engineSpeedRpm: 5000, value: 0.85 } });
  });

  it('is refused where a point stands already', () => {
    expect(pointOnCurve(model, 3010)).toBeNull();
  });
});
