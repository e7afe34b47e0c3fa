import { select } from 'd3-selection';
import type { HostedChart } from './chart-host.tsx';
import type { PlotSize } from './map-scales.ts';
import type { Palette } from './palette.ts';
import type { SmallChart } from './small-chart.ts';
import { buildSmallChartLayers, type SmallChartLayers } from './small-chart-layers.ts';

/** The life of a small chart: what is drawn again when its model, its size or its palette is another one. Listeners end in '.chart'. */
export abstract class SmallChartDrawing<Model, Handlers> implements HostedChart<Model, Handlers> {
  protected layers: SmallChartLayers;
  protected model: Model | null = null;
  protected chart: SmallChart | null = null;

  constructor(
    protected readonly svg: SVGSVGElement,
    protected palette: Palette,
    protected handlers: Handlers,
    protected size: PlotSize,
    private readonly idPrefix: string,
  ) {
    this.layers = buildSmallChartLayers(svg, idPrefix);
  }

  update(model: Model): void {
    const before = this.model;
    if (model === before) return;
    this.model = model;
    if (before !== null && this.chart && this.isSameDrawing(before, model)) this.drawPointed(model, this.chart);
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

  setHandlers(handlers: Handlers): void {
    this.handlers = handlers;
  }

  destroy(): void {
    select(this.svg).on('.chart', null);
  }

  protected draw(): void {
    if (!this.model) return;
    this.chart = this.drawWhole(this.model);
    this.drawPointed(this.model, this.chart);
  }

  /** Lays out and draws everything but what is pointed at. */
  protected abstract drawWhole(model: Model): SmallChart;

  protected abstract drawPointed(model: Model, chart: SmallChart): void;

  /** Whether two models differ in no more than what is pointed at. */
  protected abstract isSameDrawing(before: Model, after: Model): boolean;
}
