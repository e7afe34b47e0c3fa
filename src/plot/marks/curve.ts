import type { Selection } from 'd3';
import type { CurvePoint } from '../../numerics/types.ts';
import { type Axes, SPEED_AXIS, valueText } from '../frame/axes.ts';
import { spotsAround } from '../frame/labels.ts';
import { type CandidateStyle, candidateLook, DASH } from '../frame/looks.ts';
import { boxAbout, inked, joinNodes, type Mark, placed, type Shape, type StyledRequest } from '../frame/mark.ts';
import { LABEL_FONT, linePath, type PixelPoint, pixelRuns, rounded } from '../frame/pixels.ts';

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

export interface CurveOverlay {
  id: string;
  name: string;
  style: CandidateStyle;
  points: readonly (CurvePoint | null)[];
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

function runsOf(points: readonly (CurvePoint | null)[], { x, y }: Axes): PixelPoint[][] {
  return pixelRuns(points, (point) => ({ x: x(point.engineSpeedRpm), y: y(point.value) }));
}

function overlayName({ id, name, style, points }: CurveOverlay, axes: Axes, fill: string): StyledRequest {
  const run = runsOf(points, axes).at(-1) ?? [];
  const spots = [0.95, 0.75, 0.5, 0.25].flatMap((share, i) => {
    const at = run[Math.round(share * (run.length - 1))];
    return at ? spotsAround(at, 9, ['s', 'n', 'sw', 'nw', 'se', 'ne'], 0.3, i) : [];
  });
  return { key: `${style}:${id}`, text: name, fontSize: LABEL_FONT, spots, fill, weight: 600 };
}

/** The curve, its constant continuation and the overlays. */
export const curveLines: Mark<{ points: readonly CurvePoint[]; overlays: readonly CurveOverlay[] }, Axes> = {
  claims: ({ points, overlays }, axes) => ({
    lines: [
      { points: drawnPoints(points, axes), weight: 3 },
      ...overlays.flatMap((one) => runsOf(one.points, axes).map((run) => ({ points: run, weight: 3 }))),
    ],
  }),
  render({ points, overlays }, axes, context) {
    const { palette } = context;
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
    const lines: Shape[] = [
      ...overlays.map((one) => {
        const { colour, dash } = candidateLook(one.style, palette);
        return { d: linePath(runsOf(one.points, axes)), stroke: colour, dash, width: 1.6 };
      }),
      { d: linePath(ends), stroke: palette.inkSoft, dash: DASH.extended, width: 1.4 },
      { d: linePath(runsOf(points, axes)), stroke: palette.ink, width: 2 },
    ];
    const names = overlays.map((one) => overlayName(one, axes, candidateLook(one.style, palette).colour));
    return { shapes: { lines }, labels: { labels: placed(names, axes.frame, context) } };
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

/** The value beside the active point, and the line of an engine speed pointed at elsewhere. */
export const curvePointed: Mark<Omit<CurvePoints, 'hear'> & { engineSpeedRpm: number | null }, Axes> = {
  render({ points, valueAxis, active, engineSpeedRpm }, axes, { palette }) {
    const { frame } = axes;
    const x = engineSpeedRpm === null ? Number.NaN : axes.x(engineSpeedRpm);
    const d = x >= frame.left && x <= frame.right ? `M${rounded(x)},${frame.top}V${frame.bottom}` : '';
    const held = drawnPoints(points, axes).filter(({ index }) => index === active);
    const requests = held.map(
      (at): StyledRequest => ({
        key: 'held',
        text: pointText(at.point, valueAxis),
        fontSize: LABEL_FONT,
        bold: true,
        spots: [...spotsAround(at, 13, AROUND, 0.5), ...spotsAround(at, 24, AROUND, 0.5, 3)],
        fill: palette.ink,
        weight: 600,
      }),
    );
    return {
      shapes: { pointed: inked([{ d, stroke: palette.ink, width: 0.8, strokeOpacity: 0.6 }]) },
      labels: { pointed: placed(requests, frame, {}) },
    };
  },
};
