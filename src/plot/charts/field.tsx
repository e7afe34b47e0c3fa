import { pointer, select } from 'd3-selection';
import { axisTitle, type SmallChart, smallChart } from '../frame/axes.ts';
import { ChartHost, type HostedChart } from '../frame/ChartHost.tsx';
import { SmallChartDrawing, type SmallChartLayers } from '../frame/small-chart.ts';
import { drawField, drawFieldPointed, fieldRoom, fieldText } from '../marks/cells.ts';
import type { LineAxis } from '../marks/series.ts';
import type { Palette } from '../palette.ts';
import type { PlotSize } from './map-scales.ts';

/**
 * A field over two quantities, such as engine speed and altitude: every cell belongs to one of a few kinds. Kinds are told apart by
 * hatch and name first, by colour second, so that a grey copy reads the same.
 */
export interface FieldChartModel {
  xAxis: LineAxis;
  yAxis: LineAxis;
  /** Middles of the cells, rising. */
  xs: readonly number[];
  ys: readonly number[];
  /** `cells[y][x]`: the key of a kind; null: nothing is known there. */
  cells: readonly (readonly (string | null)[])[];
  kinds: readonly FieldKind[];
  /** `marked[y][x]`: cells inside a heavy outline; null: none. */
  marked: { cells: readonly (readonly boolean[])[]; label: string } | null;
  focus: { x: number; y: number } | null;
}

/** Each hatch stands for one kind on one drawing. */
export type FieldHatch =
  | 'rising'
  | 'falling'
  | 'upright'
  | 'level'
  | 'dots'
  | 'grid'
  | 'crossed'
  | 'sparse'
  | 'zigzag'
  | 'brick'
  | 'plus';

export interface FieldKind {
  key: string;
  name: string;
  hatch: FieldHatch;
  colour: 'stop' | 'caution' | 'a' | 'b' | 'good' | 'ink' | 'faint';
}

export interface FieldChartHandlers {
  /** A cell is pointed at, by pointer or keys: its middle; null when the pointer left. The owner answers through the model's focus. */
  onPoint?: ((cell: { x: number; y: number } | null) => void) | undefined;
  /** Text for a live region after a key. */
  announce?: ((text: string) => void) | undefined;
}

export type FieldChartController = HostedChart<FieldChartModel, FieldChartHandlers>;

function nearestIndex(values: readonly number[], wanted: number): number {
  return values.reduce(
    (best, value, i) =>
      Math.abs(value - wanted) < Math.abs((values[best] ?? Number.POSITIVE_INFINITY) - wanted) ? i : best,
    0,
  );
}

/** Lays out and draws everything but what is pointed at; used by the live chart and for paper. */
export function drawWholeFieldChart(
  layers: SmallChartLayers,
  model: FieldChartModel,
  palette: Palette,
  size: PlotSize,
): SmallChart {
  const span = (values: readonly number[]) => ({ low: values[0] ?? 0, high: values.at(-1) ?? 1 });
  const chart = smallChart(size, span(model.xs), span(model.ys), fieldRoom(model, size));
  const { xAxis, yAxis } = model;
  layers.fit(size, chart, axisTitle(yAxis.title, yAxis.unit), palette, axisTitle(xAxis.title, xAxis.unit));
  drawField(layers, model, chart, palette, size);
  return chart;
}

class FieldChartDrawing extends SmallChartDrawing<FieldChartModel, FieldChartHandlers> {
  constructor(...args: ConstructorParameters<typeof SmallChartDrawing<FieldChartModel, FieldChartHandlers>>) {
    super(...args);
    select(this.svg)
      .on('pointermove.chart pointerdown.chart', (event: PointerEvent) => this.pointed(event))
      .on('pointerleave.chart', () => this.handlers.onPoint?.(null))
      .on('keydown.chart', (event: KeyboardEvent) => this.key(event));
  }

  protected isSameDrawing(before: FieldChartModel, after: FieldChartModel): boolean {
    return (['cells', 'marked', 'xs', 'xAxis', 'yAxis'] as const).every((part) => before[part] === after[part]);
  }

  protected drawWhole(model: FieldChartModel): SmallChart {
    return drawWholeFieldChart(this.layers, model, this.palette, this.size);
  }

  protected drawPointed(model: FieldChartModel, chart: SmallChart): void {
    drawFieldPointed(this.layers, model, chart, this.palette);
  }

  private pointed(event: PointerEvent): void {
    const { model, chart } = this;
    if (!model || !chart) return;
    const [x, y] = pointer(event, this.svg);
    const { left, right, top, bottom } = chart.frame;
    const isInside = x >= left && x <= right && y >= top && y <= bottom;
    this.point(
      isInside
        ? {
            x: model.xs[nearestIndex(model.xs, chart.x.invert(x))] ?? 0,
            y: model.ys[nearestIndex(model.ys, chart.y.invert(y))] ?? 0,
          }
        : null,
    );
  }

  private point(cell: { x: number; y: number } | null): void {
    const before = this.model?.focus ?? null;
    if (before?.x === cell?.x && before?.y === cell?.y) return;
    this.handlers.onPoint?.(cell);
  }

  private key(event: KeyboardEvent): void {
    const { model } = this;
    if (!model || event.ctrlKey || event.metaKey || event.altKey) return;
    if (event.key === 'Escape') this.point(null);
    const step = CELL_STEPS[event.key];
    if (step === undefined || model.xs.length === 0 || model.ys.length === 0) return;
    event.preventDefault();
    const far = event.shiftKey ? 5 : 1;
    const at = model.focus ?? { x: model.xs[0] ?? 0, y: model.ys[0] ?? 0 };
    const moved = (values: readonly number[], from: number, by: number) =>
      values[Math.min(Math.max(nearestIndex(values, from) + by * far, 0), values.length - 1)] ?? from;
    const cell = model.focus === null ? at : { x: moved(model.xs, at.x, step[0]), y: moved(model.ys, at.y, step[1]) };
    this.point(cell);
    this.handlers.announce?.(fieldText(model, cell));
  }
}

const CELL_STEPS: Readonly<Record<string, readonly [number, number]>> = {
  ArrowLeft: [-1, 0],
  ArrowRight: [1, 0],
  ArrowUp: [0, 1],
  ArrowDown: [0, -1],
};

let instances = 0;

/** A live field chart in an SVG element that the caller owns. */
export function createFieldChart(
  svg: SVGSVGElement,
  palette: Palette,
  handlers: FieldChartHandlers,
  size: PlotSize,
  idPrefix = `field-chart-${++instances}`,
): FieldChartController {
  return new FieldChartDrawing(svg, palette, handlers, size, idPrefix);
}

export interface FieldChartProps {
  model: FieldChartModel;
  palette: Palette;
  handlers?: FieldChartHandlers;
  /** Left out: fills the parent, which must have a height. */
  size?: PlotSize;
  /** What the field shows. Keys are added to it. */
  label: string;
}

const KEYS = 'Arrow keys read it cell by cell.';
const NO_HANDLERS: FieldChartHandlers = {};

const create = (svg: SVGSVGElement, palette: Palette, size: PlotSize) => createFieldChart(svg, palette, {}, size);

/** The field chart in React. */
export function FieldChart({ model, palette, handlers = NO_HANDLERS, size, label }: FieldChartProps) {
  return (
    <ChartHost
      create={create}
      model={model}
      palette={palette}
      handlers={handlers}
      size={size}
      kind="field chart"
      label={`${label}. ${KEYS}`}
    />
  );
}
