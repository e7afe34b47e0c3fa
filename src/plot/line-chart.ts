import { pointer, select } from 'd3-selection';
import type { LineChartModel } from './line-chart-model.ts';
import { drawLineChart, drawLinePointed, pointedText } from './line-chart-nodes.ts';
import type { PlotSize } from './map-scales.ts';
import type { Palette } from './palette.ts';
import { axisTitle, roomyRange, type SmallChart, smallChart } from './small-chart.ts';
import { buildSmallChartLayers, type SmallChartLayers } from './small-chart-layers.ts';

export interface LineChartHandlers {
  /** An engine speed of the series is pointed at, by pointer or keys; null when the pointer left. The owner answers through the model's focus. */
  onEngineSpeed?: ((engineSpeedRpm: number | null) => void) | undefined;
  /** Text for a live region after a key. */
  announce?: ((text: string) => void) | undefined;
}

export interface LineChartController {
  update(model: LineChartModel): void;
  resize(size: PlotSize): void;
  setPalette(palette: Palette): void;
  setHandlers(handlers: LineChartHandlers): void;
  destroy(): void;
}

/** Engine speeds of all series, rising, each once. */
function speedsOf(model: LineChartModel): number[] {
  const speeds = model.series.flatMap((series) =>
    series.points.flatMap((point) => (point && Number.isFinite(point.value) ? [point.engineSpeedRpm] : [])),
  );
  return [...new Set(speeds)].filter(Number.isFinite).sort((a, b) => a - b);
}

function nearest(speeds: readonly number[], wanted: number): number | null {
  return speeds.reduce<number | null>(
    (best, speed) => (best === null || Math.abs(speed - wanted) < Math.abs(best - wanted) ? speed : best),
    null,
  );
}

/** Lays out and draws everything but the pointed engine speed; used by the live chart and for files. */
export function drawWholeLineChart(
  layers: SmallChartLayers,
  model: LineChartModel,
  palette: Palette,
  size: PlotSize,
): SmallChart {
  const { title, unit, include } = model.valueAxis;
  const values = [
    ...include,
    ...model.limits.map((limit) => limit.value),
    ...model.series.flatMap((series) => series.points.map((point) => point?.value ?? Number.NaN)),
  ];
  const range = roomyRange(values, 0, 0.06, { low: -Infinity, high: Infinity });
  const chart = smallChart(size, { low: model.speedRange.min, high: model.speedRange.max }, range);
  layers.fit(size, chart, axisTitle(title, unit), palette);
  drawLineChart(layers, model, chart, palette);
  return chart;
}

class LineChartDrawing implements LineChartController {
  private layers: SmallChartLayers;
  private model: LineChartModel | null = null;
  private chart: SmallChart | null = null;

  constructor(
    private readonly svg: SVGSVGElement,
    private palette: Palette,
    private handlers: LineChartHandlers,
    private size: PlotSize,
    private readonly idPrefix: string,
  ) {
    this.layers = buildSmallChartLayers(svg, idPrefix);
    select(svg)
      .on('pointermove.line pointerdown.line', (event: PointerEvent) => this.pointed(event))
      .on('pointerleave.line', () => this.handlers.onEngineSpeed?.(null))
      .on('keydown.line', (event: KeyboardEvent) => this.key(event));
  }

  update(model: LineChartModel): void {
    const before = this.model;
    if (model === before) return;
    this.model = model;
    const isSame =
      before !== null &&
      before.series === model.series &&
      before.limits === model.limits &&
      before.valueAxis === model.valueAxis &&
      before.speedRange === model.speedRange;
    if (isSame && this.chart) drawLinePointed(this.layers, model, this.chart, this.palette);
    else this.draw();
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

  setHandlers(handlers: LineChartHandlers): void {
    this.handlers = handlers;
  }

  destroy(): void {
    select(this.svg).on('.line', null);
  }

  private draw(): void {
    if (!this.model) return;
    this.chart = drawWholeLineChart(this.layers, this.model, this.palette, this.size);
    drawLinePointed(this.layers, this.model, this.chart, this.palette);
  }

  private pointed(event: PointerEvent): void {
    const { model, chart } = this;
    if (!model || !chart) return;
    const [x] = pointer(event, this.svg);
    const isInside = x >= chart.frame.left && x <= chart.frame.right;
    const speed = isInside ? nearest(speedsOf(model), chart.x.invert(x)) : null;
    if (speed !== model.focusEngineSpeedRpm) this.handlers.onEngineSpeed?.(speed);
  }

  private key(event: KeyboardEvent): void {
    const { model } = this;
    if (!model || event.ctrlKey || event.metaKey || event.altKey) return;
    const speeds = speedsOf(model);
    const { focusEngineSpeedRpm: focus } = model;
    const at = focus === null ? -1 : speeds.indexOf(nearest(speeds, focus) ?? Number.NaN);
    const step = event.shiftKey ? 5 : 1;
    const last = speeds.length - 1;
    const targets: Readonly<Record<string, number>> = {
      ArrowLeft: at < 0 ? last : Math.max(0, at - step),
      ArrowRight: Math.min(last, at < 0 ? 0 : at + step),
      Home: 0,
      End: last,
    };
    const target = targets[event.key];
    const speed = target === undefined ? undefined : speeds[target];
    if (event.key === 'Escape' && focus !== null) this.handlers.onEngineSpeed?.(null);
    if (speed === undefined) return;
    event.preventDefault();
    this.handlers.onEngineSpeed?.(speed);
    this.handlers.announce?.(pointedText(model, speed));
  }
}

let instances = 0;

/** A live line chart in an SVG element that the caller owns. */
export function createLineChart(
  svg: SVGSVGElement,
  palette: Palette,
  handlers: LineChartHandlers,
  size: PlotSize,
  idPrefix = `line-chart-${++instances}`,
): LineChartController {
  return new LineChartDrawing(svg, palette, handlers, size, idPrefix);
}
