import { pointer } from 'd3';
import type { CurvePoint } from '../../numerics/types.ts';
import { type Axes, axisTitle, roomyRange, SPEED_AXIS, smallChart, type ValueRange } from '../frame/axes.ts';
import { chartComponent } from '../frame/ChartHost.tsx';
import { type ChartKind, type LiveChart, SMALL_LAYERS } from '../frame/live.ts';
import { bound } from '../frame/mark.ts';
import type { PlotSize } from '../frame/pixels.ts';
import {
  type CurveValueAxis,
  curveLines,
  curvePointed,
  curvePoints,
  type DrawnPoint,
  type PointGroups,
} from '../marks/curve.ts';
import type { createCurveDrag, PointDrag } from './curve-drag.ts';

/** A small chart of a curve over engine speed whose points are dragged. Values are in the unit shown. */
export interface CurveChartModel {
  valueAxis: CurveValueAxis;
  /** Engine-speed range of the drawing, rpm; engine speeds are dragged and nudged in steps; > 0. */
  speedAxis: { min: number; max: number; step: number };
  /** In rising engine speed; linear between the points, constant outside. A point that is not finite is not drawn and breaks the line. */
  points: readonly CurvePoint[];
}

interface CurveChartHandlers {
  /** A point is moved; `done` is false while the pointer or the key is still held, true at the end of the gesture. */
  onDrag?: ((index: number, point: CurvePoint, state: { done: boolean }) => void) | undefined;
  /** A point is wanted on the curve, at this index. */
  onAdd?: ((point: CurvePoint, index: number) => void) | undefined;
  onRemove?: ((index: number) => void) | undefined;
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

interface AddedPoint {
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

interface CurveState {
  active: number | null;
  /** Scales stand still while a point is held. */
  frozen: ValueRange | null;
  hear: (groups: PointGroups) => void;
}

type LiveCurve = LiveChart<CurveChartModel, CurveChartHandlers, CurveState, Axes>;

function axesOf({ valueAxis, speedAxis, points, frozen }: CurveChartModel & CurveState, size: PlotSize): Axes {
  const { min, max, step } = valueAxis;
  const values = points.map(({ value }) => value);
  const range = frozen ?? roomyRange(values, step * 10, 0.3, { low: min, high: max });
  const chart = smallChart(size, { low: speedAxis.min, high: speedAxis.max }, range);
  return { ...chart, xTitle: axisTitle(SPEED_AXIS), yTitle: '', heading: axisTitle(valueAxis) };
}

/** Sideways movement, pixels, below which a drag changes the value only. */
const SIDEWAYS = 8;
/** Reach of a double click to the line, pixels. */
const REACH = 14;

let createDrag: typeof createCurveDrag | null = null;

/** Fetches d3's dragging, a late part: until it has come points are moved by their keys. Curves that are drawn by then get it at once. */
export async function loadCurveDrag(): Promise<void> {
  createDrag ??= (await import('./curve-drag.ts')).createCurveDrag;
}

interface Gesture {
  index: number;
  start: CurvePoint;
  startX: number;
  isSideways: boolean;
  last: CurvePoint;
}

function isSamePoint(a: CurvePoint, b: CurvePoint): boolean {
  return a.value === b.value && a.engineSpeedRpm === b.engineSpeedRpm;
}

/** Dragging, keys and double clicks: every gesture is reported, and the owner answers with another model. */
function listenToPoints(live: LiveCurve): void {
  let gesture: Gesture | null = null;
  let nudge: { index: number; last: CurvePoint } | null = null;
  let drawn: PointGroups | null = null;
  /** The point that gets the focus once the owner has other points. */
  let wish: { index: number; points: readonly CurvePoint[] } | null = null;
  const at: Record<'focused' | 'hovered', number | null> = { focused: null, hovered: null };
  const active = () => gesture?.index ?? at.hovered ?? at.focused;
  const mark = (which: 'focused' | 'hovered', index: number | null) => {
    if (at[which] === index) return;
    at[which] = index;
    if (!gesture) live.set({ active: active() });
  };
  const dragStart = (event: PointDrag, { index, point }: DrawnPoint) => {
    const [low, high] = live.axes!.y.domain();
    gesture = { index, start: point, last: point, startX: event.x, isSideways: false };
    live.set({ frozen: { low, high }, active: index });
  };
  const dragged = (event: PointDrag) => {
    const { model, axes } = live;
    if (!gesture || !model || !axes) return;
    // The event's x and y start at the point itself, wherever in the target it was taken hold of.
    gesture.isSideways ||= Math.abs(event.x - gesture.startX) > SIDEWAYS;
    const [low, high] = axes.y.domain();
    const point = movedPoint(model, gesture.index, {
      engineSpeedRpm: gesture.isSideways ? axes.x.invert(event.x) : gesture.start.engineSpeedRpm,
      value: Math.min(high, Math.max(low, axes.y.invert(event.y))),
    });
    if (!point || isSamePoint(point, gesture.last)) return;
    gesture.last = point;
    live.handlers.onDrag?.(gesture.index, point, { done: false });
  };
  const endGesture = (point: CurvePoint | undefined) => {
    if (!gesture) return;
    const { index, start } = gesture;
    gesture = null;
    live.set({ frozen: null, active: active() });
    if (point && (point === start || !isSamePoint(point, start))) live.handlers.onDrag?.(index, point, { done: true });
  };
  /** A held key is one gesture: it ends when the key is let go or the point loses the focus. */
  const endNudge = () => {
    const ended = nudge;
    nudge = null;
    if (ended) live.handlers.onDrag?.(ended.index, ended.last, { done: true });
  };
  const pressed = (event: KeyboardEvent, index: number) => {
    const { model, handlers } = live;
    if (!model || event.ctrlKey || event.metaKey || event.altKey) return;
    const moved = nudged(model, index, event.key, event.shiftKey);
    if (moved) {
      event.preventDefault();
      nudge = { index, last: moved };
      handlers.onDrag?.(index, moved, { done: false });
    } else if (event.key === 'Enter' || event.key === 'Insert') {
      event.preventDefault();
      const added = midpointAfter(model, index);
      if (!added) return;
      wish = { index: added.index, points: model.points };
      handlers.onAdd?.(added.point, added.index);
    } else if (event.key === 'Delete' || event.key === 'Backspace') {
      event.preventDefault();
      if (model.points.length < 2) return;
      wish = { index: Math.min(index, model.points.length - 2), points: model.points };
      handlers.onRemove?.(index);
    } else if (event.key === 'Escape' && gesture) {
      event.preventDefault();
      endGesture(gesture.start);
    }
  };
  const dragEnd = () => endGesture(gesture && !isSamePoint(gesture.last, gesture.start) ? gesture.last : undefined);
  let makeDraggable: ((points: PointGroups) => void) | null = null;
  const startDrag = () => {
    makeDraggable = createDrag!(live.svg, { start: dragStart, drag: dragged, end: dragEnd });
    if (drawn) makeDraggable(drawn);
  };
  if (createDrag) startDrag();
  else loadCurveDrag().then(startDrag, () => undefined);
  live.remember({
    hear(groups) {
      drawn = groups;
      groups
        .on('keydown', (event: KeyboardEvent, d) => pressed(event, d.index))
        .on('keyup', endNudge)
        .on('focus', (_, d) => mark('focused', d.index))
        .on('blur', () => {
          endNudge();
          mark('focused', null);
        })
        .on('pointerenter', (_, d) => mark('hovered', d.index))
        .on('pointerleave', () => mark('hovered', null));
      makeDraggable?.(groups);
    },
  });
  live.afterDraw = () => {
    if (wish === null || wish.points === live.model?.points) return;
    const { index } = wish;
    wish = null;
    drawn?.filter((d) => d.index === index).each((_, i, nodes) => nodes[i]!.focus());
  };
  live.on<MouseEvent>('dblclick', (event, model, { frame, x: across, y: up }) => {
    const [x, y] = pointer(event, live.svg);
    if (x < frame.left || x > frame.right) return;
    const speed = across.invert(x);
    const value = curveValueAt(model.points, speed);
    if (value === null || Math.abs(up(value) - y) > REACH) return;
    const added = pointOnCurve(model, speed);
    if (added) live.handlers.onAdd?.(added.point, added.index);
  });
}

export const CURVE_KIND: ChartKind<CurveChartModel, CurveChartHandlers, CurveState, Axes> = {
  name: 'curve chart',
  keys: () => 'Tab to a point; arrows move it, Shift ten times as far; Enter adds a point, Delete removes it.',
  layers: SMALL_LAYERS,
  framed: ({ valueAxis, speedAxis, points, frozen }) => [valueAxis, speedAxis, points, frozen],
  axes: axesOf,
  marks: [
    bound(curveLines, ({ points }) => ({ points })),
    bound(curvePoints, ({ points, valueAxis, active, hear }) => ({ points, valueAxis, active, hear })),
    bound(curvePointed, ({ points, valueAxis, active }) => ({ points, valueAxis, active })),
  ],
  state: { active: null, frozen: null, hear: () => undefined },
  listen: listenToPoints,
};

/** The curve chart in React. */
export const CurveChart = chartComponent(CURVE_KIND, 'group');
