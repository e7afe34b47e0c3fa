import { type Axes, type LineAxis, valueText } from '../frame/axes.ts';
import { type Compass, spotsAround } from '../frame/labels.ts';
import { DASH, type LineStyle, lineLook, lineMarker, type Palette } from '../frame/looks.ts';
import { type DrawnLabel, type Mark, placed, type Shape, type StyledRequest } from '../frame/mark.ts';
import {
  boxAbout,
  LABEL_FONT,
  linePath,
  type PixelFrame,
  type PixelPoint,
  pixelRuns,
  rounded,
  textWidth,
} from '../frame/pixels.ts';

export interface LinePoint {
  x: number;
  value: number;
}

export interface LineSeries {
  id: string;
  /** Stands beside the line; '' for none. */
  name: string;
  style: LineStyle;
  /** True: the name stands there only while the line is pointed at. */
  namedWhenPointed?: boolean | undefined;
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
  points: readonly BandPoint[];
}

type BandPoint = { x: number; low: number; high: number } | null;

export interface LineLimit {
  /** 'limit 172,000 rpm' */
  label: string;
  value: number;
  severity: 'stop' | 'caution';
}

export function colourOf({ style }: { style: LineStyle }, palette: Palette): string {
  return lineLook({ style, weight: 'main' }, palette).colour;
}

/** The points of a line in pixels, broken where one is missing. */
function runsOf({ points }: Pick<LineSeries, 'points'>, { x, y }: Axes): PixelPoint[][] {
  return pixelRuns(points, (point) => ({ x: x(point.x), y: y(point.value) }));
}

const LIMIT_ORDER: readonly Compass[] = ['n', 's'];

/** Level lines across the chart. */
export const limitLines: Mark<{ limits: readonly LineLimit[] }, Axes> = {
  claims: ({ limits }, { frame, y }) => ({
    lines: limits.map(({ value }) => ({
      points: [frame.left, frame.right].map((x) => ({ x, y: y(value) })),
      weight: 3,
    })),
  }),
  render({ limits }, { frame, y }, context) {
    const { left, right } = frame;
    const drawn = limits.filter((limit) => Number.isFinite(limit.value));
    const requests = drawn.map(({ label, value, severity }, index): StyledRequest => {
      const spots = [0.01, 0.2, 0.4, 0.6, 0.75].flatMap((share, i) =>
        spotsAround({ x: left + 4 + share * (right - left), y: y(value) }, 7, LIMIT_ORDER, 1, i * 0.5),
      );
      return {
        key: `limit:${index}`,
        text: label,
        bold: true,
        spots: spots.map((spot) => ({ ...spot, anchor: 'start' })),
        fill: context.palette[severity],
        weight: 600,
      };
    });
    const lines = drawn.map(({ value, severity }) => ({
      d: `M${left},${rounded(y(value))}H${right}`,
      stroke: context.palette[severity],
      width: 1.6,
      dash: DASH.rated,
      fill: 'none',
    }));
    return { shapes: { lines }, labels: { labels: placed(requests, frame, context) } };
  },
};

/** Edges make a band legible where grey on grey would not be. */
export const BAND_EDGE = { fill: 'none', fillOpacity: 1, width: 0.8, dash: '2 2' };

/** The room of a band, out along its upper edge and back along its lower, and its edges alone. */
export function bandPaths(points: readonly BandPoint[], { x, y }: Pick<Axes, 'x' | 'y'>) {
  const edge = (side: 'low' | 'high') => pixelRuns(points, (p) => ({ x: x(p.x), y: y(p[side]) }));
  const [low, high] = [edge('low'), edge('high')];
  const fill = high.map((run, i) => linePath([[...run, ...(low[i] ?? []).toReversed()]], true)).join('');
  return { fill, edges: linePath([...low, ...high]) };
}

export const bands: Mark<{ bands: readonly LineBand[] }, Axes> = {
  render({ bands: all }, axes, { palette }) {
    const ground = all.flatMap((band): Shape[] => {
      const colour = colourOf(band, palette);
      const { fill, edges } = bandPaths(band.points, axes);
      return [
        { ...BAND_EDGE, d: fill, fill: colour, fillOpacity: 0.16, stroke: 'none' },
        { ...BAND_EDGE, d: edges, stroke: colour },
      ];
    });
    return { shapes: { ground } };
  },
};

const MARKER_SPACING = 46;
/** Where the first marker of a line stands, so that those of two lines do not cover each other. */
const FIRST_MARKER: Readonly<Record<LineStyle, number>> = {
  a: 0.25,
  b: 0.75,
  c: 0.5,
  d: 0,
  plain: 0,
  goal: 0.5,
  dashed: 0,
  creep: 0,
};

/** Markers at even distances, so that a series is known by its marker without crowding. */
function markersOf({ weight, style }: LineSeries, runs: readonly PixelPoint[][]): string {
  if (weight === 'second' && style !== 'goal') return '';
  let d = '';
  for (const run of runs) {
    let next = (run[0]?.x ?? 0) + FIRST_MARKER[style] * MARKER_SPACING;
    if (run.length === 1) d += lineMarker(style, run[0]!, 3);
    for (const point of run) {
      if (point.x < next) continue;
      d += lineMarker(style, point, 3);
      next = point.x + MARKER_SPACING;
    }
  }
  return d;
}

const ABOVE: readonly Compass[] = ['n', 'nw', 's', 'sw', 'ne', 'se'];
const BELOW: readonly Compass[] = ['s', 'sw', 'n', 'nw', 'se', 'ne'];
const NAME_ORDER: Readonly<Record<LineStyle, readonly Compass[]>> = {
  a: ABOVE,
  b: BELOW,
  c: ABOVE,
  d: BELOW,
  plain: ABOVE,
  goal: BELOW,
  dashed: BELOW,
  creep: BELOW,
};

type Named = Pick<LineSeries, 'id' | 'name' | 'style'> & { runs: readonly PixelPoint[][]; fill: string };

function nameAlong({ id, name, style, runs, fill }: Named): StyledRequest {
  const run = runs.reduce((best, next) => (next.length > best.length ? next : best), [] as PixelPoint[]);
  const spots = [0.9, 0.97, 0.78, 0.64, 0.5, 0.36, 0.22, 0.1].flatMap((share, i) => {
    const at = run[Math.round(share * (run.length - 1))];
    if (!at) return [];
    return [9, 18].flatMap((reach, far) => spotsAround(at, reach, NAME_ORDER[style], 0.4, i * 0.7 + far * 2));
  });
  return { key: id, text: name, bold: true, spots, fill, weight: 600 };
}

/** Room that names at the ends of lines need right of the frame. */
export function endNamesRoom(series: readonly LineSeries[]): number {
  return (
    18 +
    Math.ceil(
      Math.max(
        0,
        ...series.map(({ name, namedWhenPointed }) => (namedWhenPointed ? 0 : textWidth(name, LABEL_FONT, true))),
      ),
    )
  );
}

const ROW = LABEL_FONT * 1.15;

/** Names at the ends of their lines, moved apart so that none covers another; each keeps the order of its line. A leader where one stands off. */
function namesAtEnds(all: readonly Named[], { right, top, bottom }: PixelFrame) {
  const named = all
    .flatMap((one) => {
      const end = one.runs.at(-1)?.at(-1);
      return end === undefined ? [] : [{ ...one, end, y: end.y }];
    })
    .sort((a, b) => a.end.y - b.end.y);
  let least = top + ROW / 2;
  for (const one of named) {
    one.y = Math.max(one.y, least);
    least = one.y + ROW;
  }
  let most = bottom - ROW / 2;
  for (const one of named.toReversed()) {
    one.y = Math.min(one.y, most);
    most = one.y - ROW;
  }
  const x = right + 10;
  return {
    leaders: named.map(({ end, y, fill }) => ({
      d: `M${rounded(end.x + 2)},${rounded(end.y)}L${rounded(right + 8)},${rounded(y)}`,
      fill: 'none',
      stroke: fill,
      width: 0.8,
    })),
    names: named.map(
      ({ id, name, y, fill }): DrawnLabel => ({
        key: id,
        text: name,
        x,
        y,
        anchor: 'start',
        angle: 0,
        box: boxAbout({ x, y }, textWidth(name, LABEL_FONT, true), ROW),
        spot: 0,
        fill,
        weight: 600,
      }),
    ),
  };
}

/** Lines with markers and names. */
export const seriesLines: Mark<{ series: readonly LineSeries[]; names: 'along' | 'end' }, Axes> = {
  claims: ({ series }, axes) => ({
    lines: series.flatMap((one) => runsOf(one, axes).map((points) => ({ points, weight: 4 }))),
  }),
  render({ series, names }, axes, context) {
    const { palette } = context;
    const all = series.map((one) => ({ one, runs: runsOf(one, axes) }));
    const lines = all.flatMap(({ one, runs }): Shape[] => {
      const { colour, dash, width } = lineLook(one, palette);
      return [
        { d: linePath(runs), stroke: colour, width, dash, fill: 'none' },
        { d: markersOf(one, runs), stroke: colour, width: 1.5, fill: palette.paper },
      ];
    });
    // A name is always in the full colour: text must be readable where its line is pale.
    const named = all
      .filter(({ one }) => one.name !== '' && one.namedWhenPointed !== true)
      .map(({ one, runs }) => ({ ...one, runs, fill: colourOf(one, palette) }));
    if (names === 'end') {
      const ends = namesAtEnds(named, axes.frame);
      return { shapes: { lines, labels: ends.leaders }, labels: { labels: ends.names } };
    }
    const labels = placed(named.map(nameAlong), axes.frame, context);
    return { shapes: { lines }, labels: { labels } };
  },
};

/** The point of each series at the place nearest to one pointed at; series without a value there are left out. */
export function pointedSeries(series: readonly LineSeries[], x: number): { one: LineSeries; point: LinePoint }[] {
  return series.flatMap((one) => {
    if (one.quiet) return [];
    let best: LinePoint | null = null;
    for (const point of one.points) {
      if (!point || !Number.isFinite(point.value)) continue;
      if (best === null || Math.abs(point.x - x) < Math.abs(best.x - x)) best = point;
    }
    return best ? [{ one, point: best }] : [];
  });
}

interface SeriesFocus {
  series: readonly LineSeries[];
  valueAxis: LineAxis;
  focusX: number | null;
  focusSeriesId: string | null;
}

/** What is pointed at: a line across, the series that stands out, a dot and a value clear of all names. A value without room is left out. */
export const seriesPointed: Mark<SeriesFocus, Axes> = {
  render({ series, valueAxis, focusX, focusSeriesId }, axes, { palette, taken }) {
    const { frame } = axes;
    const x = focusX === null ? Number.NaN : axes.x(focusX);
    const isShown = x >= frame.left - 0.5 && x <= frame.right + 0.5;
    const across = { d: `M${rounded(x)},${frame.top}V${frame.bottom}`, stroke: palette.ink, fill: 'none', width: 0.8 };
    const dots = (isShown && focusX !== null ? pointedSeries(series, focusX) : [])
      .filter(({ one: { id, style } }) => focusSeriesId === null || id === focusSeriesId || style === 'goal')
      .map(({ one, point }) => ({
        one,
        point,
        x: axes.x(point.x),
        y: axes.y(point.value),
        fill: colourOf(one, palette),
      }));
    const chosen = series.filter(({ id }) => id === focusSeriesId);
    const pointed: Shape[] = [
      ...(isShown ? [across] : []),
      ...chosen.map((one) => ({
        d: linePath(runsOf(one, axes)),
        stroke: colourOf(one, palette),
        fill: 'none',
        width: 3,
      })),
      ...dots.map(({ one: { style }, fill, ...at }) => {
        const d = lineMarker(style === 'plain' || style === 'dashed' || style === 'creep' ? 'a' : style, at, 4.5);
        return style === 'goal'
          ? { d, stroke: fill, fill: 'none', width: 2 }
          : { d, stroke: palette.paper, fill, width: 1 };
      }),
    ];
    const requests = dots.map(({ one, point, fill, ...at }): StyledRequest => {
      const spots = [10, 20, 32].flatMap((reach, far) =>
        spotsAround(at, reach, ['e', 'w', 'ne', 'nw', 'se', 'sw'], 0.3, far * 2),
      );
      const text = valueText(point.value, valueAxis);
      return { key: one.id, text, bold: true, spots, fill, weight: 600 };
    });
    const names = chosen
      .filter(({ namedWhenPointed }) => namedWhenPointed)
      .map((one) => nameAlong({ ...one, runs: runsOf(one, axes), fill: colourOf(one, palette) }));
    const labels = placed([...requests, ...names.map((name) => ({ ...name, key: `name:${name.key}` }))], frame, {
      taken: [...taken, ...dots.map((at) => boxAbout(at, 10))],
      lines: series.flatMap((one) => runsOf(one, axes).map((points) => ({ points, weight: 2.2 }))),
    });
    return { shapes: { pointed }, labels: { pointed: labels } };
  },
};
