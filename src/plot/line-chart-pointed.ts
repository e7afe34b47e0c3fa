import { joinNodes } from './drawing.ts';
import type { LabelBox } from './label-box.ts';
import { placeLabels } from './label-placement.ts';
import { spotsAround } from './label-spots.ts';
import type { LineChartModel, LinePoint, LineSeries } from './line-chart-model.ts';
import { lineLook, lineMarker } from './line-look.ts';
import type { Palette } from './palette.ts';
import { linePath, pixelRuns, rounded } from './pixel-path.ts';
import { CHART_FONT, type SmallChart, valueText } from './small-chart.ts';
import type { SmallChartLayers } from './small-chart-layers.ts';
import { drawLabels } from './text-nodes.ts';

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
