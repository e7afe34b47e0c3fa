import { select } from 'd3-selection';
import { type PlotSize, TITLE_FONT } from '../charts/map-scales.ts';
import type { Palette } from '../palette.ts';
import { drawAxes, drawGrid, type SmallChart } from './axes.ts';
import type { HostedChart } from './ChartHost.tsx';
import { addGroup, type Group, middle, prepareRoot, type Root } from './drawing.ts';

/** The groups of a small chart, from the back to the front. */
export interface SmallChartLayers {
  root: Root;
  /** Behind grid and lines: bands and fields. */
  ground: Group;
  lines: Group;
  labels: Group;
  points: Group;
  pointed: Group;
  legend: Group;
  fit(size: PlotSize, chart: SmallChart, heading: string, palette: Palette, xTitle?: string): void;
}

/** Empties the SVG and builds the layers. */
export function buildSmallChartLayers(svg: SVGSVGElement, idPrefix: string): SmallChartLayers {
  const root = prepareRoot(svg);
  const clipId = `${idPrefix}-frame`;
  const clip = root.append('defs').append('clipPath').attr('id', clipId).append('rect');
  const paper = root.append('rect').attr('class', 'paper');
  const ground = addGroup(root, 'ground').attr('clip-path', `url(#${clipId})`) as Group;
  const grid = addGroup(root, 'grid');
  const axes = addGroup(root, 'axes');
  const heading = root.append('text').attr('class', 'heading').attr('x', 8);
  const lines = addGroup(root, 'lines').attr('fill', 'none').attr('clip-path', `url(#${clipId})`) as Group;
  const labels = addGroup(root, 'labels');
  const legend = addGroup(root, 'legend');
  const points = addGroup(root, 'points');
  const pointed = addGroup(root, 'pointed').attr('pointer-events', 'none') as Group;
  let drawn = '';
  return {
    root,
    ground,
    lines,
    labels,
    points,
    pointed,
    legend,
    fit(size, chart, title, palette, xTitle = 'Engine speed, rpm') {
      const { xTicks, yTicks } = chart;
      // Axes stand still while an input moves: most calls find them drawn.
      const wanted = JSON.stringify([size, chart.frame, xTicks, yTicks, title, xTitle, palette.name]);
      if (wanted === drawn) return;
      drawn = wanted;
      root.attr('width', size.width).attr('height', size.height).attr('viewBox', `0 0 ${size.width} ${size.height}`);
      paper.attr('width', size.width).attr('height', size.height).attr('fill', palette.paper);
      const { frame } = chart;
      clip
        .attr('x', frame.left)
        .attr('y', frame.top - 1)
        .attr('width', frame.right - frame.left)
        .attr('height', frame.bottom - frame.top + 2);
      heading
        .attr('y', TITLE_FONT * 0.65 + 3 + middle(TITLE_FONT))
        .attr('font-size', TITLE_FONT)
        .attr('fill', palette.ink)
        .text(title);
      const geometry = { ...chart, xTitle, yTitle: '' };
      drawGrid(grid, geometry, palette);
      drawAxes(axes, geometry, palette);
    },
  };
}

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
