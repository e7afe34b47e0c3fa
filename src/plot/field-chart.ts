import { pointer, select } from 'd3-selection';
import type { FieldChartModel } from './field-chart-model.ts';
import { drawField, drawFieldPointed, fieldRoom, fieldText } from './field-chart-nodes.ts';
import type { PlotSize } from './map-scales.ts';
import type { Palette } from './palette.ts';
import { axisTitle, type SmallChart, smallChart } from './small-chart.ts';
import { buildSmallChartLayers, type SmallChartLayers } from './small-chart-layers.ts';

export interface FieldChartHandlers {
  /** A cell is pointed at, by pointer or keys: its middle; null when the pointer left. The owner answers through the model's focus. */
  onPoint?: ((cell: { x: number; y: number } | null) => void) | undefined;
  /** Text for a live region after a key. */
  announce?: ((text: string) => void) | undefined;
}

export interface FieldChartController {
  update(model: FieldChartModel): void;
  resize(size: PlotSize): void;
  setPalette(palette: Palette): void;
  setHandlers(handlers: FieldChartHandlers): void;
  destroy(): void;
}

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

class FieldChartDrawing implements FieldChartController {
  private layers: SmallChartLayers;
  private model: FieldChartModel | null = null;
  private chart: SmallChart | null = null;

  constructor(
    private readonly svg: SVGSVGElement,
    private palette: Palette,
    private handlers: FieldChartHandlers,
    private size: PlotSize,
    private readonly idPrefix: string,
  ) {
    this.layers = buildSmallChartLayers(svg, idPrefix);
    select(svg)
      .on('pointermove.field pointerdown.field', (event: PointerEvent) => this.pointed(event))
      .on('pointerleave.field', () => this.handlers.onPoint?.(null))
      .on('keydown.field', (event: KeyboardEvent) => this.key(event));
  }

  update(model: FieldChartModel): void {
    const before = this.model;
    if (model === before) return;
    this.model = model;
    const isSame =
      before !== null && before.cells === model.cells && before.marked === model.marked && before.xs === model.xs;
    if (isSame && before.xAxis === model.xAxis && before.yAxis === model.yAxis && this.chart) {
      drawFieldPointed(this.layers, model, this.chart, this.palette);
    } else this.draw();
  }

  resize(size: PlotSize): void {
    if (size.width === this.size.width && size.height === this.size.height) return;
    this.size = size;
    this.draw();
  }

  setPalette(palette: Palette): void {
    if (palette === this.palette) return;
    this.palette = palette;
    this.layers = buildSmallChartLayers(this.svg, this.idPrefix);
    this.draw();
  }

  setHandlers(handlers: FieldChartHandlers): void {
    this.handlers = handlers;
  }

  destroy(): void {
    select(this.svg).on('.field', null);
  }

  private draw(): void {
    if (!this.model) return;
    this.chart = drawWholeFieldChart(this.layers, this.model, this.palette, this.size);
    drawFieldPointed(this.layers, this.model, this.chart, this.palette);
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
    const step = STEPS[event.key];
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

const STEPS: Readonly<Record<string, readonly [number, number]>> = {
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
