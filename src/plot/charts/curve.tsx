import { type D3DragEvent, drag } from 'd3-drag';
import { pointer, select } from 'd3-selection';
import { useLayoutEffect, useRef } from 'react';
import type { CurvePoint } from '../../numerics/types.ts';
import { axisTitle, roomyRange, type SmallChart, smallChart, type ValueRange } from '../frame/axes.ts';
import { type HostedChart, useMeasuredSize } from '../frame/ChartHost.tsx';
import styles from '../frame/chart-view.module.css';
import { SmallChartDrawing } from '../frame/small-chart.ts';
import { type DrawnPoint, drawCurveLines, drawCurvePointed, drawCurvePoints } from '../marks/curve.ts';
import type { Palette } from '../palette.ts';
import { type CurveChartModel, curveValueAt, midpointAfter, movedPoint, nudged, pointOnCurve } from './curve-edit.ts';
import type { PlotSize } from './map-scales.ts';

export interface CurveChartHandlers {
  /** A point is moved; `done` is false while the pointer or the key is still held, true at the end of the gesture. */
  onDrag?: ((index: number, point: CurvePoint, state: { done: boolean }) => void) | undefined;
  /** A point is wanted on the curve, at this index. */
  onAdd?: ((point: CurvePoint, index: number) => void) | undefined;
  onRemove?: ((index: number) => void) | undefined;
  /** Engine speed under the pointer; null when it left. */
  onEngineSpeed?: ((engineSpeedRpm: number | null) => void) | undefined;
}

export type CurveChartController = HostedChart<CurveChartModel, CurveChartHandlers>;

/** Sideways movement, pixels, below which a drag changes the value only. */
const SIDEWAYS = 8;
/** Reach of a double click to the line, pixels. */
const REACH = 14;

type PointDrag = D3DragEvent<SVGGElement, DrawnPoint, unknown>;

interface Gesture {
  index: number;
  start: CurvePoint;
  startX: number;
  isSideways: boolean;
  last: CurvePoint;
}

class CurveChartDrawing extends SmallChartDrawing<CurveChartModel, CurveChartHandlers> {
  /** Scales stand still while a point is held. */
  private frozen: ValueRange | null = null;
  private gesture: Gesture | null = null;
  private nudge: { index: number; last: CurvePoint } | null = null;
  private focused: number | null = null;
  private hovered: number | null = null;
  private wantedFocus: number | null = null;
  private readonly dragging = drag<SVGGElement, DrawnPoint>()
    .container(() => this.svg)
    .on('start', (event: PointDrag, d) => this.dragStart(event, d))
    .on('drag', (event: PointDrag) => this.dragged(event))
    .on('end', () => this.dragEnd());

  constructor(...args: ConstructorParameters<typeof SmallChartDrawing<CurveChartModel, CurveChartHandlers>>) {
    super(...args);
    select(this.svg)
      .on('dblclick.chart', (event: MouseEvent) => this.addAt(event))
      .on('pointermove.chart', (event: PointerEvent) => this.pointed(event))
      .on('pointerleave.chart', () => this.handlers.onEngineSpeed?.(null));
  }

  protected isSameDrawing(): boolean {
    return false;
  }

  private active(): number | null {
    return this.gesture?.index ?? this.hovered ?? this.focused;
  }

  protected drawWhole(model: CurveChartModel): SmallChart {
    const { min, max, step, title, unit } = model.valueAxis;
    const values = [model.points, ...model.overlays.map((overlay) => overlay.points)].flatMap((points) =>
      points.map((point) => point?.value ?? Number.NaN),
    );
    const range = this.frozen ?? roomyRange(values, step * 10, 0.3, { low: min, high: max });
    const chart = smallChart(this.size, { low: model.speedAxis.min, high: model.speedAxis.max }, range);
    this.layers.fit(this.size, chart, axisTitle(title, unit), this.palette);
    drawCurveLines(this.layers, model, chart, this.palette);
    return chart;
  }

  protected drawPointed(): void {
    this.drawPoints();
  }

  private drawPoints(): void {
    const { model, chart } = this;
    if (!model || !chart) return;
    const groups = drawCurvePoints(this.layers, model, chart, this.palette, this.active());
    this.listen(groups);
    drawCurvePointed(this.layers, model, chart, this.palette, this.active());
    if (this.wantedFocus !== null) {
      groups.filter((d) => d.index === this.wantedFocus).each((_, i, nodes) => nodes[i]!.focus());
      this.wantedFocus = null;
    }
  }

  private listen(groups: ReturnType<typeof drawCurvePoints>): void {
    groups
      .on('keydown', (event: KeyboardEvent, d) => this.key(event, d.index))
      .on('keyup', () => this.endNudge())
      .on('focus', (_, d) => this.mark('focused', d.index))
      .on('blur', () => {
        this.endNudge();
        this.mark('focused', null);
      })
      .on('pointerenter', (_, d) => this.mark('hovered', d.index))
      .on('pointerleave', () => this.mark('hovered', null))
      .call(this.dragging);
  }

  private mark(which: 'focused' | 'hovered', index: number | null): void {
    if (this[which] === index) return;
    this[which] = index;
    const { model, chart } = this;
    if (!model || !chart || this.gesture) return;
    drawCurvePoints(this.layers, model, chart, this.palette, this.active());
    drawCurvePointed(this.layers, model, chart, this.palette, this.active());
  }

  private dragStart(event: PointDrag, d: DrawnPoint): void {
    const [low, high] = this.chart!.y.domain() as [number, number];
    this.frozen = { low, high };
    this.gesture = { index: d.index, start: d.point, last: d.point, startX: event.x, isSideways: false };
    this.drawPoints();
  }

  private dragged(event: PointDrag): void {
    const { gesture, chart, model } = this;
    if (!gesture || !chart || !model) return;
    // The event's x and y start at the point itself, wherever in the target it was taken hold of.
    gesture.isSideways ||= Math.abs(event.x - gesture.startX) > SIDEWAYS;
    const [low, high] = chart.y.domain() as [number, number];
    const point = movedPoint(model, gesture.index, {
      engineSpeedRpm: gesture.isSideways ? chart.x.invert(event.x) : gesture.start.engineSpeedRpm,
      value: Math.min(high, Math.max(low, chart.y.invert(event.y))),
    });
    const { last } = gesture;
    if (!point || (point.value === last.value && point.engineSpeedRpm === last.engineSpeedRpm)) return;
    gesture.last = point;
    this.handlers.onDrag?.(gesture.index, point, { done: false });
  }

  private dragEnd(): void {
    const { gesture } = this;
    this.gesture = null;
    this.frozen = null;
    if (!gesture) return;
    const isMoved =
      gesture.last.value !== gesture.start.value || gesture.last.engineSpeedRpm !== gesture.start.engineSpeedRpm;
    if (isMoved) this.handlers.onDrag?.(gesture.index, gesture.last, { done: true });
    this.draw();
  }

  private key(event: KeyboardEvent, index: number): void {
    const { model } = this;
    if (!model || event.ctrlKey || event.metaKey || event.altKey) return;
    const moved = nudged(model, index, event.key, event.shiftKey);
    if (moved) {
      event.preventDefault();
      this.nudge = { index, last: moved };
      this.handlers.onDrag?.(index, moved, { done: false });
      return;
    }
    if (event.key === 'Enter' || event.key === 'Insert') {
      event.preventDefault();
      const added = midpointAfter(model, index);
      if (!added) return;
      this.wantedFocus = added.index;
      this.handlers.onAdd?.(added.point, added.index);
    } else if (event.key === 'Delete' || event.key === 'Backspace') {
      event.preventDefault();
      if (model.points.length < 2) return;
      this.wantedFocus = Math.min(index, model.points.length - 2);
      this.handlers.onRemove?.(index);
    } else if (event.key === 'Escape' && this.gesture) {
      event.preventDefault();
      const { start, index: held } = this.gesture;
      this.gesture = null;
      this.frozen = null;
      this.handlers.onDrag?.(held, start, { done: true });
    }
  }

  /** A held key is one gesture: it ends when the key is let go or the point loses the focus. */
  private endNudge(): void {
    const { nudge } = this;
    this.nudge = null;
    if (nudge) this.handlers.onDrag?.(nudge.index, nudge.last, { done: true });
  }

  private addAt(event: MouseEvent): void {
    const { model, chart } = this;
    if (!model || !chart) return;
    const [x, y] = pointer(event, this.svg);
    const { left, right } = chart.frame;
    if (x < left || x > right) return;
    const speed = chart.x.invert(x);
    const value = curveValueAt(model.points, speed);
    if (value === null || Math.abs(chart.y(value) - y) > REACH) return;
    const added = pointOnCurve(model, speed);
    if (added) this.handlers.onAdd?.(added.point, added.index);
  }

  private pointed(event: PointerEvent): void {
    const { chart } = this;
    if (!chart || this.gesture) return;
    const [x] = pointer(event, this.svg);
    const isInside = x >= chart.frame.left && x <= chart.frame.right;
    this.handlers.onEngineSpeed?.(isInside ? chart.x.invert(x) : null);
  }
}

let instances = 0;

/** A live curve chart in an SVG element that the caller owns. The caller keeps the curve: every gesture is reported, then `update` is awaited. */
export function createCurveChart(
  svg: SVGSVGElement,
  palette: Palette,
  handlers: CurveChartHandlers,
  size: PlotSize,
  idPrefix = `curve-chart-${++instances}`,
): CurveChartController {
  return new CurveChartDrawing(svg, palette, handlers, size, idPrefix);
}

export interface CurveChartProps {
  model: CurveChartModel;
  palette: Palette;
  handlers: CurveChartHandlers;
  /** Left out: fills the parent, which must have a height. */
  size?: PlotSize;
  /** 'Volumetric efficiency over engine speed'. Keys are added to it. */
  label: string;
}

const KEYS = 'Tab to a point; arrows move it, Shift ten times as far; Enter adds a point, Delete removes it.';

/** The curve chart in React. */
export function CurveChart({ model, palette, handlers, size, label }: CurveChartProps) {
  const holder = useRef<HTMLDivElement>(null);
  const svg = useRef<SVGSVGElement>(null);
  const controller = useRef<CurveChartController | null>(null);
  const measured = useMeasuredSize(holder, size);

  // Runs after every render; each call compares by identity and does nothing when its part is the same.
  useLayoutEffect(() => {
    if (!svg.current || !measured) return;
    controller.current ??= createCurveChart(svg.current, palette, handlers, measured);
    controller.current.setHandlers(handlers);
    controller.current.resize(measured);
    controller.current.setPalette(palette);
    controller.current.update(model);
  });
  useLayoutEffect(
    () => () => {
      controller.current?.destroy();
      controller.current = null;
    },
    [],
  );

  return (
    <div ref={holder} className={styles.holder}>
      {/* biome-ignore lint/a11y/useSemanticElements: an SVG cannot be a fieldset */}
      <svg ref={svg} className={styles.svg} role="group" aria-label={`${label}. ${KEYS}`} />
    </div>
  );
}
