import { pointer, select } from 'd3-selection';
import { axisTitle, CHART_FONT, roomyRange, type SmallChart, smallChart, valueText } from '../frame/axes.ts';
import { ChartHost, type HostedChart } from '../frame/ChartHost.tsx';
import { drawLabels, joinNodes } from '../frame/drawing.ts';
import { placeLabels, spotsAround } from '../frame/labels.ts';
import { type LabelBox, linePath, pixelRuns, rounded } from '../frame/pixels.ts';
import { SmallChartDrawing, type SmallChartLayers } from '../frame/small-chart.ts';
import { lineLook, lineMarker } from '../marks/looks.ts';
import type { LineChartModel, LinePoint, LineSeries } from '../marks/series.ts';
import { drawLineLabels, drawLinePaths, endNamesRoom, seriesRuns } from '../marks/series.ts';
import type { Palette } from '../palette.ts';
import type { PlotSize } from './map-scales.ts';

export interface PointedSeries {
  series: LineSeries;
  point: LinePoint;
}

/** The point of each series at the place nearest to one pointed at; series without a value there are left out. */
export function pointedSeries(model: LineChartModel, x: number): PointedSeries[] {
  return model.series.flatMap((series) => {
    if (series.quiet) return [];
    let best: LinePoint | null = null;
    for (const point of series.points) {
      if (!point || !Number.isFinite(point.value)) continue;
      if (best === null || Math.abs(point.x - x) < Math.abs(best.x - x)) best = point;
    }
    return best ? [{ series, point: best }] : [];
  });
}

/** 'At 3,500 rpm, A 142,000 rpm, B 131,000 rpm' */
export function pointedText(model: LineChartModel, x: number): string {
  const { decimals, unit } = model.valueAxis;
  const values = pointedSeries(model, x)
    .filter(({ series }) => model.focusSeriesId === null || series.id === model.focusSeriesId)
    .map(({ series, point }) => `${series.name} ${valueText(point.value, decimals, unit)}`);
  return [`At ${valueText(x, model.xAxis.decimals, model.xAxis.unit)}`, ...values].join(', ');
}

interface Dot {
  key: string;
  series: LineSeries;
  point: LinePoint;
  x: number;
  y: number;
}

/** The values beside their dots; one that has no room is left out. */
function drawPointedValues(
  layers: SmallChartLayers,
  model: LineChartModel,
  chart: SmallChart,
  dots: readonly Dot[],
  palette: Palette,
  taken: readonly LabelBox[],
): void {
  const { frame } = chart;
  const { decimals, unit } = model.valueAxis;
  const lines = model.series.flatMap(({ points }) =>
    pixelRuns(points, (point) => ({ x: chart.x(point.x), y: chart.y(point.value) })).map((run) => ({
      points: run,
      weight: 2.2,
    })),
  );
  const labels = placeLabels(
    dots.map((dot) => ({
      key: dot.key,
      text: valueText(dot.point.value, decimals, unit),
      fontSize: CHART_FONT,
      bold: true,
      spots: [10, 20, 32].flatMap((reach, far) =>
        spotsAround(dot, reach, ['e', 'w', 'ne', 'nw', 'se', 'sw'], 0.3, far * 2),
      ),
    })),
    {
      frame,
      taken: [...taken, ...dots.map((dot) => ({ x: dot.x, y: dot.y, width: 10, height: 10, angle: 0 }))],
      lines,
    },
  );
  const pointedOf = new Map(dots.map((dot) => [dot.key, dot.series]));
  drawLabels(layers.pointed, labels, palette.paper, (label) => {
    const series = pointedOf.get(label.key);
    return { fill: series ? lineLook({ ...series, shade: 1 }, palette).colour : palette.ink, weight: 600 };
  });
}

/** What is pointed at: a line across, the series that stands out, a dot and a value clear of the labels in `taken`. */
export function drawLinePointed(
  layers: SmallChartLayers,
  model: LineChartModel,
  chart: SmallChart,
  palette: Palette,
  taken: readonly LabelBox[],
): void {
  const { frame } = chart;
  const { focusX, focusSeriesId } = model;
  const x = focusX === null ? Number.NaN : chart.x(focusX);
  const isShown = x >= frame.left - 0.5 && x <= frame.right + 0.5;
  const pointed = isShown && focusX !== null ? pointedSeries(model, focusX) : [];
  const dots = pointed
    .filter(({ series }) => focusSeriesId === null || series.id === focusSeriesId || series.style === 'goal')
    .map(({ series, point }) => ({ key: series.id, series, point, x: chart.x(point.x), y: chart.y(point.value) }));
  const paths = isShown
    ? [{ d: `M${rounded(x)},${frame.top}V${frame.bottom}`, stroke: palette.ink, fill: 'none', width: 0.8 }]
    : [];
  const chosen = model.series.find(({ id }) => id === focusSeriesId);
  if (chosen) {
    const runs = pixelRuns(chosen.points, (point) => ({ x: chart.x(point.x), y: chart.y(point.value) }));
    paths.push({
      d: linePath(runs),
      stroke: lineLook({ ...chosen, shade: 1 }, palette).colour,
      fill: 'none',
      width: 3,
    });
  }
  for (const dot of dots) {
    const { colour } = lineLook({ ...dot.series, shade: 1 }, palette);
    const { style } = dot.series;
    const d = lineMarker(style === 'plain' || style === 'dashed' ? 'a' : style, dot, 4.5);
    const isCross = dot.series.style === 'goal';
    paths.push({
      d,
      stroke: isCross ? colour : palette.paper,
      fill: isCross ? 'none' : colour,
      width: isCross ? 2 : 1,
    });
  }
  joinNodes(layers.pointed, 'path', paths)
    .attr('d', (d) => d.d)
    .attr('stroke', (d) => d.stroke)
    .attr('stroke-width', (d) => d.width)
    .attr('fill', (d) => d.fill);
  drawPointedValues(layers, model, chart, dots, palette, taken);
}

export interface LinePointed {
  x: number;
  /** The series nearest to the pointer there; the one that stands out, or the first, by keys. */
  seriesId: string;
  /** 'press' and 'key' mean the place; 'pointer' only passes over it. */
  by: 'pointer' | 'press' | 'key';
}

export interface LineChartHandlers {
  /** A place of the series is pointed at, by pointer or keys; null when the pointer left. The owner answers through the model's focus. */
  onPoint?: ((pointed: LinePointed | null) => void) | undefined;
  /** Text for a live region after a key. */
  announce?: ((text: string) => void) | undefined;
}

export type LineChartController = HostedChart<LineChartModel, LineChartHandlers>;

/** Places of all series on the x axis, rising, each once. */
function placesOf(model: LineChartModel): number[] {
  const places = model.series.flatMap((series) =>
    (series.quiet ? [] : series.points).flatMap((point) => (point && Number.isFinite(point.value) ? [point.x] : [])),
  );
  return [...new Set(places)].filter(Number.isFinite).sort((a, b) => a - b);
}

function nearest(places: readonly number[], wanted: number): number | null {
  return places.reduce<number | null>(
    (best, place) => (best === null || Math.abs(place - wanted) < Math.abs(best - wanted) ? place : best),
    null,
  );
}

/** The series whose line passes nearest to a height. */
function nearestSeries(model: LineChartModel, chart: SmallChart, x: number, y: number): string | null {
  let best: string | null = null;
  let least = Number.POSITIVE_INFINITY;
  for (const { series, point } of pointedSeries(model, x)) {
    const away = Math.abs(chart.y(point.value) - y);
    if (away >= least) continue;
    least = away;
    best = series.id;
  }
  return best;
}

/** Lays out and draws everything but what is pointed at; used by the live chart and for files. */
export function drawWholeLineChart(
  layers: SmallChartLayers,
  model: LineChartModel,
  palette: Palette,
  size: PlotSize,
): { chart: SmallChart; labels: readonly LabelBox[] } {
  const { title, unit, include, bounds } = model.valueAxis;
  const values = [
    ...include,
    ...model.limits.map((limit) => limit.value),
    ...model.series.flatMap((series) => series.points.map((point) => point?.value ?? Number.NaN)),
    ...model.bands.flatMap((band) => band.points.flatMap((point) => (point ? [point.low, point.high] : []))),
  ];
  const range = roomyRange(values, 0, 0.06, {
    low: bounds?.low ?? -Infinity,
    high: bounds?.high ?? Infinity,
  });
  const { xAxis } = model;
  const room = { right: endNamesRoom(model) };
  const chart = smallChart(size, { low: xAxis.min, high: xAxis.max }, range, room);
  layers.fit(size, chart, axisTitle(title, unit), palette, axisTitle(xAxis.title, xAxis.unit));
  const runs = seriesRuns(model, chart);
  drawLinePaths(layers, runs, model, chart, palette);
  const labels = drawLineLabels(layers, runs, model, chart, palette);
  return { chart, labels };
}

class LineChartDrawing extends SmallChartDrawing<LineChartModel, LineChartHandlers> {
  /** Labels that what is pointed at keeps off. */
  private taken: readonly LabelBox[] = [];

  constructor(...args: ConstructorParameters<typeof SmallChartDrawing<LineChartModel, LineChartHandlers>>) {
    super(...args);
    select(this.svg)
      .on('pointermove.chart pointerdown.chart', (event: PointerEvent) => this.pointed(event))
      .on('pointerleave.chart', () => this.handlers.onPoint?.(null))
      .on('keydown.chart', (event: KeyboardEvent) => this.key(event));
  }

  protected isSameDrawing(before: LineChartModel, after: LineChartModel): boolean {
    return (['series', 'limits', 'valueAxis', 'bands', 'spans', 'names', 'xAxis'] as const).every(
      (part) => before[part] === after[part],
    );
  }

  protected drawWhole(model: LineChartModel): SmallChart {
    const { chart, labels } = drawWholeLineChart(this.layers, model, this.palette, this.size);
    this.taken = labels;
    return chart;
  }

  protected drawPointed(model: LineChartModel, chart: SmallChart): void {
    drawLinePointed(this.layers, model, chart, this.palette, this.taken);
  }

  private pointed(event: PointerEvent): void {
    const { model, chart } = this;
    if (!model || !chart) return;
    const [x, y] = pointer(event, this.svg);
    const isInside = x >= chart.frame.left && x <= chart.frame.right;
    const place = isInside ? nearest(placesOf(model), chart.x.invert(x)) : null;
    const seriesId = place === null ? null : nearestSeries(model, chart, place, y);
    const by = event.type === 'pointerdown' ? 'press' : 'pointer';
    const isSame = place === model.focusX && (seriesId === model.focusSeriesId || model.focusSeriesId === null);
    if (isSame && by === 'pointer') return;
    this.handlers.onPoint?.(place === null || seriesId === null ? null : { x: place, seriesId, by });
  }

  private key(event: KeyboardEvent): void {
    const { model } = this;
    if (!model || event.ctrlKey || event.metaKey || event.altKey) return;
    if (event.key === 'Escape' && model.focusX !== null) this.handlers.onPoint?.(null);
    const places = placesOf(model);
    const at = model.focusX === null ? -1 : places.indexOf(nearest(places, model.focusX) ?? Number.NaN);
    const place = places[steppedPlace(event, at, places.length - 1) ?? -1];
    const seriesId = steppedSeries(event.key, model);
    if (seriesId === null || (place === undefined && seriesId === model.focusSeriesId)) return;
    const x = place ?? places[Math.max(at, 0)];
    if (x === undefined || (place === undefined && !isSeriesKey(event.key))) return;
    event.preventDefault();
    this.handlers.onPoint?.({ x, seriesId, by: 'key' });
    // Spoken with the series that the owner will have put in focus, if it does.
    const focusSeriesId = model.focusSeriesId === null ? null : seriesId;
    this.handlers.announce?.(pointedText({ ...model, focusSeriesId }, x));
  }
}

function steppedPlace(event: KeyboardEvent, at: number, last: number): number | undefined {
  const step = event.shiftKey ? 5 : 1;
  const targets: Readonly<Record<string, number>> = {
    ArrowLeft: at < 0 ? last : Math.max(0, at - step),
    ArrowRight: Math.min(last, at < 0 ? 0 : at + step),
    Home: 0,
    End: last,
  };
  return targets[event.key];
}

function isSeriesKey(key: string): boolean {
  return key === 'ArrowUp' || key === 'ArrowDown';
}

/** Up and down walk the series in their order where one of them stands out; else they all are read together. */
function steppedSeries(key: string, model: LineChartModel): string | null {
  const ids = model.series.map(({ id }) => id);
  const at = model.focusSeriesId === null ? 0 : ids.indexOf(model.focusSeriesId);
  const step = key === 'ArrowUp' ? 1 : key === 'ArrowDown' ? -1 : 0;
  return ids[Math.min(Math.max(at + step, 0), ids.length - 1)] ?? null;
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

export interface LineChartProps {
  model: LineChartModel;
  palette: Palette;
  handlers?: LineChartHandlers;
  /** Left out: fills the parent, which must have a height. */
  size?: PlotSize;
  /** 'Shaft speed over engine speed'. Keys are added to it. */
  label: string;
  /** In place of the usual words on the keys. */
  keys?: string;
}

const KEYS = 'Left and right arrow read place by place.';
const NO_HANDLERS: LineChartHandlers = {};

const create = (svg: SVGSVGElement, palette: Palette, size: PlotSize) => createLineChart(svg, palette, {}, size);

/** The line chart in React. */
export function LineChart({ model, palette, handlers = NO_HANDLERS, size, label, keys = KEYS }: LineChartProps) {
  return (
    <ChartHost
      create={create}
      model={model}
      palette={palette}
      handlers={handlers}
      size={size}
      kind="line chart"
      label={`${label}. ${keys}`}
    />
  );
}
