import type { CurvePoint } from '../../numerics/types.ts';
import type { CurveChartModel } from '../charts/curve-edit.ts';
import { CHART_FONT, type SmallChart, speedText, valueText } from '../frame/axes.ts';
import { drawLabels, joinNodes } from '../frame/drawing.ts';
import { type LabelRequest, placeLabels, spotsAround } from '../frame/labels.ts';
import { linePath, type PixelPoint, pixelRuns, rounded } from '../frame/pixels.ts';
import type { SmallChartLayers } from '../frame/small-chart.ts';
import type { Palette } from '../palette.ts';
import { candidateLook, DASH } from './looks.ts';

export interface DrawnPoint extends PixelPoint {
  index: number;
  point: CurvePoint;
}

/** Points with a place on the drawing, with their index in the model. */
export function drawnPoints(model: CurveChartModel, chart: SmallChart): DrawnPoint[] {
  return model.points
    .map((point, index) => ({ index, point, x: chart.x(point.engineSpeedRpm), y: chart.y(point.value) }))
    .filter(({ x, y }) => Number.isFinite(x) && Number.isFinite(y));
}

/** '96 % at 3,500 rpm' */
export function pointText(model: CurveChartModel, point: CurvePoint): string {
  const { decimals, unit } = model.valueAxis;
  return `${valueText(point.value, decimals, unit)} at ${speedText(point.engineSpeedRpm)}`;
}

function constantEnds(points: readonly DrawnPoint[], chart: SmallChart): string {
  const first = points[0];
  const last = points.at(-1);
  if (!first || !last) return '';
  const { left, right } = chart.frame;
  return linePath([
    [{ x: left, y: first.y }, first],
    [last, { x: right, y: last.y }],
  ]);
}

/** The curve, its constant continuation and the overlays. */
export function drawCurveLines(
  layers: SmallChartLayers,
  model: CurveChartModel,
  chart: SmallChart,
  palette: Palette,
): void {
  const toPixel = (point: CurvePoint) => ({ x: chart.x(point.engineSpeedRpm), y: chart.y(point.value) });
  const overlays = model.overlays.map((overlay) => ({ ...overlay, runs: pixelRuns(overlay.points, toPixel) }));
  const paths = [
    ...overlays.map(({ runs, style }) => ({ d: linePath(runs), ...candidateLook(style, palette), width: 1.6 })),
    { d: constantEnds(drawnPoints(model, chart), chart), colour: palette.inkSoft, dash: DASH.extended, width: 1.4 },
    { d: linePath(pixelRuns(model.points, toPixel)), colour: palette.ink, dash: null, width: 2 },
  ];
  joinNodes(layers.lines, 'path', paths)
    .attr('d', (d) => d.d)
    .attr('stroke', (d) => d.colour)
    .attr('stroke-dasharray', (d) => d.dash)
    .attr('stroke-width', (d) => d.width);
  const requests: LabelRequest[] = overlays.flatMap(({ id, name, runs }) => {
    const run = runs.at(-1) ?? [];
    const spots = [0.95, 0.75, 0.5, 0.25].flatMap((share, i) => {
      const at = run[Math.round(share * (run.length - 1))];
      return at ? spotsAround(at, 9, ['s', 'n', 'sw', 'nw', 'se', 'ne'], 0.3, i) : [];
    });
    return [{ key: id, text: name, fontSize: CHART_FONT, spots }];
  });
  const own = drawnPoints(model, chart);
  const labels = placeLabels(requests, {
    frame: chart.frame,
    taken: own.map(({ x, y }) => ({ x, y, width: 12, height: 12, angle: 0 })),
    lines: [
      { points: own, weight: 3 },
      ...overlays.flatMap(({ runs }) => runs.map((points) => ({ points, weight: 3 }))),
    ],
  });
  const styles = new Map(model.overlays.map(({ id, style }) => [id, style]));
  drawLabels(layers.labels, labels, palette.paper, (label) => ({
    fill: candidateLook(styles.get(label.key) ?? 'a', palette).colour,
    weight: 600,
  }));
}

/** The points to drag: a visible marker in a target of 24 pixels, each a slider for the keyboard and the screen reader. */
export function drawCurvePoints(
  layers: SmallChartLayers,
  model: CurveChartModel,
  chart: SmallChart,
  palette: Palette,
  active: number | null,
) {
  const { min, max, title } = model.valueAxis;
  const groups = joinNodes(layers.points, 'g', drawnPoints(model, chart))
    .attr('tabindex', 0)
    .attr('role', 'slider')
    .attr('aria-orientation', 'vertical')
    .attr('aria-label', (d) => `${title}, point ${d.index + 1} of ${model.points.length}`)
    .attr('aria-valuemin', min)
    .attr('aria-valuemax', max)
    .attr('aria-valuenow', (d) => d.point.value)
    .attr('aria-valuetext', (d) => pointText(model, d.point))
    .attr('transform', (d) => `translate(${rounded(d.x)},${rounded(d.y)})`)
    .style('cursor', (d) => (d.index === 0 || d.index === model.points.length - 1 ? 'ns-resize' : 'move'))
    .style('touch-action', 'none');
  groups
    .selectAll<SVGCircleElement, DrawnPoint>('circle')
    .data((d) => [
      { r: 12, d },
      { r: d.index === active ? 6.5 : 4.5, d },
    ])
    .join('circle')
    .attr('r', ({ r }) => r)
    .attr('fill', ({ r, d }) => (r === 12 ? 'transparent' : d.index === active ? palette.ink : palette.paper))
    .attr('stroke', ({ r }) => (r === 12 ? 'none' : palette.ink))
    .attr('stroke-width', 2);
  return groups;
}

/** The value beside the point that is held, focused or hovered, and the line of an engine speed pointed at elsewhere. */
export function drawCurvePointed(
  layers: SmallChartLayers,
  model: CurveChartModel,
  chart: SmallChart,
  palette: Palette,
  active: number | null,
): void {
  const { frame } = chart;
  const speed = model.focusEngineSpeedRpm;
  const at = speed === null ? Number.NaN : chart.x(speed);
  const guide = at >= frame.left && at <= frame.right ? [`M${rounded(at)},${frame.top}V${frame.bottom}`] : [];
  joinNodes(layers.pointed, 'path', guide)
    .attr('d', (d) => d)
    .attr('stroke', palette.ink)
    .attr('stroke-width', 0.8)
    .attr('stroke-opacity', 0.6);
  const held = drawnPoints(model, chart).find(({ index }) => index === active);
  const labels = held
    ? placeLabels(
        [
          {
            key: 'held',
            text: pointText(model, held.point),
            fontSize: CHART_FONT,
            bold: true,
            spots: [
              ...spotsAround(held, 13, ['n', 'ne', 'nw', 's', 'se', 'sw', 'e', 'w'], 0.5),
              ...spotsAround(held, 24, ['n', 'ne', 'nw', 's', 'se', 'sw', 'e', 'w'], 0.5, 3),
            ],
          },
        ],
        { frame, taken: [], lines: [] },
      )
    : [];
  drawLabels(layers.pointed, labels, palette.paper, () => ({ fill: palette.ink, weight: 600 }));
}
