import type { CurvePoint } from '../numerics/types.ts';
import { candidateLook, candidateMarker } from './candidate-look.ts';
import { DASH } from './dashes.ts';
import { joinNodes } from './drawing.ts';
import type { LabelBox } from './label-box.ts';
import { type LabelRequest, placeLabels } from './label-placement.ts';
import { type Compass, spotsAround } from './label-spots.ts';
import type { LineChartModel, LineSeries } from './line-chart-model.ts';
import type { Palette } from './palette.ts';
import { linePath, pixelRuns, rounded } from './pixel-path.ts';
import type { PixelPoint } from './pixel-point.ts';
import { CHART_FONT, type SmallChart, speedText, valueText } from './small-chart.ts';
import type { SmallChartLayers } from './small-chart-layers.ts';
import { drawLabels } from './text-nodes.ts';

interface SeriesRuns {
  series: LineSeries;
  runs: PixelPoint[][];
}

const MARKER_SPACING = 46;

function runsOf(model: LineChartModel, chart: SmallChart): SeriesRuns[] {
  return model.series.map((series) => ({
    series,
    runs: pixelRuns(series.points, (point) => ({ x: chart.x(point.engineSpeedRpm), y: chart.y(point.value) })),
  }));
}

/** Markers at even distances, so that a series is known by its marker without crowding; B's stand between A's. */
function markersOf({ series, runs }: SeriesRuns): string {
  if (series.weight === 'second') return '';
  let d = '';
  for (const run of runs) {
    let next = (run[0]?.x ?? 0) + (series.style === 'a' ? 0.25 : 0.75) * MARKER_SPACING;
    if (run.length === 1) d += candidateMarker(series.style, run[0]!, 3);
    for (const point of run) {
      if (point.x < next) continue;
      d += candidateMarker(series.style, point, 3);
      next = point.x + MARKER_SPACING;
    }
  }
  return d;
}

function drawPaths(
  layers: SmallChartLayers,
  all: readonly SeriesRuns[],
  model: LineChartModel,
  chart: SmallChart,
  palette: Palette,
) {
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
  const series = all.flatMap(({ series: one, runs }) => {
    const { colour, dash } = candidateLook(one.style, palette);
    const width = one.weight === 'main' ? 2.2 : 1.2;
    return [
      { d: linePath(runs), stroke: colour, width, dash, fill: 'none' },
      { d: markersOf({ series: one, runs }), stroke: colour, width: 1.5, dash: null, fill: palette.paper },
    ];
  });
  joinNodes(layers.lines, 'path', [...limits, ...series])
    .attr('d', (d) => d.d)
    .attr('stroke', (d) => d.stroke)
    .attr('stroke-width', (d) => d.width)
    .attr('stroke-dasharray', (d) => d.dash)
    .attr('fill', (d) => d.fill);
}

const LIMIT_ORDER: readonly Compass[] = ['n', 's'];
const NAME_ORDER: Readonly<Record<'a' | 'b', readonly Compass[]>> = {
  a: ['n', 'nw', 's', 'sw', 'ne', 'se'],
  b: ['s', 'sw', 'n', 'nw', 'se', 'ne'],
};

function nameRequests(all: readonly SeriesRuns[]): LabelRequest[] {
  return all.map(({ series, runs }) => {
    const run = runs.reduce((best, next) => (next.length > best.length ? next : best), [] as PixelPoint[]);
    const spots = [0.9, 0.97, 0.78, 0.64, 0.5, 0.36, 0.22, 0.1].flatMap((share, i) => {
      const at = run[Math.round(share * (run.length - 1))];
      if (!at) return [];
      return [9, 18].flatMap((reach, far) => spotsAround(at, reach, NAME_ORDER[series.style], 0.4, i * 0.7 + far * 2));
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

/** Series, limits and their names. Returns the boxes of the names. */
export function drawLineChart(
  layers: SmallChartLayers,
  model: LineChartModel,
  chart: SmallChart,
  palette: Palette,
): LabelBox[] {
  const all = runsOf(model, chart);
  drawPaths(layers, all, model, chart, palette);
  const labels = placeLabels([...limitRequests(model, chart), ...nameRequests(all)], {
    frame: chart.frame,
    taken: [],
    lines: [
      ...all.flatMap(({ runs }) => runs.map((points) => ({ points, weight: 4 }))),
      ...model.limits.map(({ value }) => ({
        points: [chart.frame.left, chart.frame.right].map((x) => ({ x, y: chart.y(value) })),
        weight: 3,
      })),
    ],
  });
  const colours = new Map<string, string>([
    ...model.limits.map((limit, index): [string, string] => [`limit:${index}`, palette[limit.severity]]),
    ...model.series.map((one): [string, string] => [one.id, candidateLook(one.style, palette).colour]),
  ]);
  drawLabels(layers.labels, labels, palette.paper, (label) => ({
    fill: colours.get(label.key) ?? palette.ink,
    weight: 600,
  }));
  return labels.map((label) => label.box);
}

export interface PointedSeries {
  series: LineSeries;
  point: CurvePoint;
}

/** The point of each series at the engine speed nearest to one pointed at; series without a value there are left out. */
export function pointedSeries(model: LineChartModel, engineSpeedRpm: number): PointedSeries[] {
  return model.series.flatMap((series) => {
    let best: CurvePoint | null = null;
    for (const point of series.points) {
      if (!point || !Number.isFinite(point.value)) continue;
      const isNearer =
        best === null ||
        Math.abs(point.engineSpeedRpm - engineSpeedRpm) < Math.abs(best.engineSpeedRpm - engineSpeedRpm);
      if (isNearer) best = point;
    }
    return best ? [{ series, point: best }] : [];
  });
}

/** 'At 3,500 rpm, A 142,000 rpm, B 131,000 rpm' */
export function pointedText(model: LineChartModel, engineSpeedRpm: number): string {
  const { decimals, unit } = model.valueAxis;
  const values = pointedSeries(model, engineSpeedRpm).map(
    ({ series, point }) => `${series.name} ${valueText(point.value, decimals, unit)}`,
  );
  return [`At ${speedText(engineSpeedRpm)}`, ...values].join(', ');
}

/** The engine speed pointed at: a line, a dot and a value for each series. */
export function drawLinePointed(
  layers: SmallChartLayers,
  model: LineChartModel,
  chart: SmallChart,
  palette: Palette,
): void {
  const { frame } = chart;
  const speed = model.focusEngineSpeedRpm;
  const x = speed === null ? Number.NaN : chart.x(speed);
  const isShown = x >= frame.left && x <= frame.right;
  const pointed = isShown && speed !== null ? pointedSeries(model, speed) : [];
  const dots = pointed.map(({ series, point }) => ({
    key: series.id,
    series,
    point,
    x: chart.x(point.engineSpeedRpm),
    y: chart.y(point.value),
  }));
  const paths = isShown
    ? [{ d: `M${rounded(x)},${frame.top}V${frame.bottom}`, stroke: palette.ink, fill: 'none', width: 0.8 }]
    : [];
  for (const dot of dots) {
    const { colour } = candidateLook(dot.series.style, palette);
    paths.push({ d: candidateMarker(dot.series.style, dot, 4.5), stroke: palette.paper, fill: colour, width: 1 });
  }
  joinNodes(layers.pointed, 'path', paths)
    .attr('d', (d) => d.d)
    .attr('stroke', (d) => d.stroke)
    .attr('stroke-width', (d) => d.width)
    .attr('fill', (d) => d.fill);
  const { decimals, unit } = model.valueAxis;
  const labels = placeLabels(
    dots.map((dot) => ({
      key: dot.key,
      text: valueText(dot.point.value, decimals, unit),
      fontSize: CHART_FONT,
      bold: true,
      spots: [10, 22, 36].flatMap((reach, far) =>
        spotsAround(dot, reach, ['e', 'w', 'ne', 'nw', 'se', 'sw'], 0.3, far * 2),
      ),
    })),
    { frame, taken: dots.map((dot) => ({ x: dot.x, y: dot.y, width: 10, height: 10, angle: 0 })), lines: [] },
  );
  const styles = new Map(dots.map((dot) => [dot.key, dot.series.style]));
  drawLabels(layers.pointed, labels, palette.paper, (label) => ({
    fill: candidateLook(styles.get(label.key) ?? 'a', palette).colour,
    weight: 600,
  }));
}
