import { CHART_FONT, type SmallChart } from '../frame/axes.ts';
import { drawLabels, joinNodes } from '../frame/drawing.ts';
import { type Compass, type LabelRequest, type PlacedLabel, placeLabels, spotsAround } from '../frame/labels.ts';
import { type LabelBox, linePath, type PixelFrame, type PixelPoint, pixelRuns, rounded } from '../frame/pixels.ts';
import type { SmallChartLayers } from '../frame/small-chart.ts';
import { textWidth } from '../frame/text.ts';
import { mixColour, type Palette } from '../palette.ts';
import { DASH, lineLook, lineMarker } from './looks.ts';

/** A small chart of one quantity over another (engine speed, altitude): series, bands, limits, and a pointer that other charts follow. */
export interface LineChartModel {
  xAxis: LineAxis & { min: number; max: number };
  valueAxis: LineAxis & {
    /** Kept in view whatever the series hold: a zero line, a target. */
    include: readonly number[];
    /** The axis does not run past these: no values lie there (0 and 100 of a share in per cent). */
    bounds?: { low?: number; high?: number } | undefined;
  };
  /** Behind the lines. */
  bands: readonly LineBand[];
  /** Stretches of the x axis that have a name, hatched. */
  spans?: readonly LineSpan[] | undefined;
  series: readonly LineSeries[];
  limits: readonly LineLimit[];
  /** 'end': names stand right of the frame at the ends of their lines, for many lines that run alongside. 'along': on the lines. */
  names: 'along' | 'end';
  /** Place on the x axis pointed at, here or elsewhere. */
  focusX: number | null;
  /** The series pointed at, drawn heavier and alone with its value; null: all show theirs. */
  focusSeriesId: string | null;
}

export interface LineAxis {
  title: string;
  /** '' for a plain ratio. */
  unit: string;
  decimals: number;
}

export interface LinePoint {
  x: number;
  value: number;
}

/** A: solid with circles. B: dashed with diamonds. Plain: solid, in ink. Goal: with crosses. Dashed: dash and two dots, in ink. */
export type LineStyle = 'a' | 'b' | 'plain' | 'goal' | 'dashed';

export interface LineSeries {
  id: string;
  /** Stands beside the line; '' for none. */
  name: string;
  style: LineStyle;
  /** 'second' draws thinner and without markers: another quantity of the same candidate, one of many alike. */
  weight: 'main' | 'second';
  /** 0: palest, 1: full (as it is without one): the place in an ordered set, such as altitudes. */
  shade?: number | undefined;
  /** True: a line to hold others against, with no value of its own where it is pointed at. */
  quiet?: boolean | undefined;
  /** In rising x. null, or a value that is not finite, breaks the line. */
  points: readonly (LinePoint | null)[];
}

/** The room between two values at every x, such as that between the 10th and the 90th of a hundred samples. */
export interface LineBand {
  id: string;
  style: LineStyle;
  /** In rising x. null breaks the band. */
  points: readonly ({ x: number; low: number; high: number } | null)[];
}

/** A stretch of the x axis: where the gate is shut, say. */
export interface LineSpan {
  id: string;
  style: LineStyle;
  from: number;
  to: number;
  /** Stands in it where there is room. */
  label: string;
}

export interface LineLimit {
  /** 'limit 172,000 rpm' */
  label: string;
  value: number;
  severity: 'stop' | 'caution';
}

export interface SeriesRuns {
  series: LineSeries;
  runs: PixelPoint[][];
}

const MARKER_SPACING = 46;
/** Where the first marker of a line stands, so that those of two lines do not cover each other. */
const FIRST_MARKER = { a: 0.25, b: 0.75, plain: 0, goal: 0.5, dashed: 0 } as const;

/** The series in pixels, each broken where a value is missing. */
export function seriesRuns(model: LineChartModel, chart: SmallChart): SeriesRuns[] {
  return model.series.map((series) => ({
    series,
    runs: pixelRuns(series.points, (point) => ({ x: chart.x(point.x), y: chart.y(point.value) })),
  }));
}

/** Markers at even distances, so that a series is known by its marker without crowding. */
function markersOf({ series, runs }: SeriesRuns): string {
  if (series.weight === 'second' && series.style !== 'goal') return '';
  let d = '';
  for (const run of runs) {
    let next = (run[0]?.x ?? 0) + FIRST_MARKER[series.style] * MARKER_SPACING;
    if (run.length === 1) d += lineMarker(series.style, run[0]!, 3);
    for (const point of run) {
      if (point.x < next) continue;
      d += lineMarker(series.style, point, 3);
      next = point.x + MARKER_SPACING;
    }
  }
  return d;
}

/** The room of a band: out along its upper edge and back along its lower. */
function bandPaths(band: LineBand, chart: SmallChart): { fill: string; edges: string } {
  const edge = (side: 'low' | 'high') => pixelRuns(band.points, (p) => ({ x: chart.x(p.x), y: chart.y(p[side]) }));
  const low = edge('low');
  const high = edge('high');
  const fill = high.map((run, i) => linePath([[...run, ...(low[i] ?? []).toReversed()]], true)).join('');
  return { fill, edges: linePath([...low, ...high]) };
}

function drawBands(layers: SmallChartLayers, model: LineChartModel, chart: SmallChart, palette: Palette): void {
  const paths = model.bands.flatMap((band) => {
    const { colour } = lineLook({ style: band.style, weight: 'main' }, palette);
    const { fill, edges } = bandPaths(band, chart);
    return [
      { d: fill, fill: colour, opacity: 0.16, stroke: 'none' },
      // Edges make the band legible where grey on grey would not be.
      { d: edges, fill: 'none', opacity: 1, stroke: colour },
    ];
  });
  joinNodes(layers.ground, 'path', [...spanPaths(model.spans ?? [], chart, palette), ...paths])
    .attr('d', (d) => d.d)
    .attr('fill', (d) => d.fill)
    .attr('fill-opacity', (d) => d.opacity)
    .attr('stroke', (d) => d.stroke)
    .attr('stroke-width', 0.8)
    .attr('stroke-dasharray', '2 2');
}

/** Bands, limits and lines; a line that is pointed at stands out. */
export function drawLinePaths(
  layers: SmallChartLayers,
  all: readonly SeriesRuns[],
  model: LineChartModel,
  chart: SmallChart,
  palette: Palette,
): void {
  drawBands(layers, model, chart, palette);
  const { left, right } = chart.frame;
  const limits = model.limits
    .filter((limit) => Number.isFinite(limit.value))
    .map((limit) => ({
      d: `M${left},${rounded(chart.y(limit.value))}H${right}`,
      stroke: palette[limit.severity],
      width: 1.6,
      dash: DASH.rated as string | null,
      fill: 'none',
    }));
  const series = all.flatMap((one) => {
    const { colour, dash, width } = lineLook(one.series, palette);
    return [
      { d: linePath(one.runs), stroke: colour, width, dash, fill: 'none' },
      { d: markersOf(one), stroke: colour, width: 1.5, dash: null, fill: palette.paper },
    ];
  });
  joinNodes(layers.lines, 'path', [...limits, ...series])
    .attr('d', (d) => d.d)
    .attr('stroke', (d) => d.stroke)
    .attr('stroke-width', (d) => d.width)
    .attr('stroke-dasharray', (d) => d.dash)
    .attr('fill', (d) => d.fill);
}

interface SpanPath {
  d: string;
  fill: string;
  opacity: number;
  stroke: string;
}

const HATCH_SPACING = 9;

/** Lines at 45 degrees in a box, cut at its sides: no pattern is needed, so that the drawing stands alone in a file. */
function hatch({ left, right, top, bottom }: PixelFrame, isRising: boolean): string {
  const height = bottom - top;
  let d = '';
  for (let start = left - height + HATCH_SPACING / 2; start < right; start += HATCH_SPACING) {
    const from = Math.max(left, start);
    const to = Math.min(right, start + height);
    if (to <= from) continue;
    const y = (x: number) => rounded(isRising ? bottom - (x - start) : top + (x - start));
    d += `M${rounded(from)},${y(from)}L${rounded(to)},${y(to)}`;
  }
  return d;
}

function boxOf(span: LineSpan, { x, frame }: SmallChart): PixelFrame | null {
  const left = Math.max(frame.left, x(span.from));
  const right = Math.min(frame.right, x(span.to));
  return right > left ? { ...frame, left, right } : null;
}

/** The stretches with their hatches, those of A rising and those of B falling, and a line where each ends. */
export function spanPaths(spans: readonly LineSpan[], chart: SmallChart, palette: Palette): SpanPath[] {
  return spans.flatMap((span) => {
    const box = boxOf(span, chart);
    if (box === null) return [];
    const { colour } = lineLook({ style: span.style, weight: 'main' }, palette);
    const { frame } = chart;
    const ends = [box.left, box.right].filter((x) => x > frame.left + 0.5 && x < frame.right - 0.5);
    const edges = ends.map((x) => `M${rounded(x)},${frame.top}V${frame.bottom}`).join('');
    return [
      { d: hatch(box, span.style !== 'b'), fill: 'none', opacity: 1, stroke: mixColour(palette.paper, colour, 0.4) },
      { d: edges, fill: 'none', opacity: 1, stroke: colour },
    ];
  });
}

/** The names of the stretches, high up where a share that is nothing leaves room. */
export function spanRequests(spans: readonly LineSpan[], chart: SmallChart): LabelRequest[] {
  return spans.flatMap((span) => {
    const box = boxOf(span, chart);
    if (box === null) return [];
    const height = box.bottom - box.top;
    const spots = [0.18, 0.36, 0.54, 0.72].flatMap((share, i) => [
      { x: (box.left + box.right) / 2, y: box.top + share * height, anchor: 'middle' as const, angle: 0, cost: i },
      { x: box.left + 6, y: box.top + share * height, anchor: 'start' as const, angle: 0, cost: i + 0.5 },
    ]);
    return [{ key: `span:${span.id}`, text: span.label, fontSize: CHART_FONT, bold: true, spots }];
  });
}

const LIMIT_ORDER: readonly Compass[] = ['n', 's'];
const ABOVE: readonly Compass[] = ['n', 'nw', 's', 'sw', 'ne', 'se'];
const BELOW: readonly Compass[] = ['s', 'sw', 'n', 'nw', 'se', 'ne'];
const NAME_ORDER: Readonly<Record<LineStyle, readonly Compass[]>> = {
  a: ABOVE,
  b: BELOW,
  plain: ABOVE,
  goal: BELOW,
  dashed: BELOW,
};

function longestRun({ runs }: SeriesRuns): PixelPoint[] {
  return runs.reduce((best, next) => (next.length > best.length ? next : best), [] as PixelPoint[]);
}

function alongRequests(all: readonly SeriesRuns[]): LabelRequest[] {
  return all
    .filter(({ series }) => series.name !== '')
    .map((one) => {
      const { series } = one;
      const run = longestRun(one);
      const spots = [0.9, 0.97, 0.78, 0.64, 0.5, 0.36, 0.22, 0.1].flatMap((share, i) => {
        const at = run[Math.round(share * (run.length - 1))];
        if (!at) return [];
        return [9, 18].flatMap((reach, far) =>
          spotsAround(at, reach, NAME_ORDER[series.style], 0.4, i * 0.7 + far * 2),
        );
      });
      return { key: series.id, text: series.name, fontSize: CHART_FONT, bold: true, spots };
    });
}

function limitRequests(model: LineChartModel, chart: SmallChart): LabelRequest[] {
  const { left, right } = chart.frame;
  return model.limits
    .filter((limit) => Number.isFinite(limit.value))
    .map((limit, index) => ({
      key: `limit:${index}`,
      text: limit.label,
      fontSize: CHART_FONT,
      bold: true,
      spots: [0.01, 0.2, 0.4, 0.6, 0.75].flatMap((share, i) =>
        spotsAround({ x: left + 4 + share * (right - left), y: chart.y(limit.value) }, 7, LIMIT_ORDER, 1, i * 0.5).map(
          (spot) => ({ ...spot, anchor: 'start' as const }),
        ),
      ),
    }));
}

/** Room that names at the ends of lines need right of the frame. */
export function endNamesRoom(model: LineChartModel): number {
  if (model.names !== 'end') return 20;
  return 18 + Math.ceil(Math.max(0, ...model.series.map(({ name }) => textWidth(name, CHART_FONT, true))));
}

const END_ROW = CHART_FONT * 1.15;

interface EndName extends PlacedLabel {
  /** From the end of the line to the name, where the name had to stand off. */
  leader: string;
}

/** Names at the ends of their lines, moved apart so that none covers another; each keeps the order of its line. */
function endNames(all: readonly SeriesRuns[], chart: SmallChart): EndName[] {
  const { right, top, bottom } = chart.frame;
  const named = all
    .flatMap(({ series, runs }) => {
      const end = runs.at(-1)?.at(-1);
      return end === undefined || series.name === '' ? [] : [{ series, end, y: end.y }];
    })
    .sort((a, b) => a.end.y - b.end.y);
  let least = top + END_ROW / 2;
  for (const one of named) {
    one.y = Math.max(one.y, least);
    least = one.y + END_ROW;
  }
  let most = bottom - END_ROW / 2;
  for (const one of named.toReversed()) {
    one.y = Math.min(one.y, most);
    most = one.y - END_ROW;
  }
  return named.map(({ series, end, y }) => ({
    key: series.id,
    text: series.name,
    x: right + 10,
    y,
    anchor: 'start' as const,
    angle: 0,
    fontSize: CHART_FONT,
    box: { x: right + 10, y, width: textWidth(series.name, CHART_FONT, true), height: END_ROW, angle: 0 },
    spot: 0,
    leader: `M${rounded(end.x + 2)},${rounded(end.y)}L${rounded(right + 8)},${rounded(y)}`,
  }));
}

/** Names of series and limits; gives back where they stand. */
export function drawLineLabels(
  layers: SmallChartLayers,
  all: readonly SeriesRuns[],
  model: LineChartModel,
  chart: SmallChart,
  palette: Palette,
): readonly LabelBox[] {
  const lines = [
    ...all.flatMap(({ runs }) => runs.map((points) => ({ points, weight: 4 }))),
    ...model.limits.map(({ value }) => ({
      points: [chart.frame.left, chart.frame.right].map((x) => ({ x, y: chart.y(value) })),
      weight: 3,
    })),
  ];
  const spans = model.spans ?? [];
  const ends = model.names === 'end' ? endNames(all, chart) : [];
  const names = model.names === 'end' ? [] : alongRequests(all);
  const placed = placeLabels([...limitRequests(model, chart), ...spanRequests(spans, chart), ...names], {
    frame: chart.frame,
    taken: [],
    lines,
  });
  const colours = new Map<string, string>([
    ...model.limits.map((limit, index): [string, string] => [`limit:${index}`, palette[limit.severity]]),
    ...model.series.map((one): [string, string] => [one.id, nameColour(one, palette)]),
    ...spans.map(({ id, style }): [string, string] => [
      `span:${id}`,
      lineLook({ style, weight: 'main' }, palette).colour,
    ]),
  ]);
  const colourOf = (key: string) => colours.get(key) ?? palette.ink;
  joinNodes(layers.labels, 'path', ends)
    .attr('d', (d) => d.leader)
    .attr('fill', 'none')
    .attr('stroke', (d) => colourOf(d.key))
    .attr('stroke-width', 0.8);
  drawLabels(layers.labels, [...placed, ...ends], palette.paper, (label) => ({
    fill: colourOf(label.key),
    weight: 600,
  }));
  return placed.map(({ box }) => box);
}

/** A name is always in the full colour: text must be readable where its line is pale. */
function nameColour(series: LineChartModel['series'][number], palette: Palette): string {
  return lineLook({ ...series, shade: 1 }, palette).colour;
}
