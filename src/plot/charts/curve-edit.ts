import type { CurvePoint } from '../../numerics/types.ts';

/** A small chart of a curve over engine speed whose points are dragged. Values are in the unit shown. */
export interface CurveChartModel {
  valueAxis: CurveValueAxis;
  speedAxis: CurveSpeedAxis;
  /** In rising engine speed; linear between the points, constant outside. A point that is not finite is not drawn and breaks the line. */
  points: readonly CurvePoint[];
  /** Other curves for comparison, not edited: 'boost reached'. null breaks the line. */
  overlays: readonly CurveOverlay[];
  /** Engine speed pointed at elsewhere. */
  focusEngineSpeedRpm: number | null;
}

export interface CurveValueAxis {
  /** 'Volumetric efficiency' */
  title: string;
  /** '%', 'kPa'; '' for a plain ratio. */
  unit: string;
  /** Values beyond these cannot be dragged to. */
  min: number;
  max: number;
  /** Values are dragged and nudged in these steps; > 0. */
  step: number;
  /** Decimals of the value's label. */
  decimals: number;
}

export interface CurveSpeedAxis {
  /** Engine-speed range of the drawing, rpm. */
  min: number;
  max: number;
  /** Engine speeds are dragged and nudged in these steps; > 0. */
  step: number;
}

export interface CurveOverlay {
  id: string;
  name: string;
  style: 'a' | 'b';
  points: readonly (CurvePoint | null)[];
}

function snapped(value: number, step: number): number {
  // Rounding once more takes off the binary dust of value / step * step.
  return step > 0 ? Number((Math.round(value / step) * step).toPrecision(12)) : value;
}

function held(value: number, low: number, high: number): number {
  return Math.min(high, Math.max(low, value));
}

/**
 * Where a point may go when it is asked to go to `wanted`: value in steps and inside the axis's limits; engine speed in steps and
 * between its neighbours. The first and the last point keep their engine speed. null for an index that is not there.
 */
export function movedPoint(model: CurveChartModel, index: number, wanted: CurvePoint): CurvePoint | null {
  const point = model.points[index];
  if (!point || !Number.isFinite(wanted.value) || !Number.isFinite(wanted.engineSpeedRpm)) return null;
  const { min, max, step } = model.valueAxis;
  const value = wanted.value === point.value ? point.value : held(snapped(wanted.value, step), min, max);
  const before = model.points[index - 1];
  const after = model.points[index + 1];
  if (!before || !after || wanted.engineSpeedRpm === point.engineSpeedRpm) {
    return { engineSpeedRpm: point.engineSpeedRpm, value };
  }
  const low = before.engineSpeedRpm + model.speedAxis.step;
  const high = after.engineSpeedRpm - model.speedAxis.step;
  if (low > high) return { engineSpeedRpm: point.engineSpeedRpm, value };
  return { engineSpeedRpm: held(snapped(wanted.engineSpeedRpm, model.speedAxis.step), low, high), value };
}

/** The curve's value at an engine speed: linear between points, constant outside; null without points. */
export function curveValueAt(points: readonly CurvePoint[], engineSpeedRpm: number): number | null {
  const first = points[0];
  const last = points.at(-1);
  if (!first || !last) return null;
  if (engineSpeedRpm <= first.engineSpeedRpm) return first.value;
  for (let i = 1; i < points.length; i++) {
    const a = points[i - 1]!;
    const b = points[i]!;
    if (engineSpeedRpm > b.engineSpeedRpm) continue;
    const span = b.engineSpeedRpm - a.engineSpeedRpm;
    return span > 0 ? a.value + ((b.value - a.value) * (engineSpeedRpm - a.engineSpeedRpm)) / span : b.value;
  }
  return last.value;
}

export interface AddedPoint {
  /** Index that the new point gets. */
  index: number;
  point: CurvePoint;
}

/** A new point on the curve at an engine speed; null where the curve already has a point within one step, or no point at all. */
export function pointOnCurve(model: CurveChartModel, engineSpeedRpm: number): AddedPoint | null {
  const speed = snapped(held(engineSpeedRpm, model.speedAxis.min, model.speedAxis.max), model.speedAxis.step);
  const value = curveValueAt(model.points, speed);
  if (value === null || !Number.isFinite(value)) return null;
  const isTaken = model.points.some((point) => Math.abs(point.engineSpeedRpm - speed) < model.speedAxis.step);
  if (isTaken) return null;
  const after = model.points.findIndex((point) => point.engineSpeedRpm > speed);
  const index = after < 0 ? model.points.length : after;
  return { index, point: { engineSpeedRpm: speed, value: Number(value.toPrecision(12)) } };
}

/** A new point halfway to the next point (for the last point: to the one before); null where there is no room. */
export function midpointAfter(model: CurveChartModel, index: number): AddedPoint | null {
  const here = model.points[index];
  const other = model.points[index + 1] ?? model.points[index - 1];
  if (!here) return null;
  const speed = other
    ? (here.engineSpeedRpm + other.engineSpeedRpm) / 2
    : (here.engineSpeedRpm + model.speedAxis.max) / 2;
  return pointOnCurve(model, speed);
}

/** Where a key sends a point; null when the key does not move points. Arrows: one step; Shift: ten. */
export function nudged(model: CurveChartModel, index: number, key: string, isFast: boolean): CurvePoint | null {
  const point = model.points[index];
  if (!point) return null;
  const times = isFast ? 10 : 1;
  const value = model.valueAxis.step * times;
  const speed = model.speedAxis.step * times;
  switch (key) {
    case 'ArrowUp':
      return movedPoint(model, index, { ...point, value: point.value + value });
    case 'ArrowDown':
      return movedPoint(model, index, { ...point, value: point.value - value });
    case 'ArrowRight':
      return movedPoint(model, index, { ...point, engineSpeedRpm: point.engineSpeedRpm + speed });
    case 'ArrowLeft':
      return movedPoint(model, index, { ...point, engineSpeedRpm: point.engineSpeedRpm - speed });
    default:
      return null;
  }
}
