import type { Selection } from 'd3';
import type { CurvePoint } from '../../numerics/types.ts';
import { type Axes, SPEED_AXIS, valueText } from '../frame/axes.ts';
import { spotsAround } from '../frame/labels.ts';
import { DASH } from '../frame/looks.ts';
import { type Mark, placed, type Shape, type StyledRequest } from '../frame/mark.ts';
import { joinNodes } from '../frame/nodes.ts';
import { boxAbout, linePath, type PixelPoint, pixelRuns, rounded } from '../frame/pixels.ts';

export interface CurveValueAxis {
  /** 'Volumetric efficiency' */
  title: string;
  /** '%', 'kPa'; '' for a plain ratio. */
  unit: string;
  /** Values beyond these cannot be dragged to. */
  min: number;
  max: number;
  /** Values are dragged and nudged in these steps; > 0. */
  step: number;
  /** Decimals of the value's label. */
  decimals: number;
}

export interface DrawnPoint extends PixelPoint {
  index: number;
  point: CurvePoint;
}

/** Points with a place on the drawing, with their index in the model. */
function drawnPoints(points: readonly CurvePoint[], { x, y }: Axes): DrawnPoint[] {
  return points
    .map((point, index) => ({ index, point, x: x(point.engineSpeedRpm), y: y(point.value) }))
    .filter((at) => Number.isFinite(at.x) && Number.isFinite(at.y));
}

/** The curve and its constant continuation. */
export const curveLines: Mark<{ points: readonly CurvePoint[] }, Axes> = {
  claims: ({ points }, axes) => ({ lines: [{ points: drawnPoints(points, axes), weight: 3 }] }),
  render({ points }, axes, { palette }) {
    const { left, right } = axes.frame;
    const own = drawnPoints(points, axes);
    const [first, last] = [own[0], own.at(-1)];
    const ends =
      first && last
        ? [
            [{ x: left, y: first.y }, first],
            [last, { x: right, y: last.y }],
          ]
        : [];
    const runs = pixelRuns(points, (point) => ({ x: axes.x(point.engineSpeedRpm), y: axes.y(point.value) }));
    const lines: Shape[] = [
      { d: linePath(ends), stroke: palette.inkSoft, dash: DASH.extended, width: 1.4 },
      { d: linePath(runs), stroke: palette.ink, width: 2 },
    ];
    return { shapes: { lines } };
  },
};

export type PointGroups = Selection<SVGGElement, DrawnPoint, SVGGElement, unknown>;

interface CurvePoints {
  points: readonly CurvePoint[];
  valueAxis: CurveValueAxis;
  /** Index of the point that is held, hovered or focused. */
  active: number | null;
  /** Listens to the points once they are drawn. */
  hear: (groups: PointGroups) => void;
}

/** '96 % at 3,500 rpm' */
function pointText({ engineSpeedRpm, value }: CurvePoint, valueAxis: CurveValueAxis): string {
  return `${valueText(value, valueAxis)} at ${valueText(engineSpeedRpm, SPEED_AXIS)}`;
}

/** The points to drag: a visible marker in a target of 24 pixels, each a slider for the keyboard and the screen reader. */
export const curvePoints: Mark<CurvePoints, Axes> = {
  claims: ({ points }, axes) => ({ room: drawnPoints(points, axes).map((at) => boxAbout(at, 12)) }),
  render: ({ points, valueAxis, active, hear }, axes, { palette }) => ({
    nodes: {
      points(group) {
        const groups = joinNodes(group, 'g', drawnPoints(points, axes))
          .attr('tabindex', 0)
          .attr('role', 'slider')
          .attr('aria-orientation', 'vertical')
          .attr('aria-label', (d) => `${valueAxis.title}, point ${d.index + 1} of ${points.length}`)
          .attr('aria-valuemin', valueAxis.min)
          .attr('aria-valuemax', valueAxis.max)
          .attr('aria-valuenow', (d) => d.point.value)
          .attr('aria-valuetext', (d) => pointText(d.point, valueAxis))
          .attr('transform', (d) => `translate(${rounded(d.x)},${rounded(d.y)})`)
          .style('cursor', (d) => (d.index === 0 || d.index === points.length - 1 ? 'ns-resize' : 'move'))
          .style('touch-action', 'none');
        groups
          .selectAll<SVGCircleElement, DrawnPoint>('circle')
          .data(({ index }) => {
            const isActive = index === active;
            const fill = isActive ? palette.ink : palette.paper;
            return [
              { r: 12, fill: 'transparent', stroke: 'none' },
              { r: isActive ? 6.5 : 4.5, fill, stroke: palette.ink },
            ];
          })
          .join('circle')
          .attr('r', (d) => d.r)
          .attr('fill', (d) => d.fill)
          .attr('stroke', (d) => d.stroke)
          .attr('stroke-width', 2);
        hear(groups);
      },
    },
  }),
};

const AROUND = ['n', 'ne', 'nw', 's', 'se', 'sw', 'e', 'w'] as const;

/** The value beside the active point. */
export const curvePointed: Mark<Omit<CurvePoints, 'hear'>, Axes> = {
  render({ points, valueAxis, active }, axes, { palette }) {
    const held = drawnPoints(points, axes).filter(({ index }) => index === active);
    const requests = held.map(
      (at): StyledRequest => ({
        key: 'held',
        text: pointText(at.point, valueAxis),
        bold: true,
        spots: [...spotsAround(at, 13, AROUND, 0.5), ...spotsAround(at, 24, AROUND, 0.5, 3)],
        fill: palette.ink,
        weight: 600,
      }),
    );
    return { labels: { pointed: placed(requests, axes.frame, {}) } };
  },
};
