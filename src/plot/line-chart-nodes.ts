import { DASH } from './dashes.ts';
import { joinNodes } from './drawing.ts';
import type { LineBand, LineChartModel, LineSeries } from './line-chart-model.ts';
import { spanPaths } from './line-chart-spans.ts';
import { lineLook, lineMarker } from './line-look.ts';
import type { Palette } from './palette.ts';
import { linePath, pixelRuns, rounded } from './pixel-path.ts';
import type { PixelPoint } from './pixel-point.ts';
import type { SmallChart } from './small-chart.ts';
import type { SmallChartLayers } from './small-chart-layers.ts';

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
