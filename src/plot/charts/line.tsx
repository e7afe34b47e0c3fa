import { pointer } from 'd3';
import { nearestIndex } from '../../numerics/index.ts';
import { type Axes, axisTitle, type LineAxis, roomyRange, smallChart, valueText } from '../frame/axes.ts';
import { chartComponent } from '../frame/ChartHost.tsx';
import {
  type By,
  type ChartKind,
  type LiveChart,
  listenToPointing,
  type PointHandlers,
  SMALL_LAYERS,
  steppedPlace,
} from '../frame/live.ts';
import { type LineStyle, mixColour } from '../frame/looks.ts';
import { bound, type Mark, placed, type Shape, type StyledRequest } from '../frame/mark.ts';
import { type PixelFrame, type PlotSize, rounded } from '../frame/pixels.ts';
import {
  BAND_EDGE,
  bands,
  colourOf,
  endNamesRoom,
  type LineBand,
  type LineLimit,
  type LineSeries,
  limitLines,
  pointedSeries,
  seriesLines,
  seriesPointed,
} from '../marks/series.ts';

/** A stretch of the x axis: where the wastegate is shut, say. */
export interface LineSpan {
  id: string;
  style: LineStyle;
  from: number;
  to: number;
  /** Stands in it where there is room. */
  label: string;
}

const HATCH_SPACING = 9;

/** Lines at 45 degrees in a box, cut at its sides: no pattern is needed, so that the drawing stands alone in a file. */
function hatchIn({ left, right, top, bottom }: PixelFrame, isRising: boolean): string {
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

/** The stretches with their hatches, those of A rising and those of B falling, and a line where each ends. */
const spanHatches: Mark<{ spans: readonly LineSpan[] }, Axes> = {
  render({ spans }, { frame, x }, context) {
    const { palette } = context;
    const boxes = spans.flatMap((span) => {
      const box = { ...frame, left: Math.max(frame.left, x(span.from)), right: Math.min(frame.right, x(span.to)) };
      return box.right > box.left ? [{ span, box, colour: colourOf(span, palette) }] : [];
    });
    const ground = boxes.flatMap(({ span, box, colour }): Shape[] => {
      const ends = [box.left, box.right].filter((at) => at > frame.left + 0.5 && at < frame.right - 0.5);
      const edges = ends.map((at) => `M${rounded(at)},${frame.top}V${frame.bottom}`).join('');
      return [
        { d: hatchIn(box, span.style !== 'b'), stroke: mixColour(palette.paper, colour, 0.4), ...BAND_EDGE },
        { d: edges, stroke: colour, ...BAND_EDGE },
      ];
    });
    // High up, where a share that is nothing leaves room.
    const requests = boxes.map(({ span, box, colour }): StyledRequest => {
      const spots = [0.18, 0.36, 0.54, 0.72].flatMap((share, i) => {
        const y = box.top + share * (box.bottom - box.top);
        return [
          { x: (box.left + box.right) / 2, y, anchor: 'middle' as const, angle: 0, cost: i },
          { x: box.left + 6, y, anchor: 'start' as const, angle: 0, cost: i + 0.5 },
        ];
      });
      const key = `span:${span.id}`;
      return { key, text: span.label, bold: true, spots, fill: colour, weight: 600 };
    });
    return { shapes: { ground }, labels: { labels: placed(requests, frame, context) } };
  },
};

/** The stretch that is selected: a tinted ground between two edges. */
const selectedStretch: Mark<{ selected: readonly [number, number] | null }, Axes> = {
  render({ selected }, { frame, x }, { palette }) {
    if (selected === null) return {};
    const [from, to] = selected.map((at) => Math.min(Math.max(x(at), frame.left), frame.right)) as [number, number];
    if (!(to > from)) return {};
    const side = (at: number) => `M${rounded(at)},${frame.top}V${frame.bottom}`;
    const box = `${side(from)}H${rounded(to)}V${frame.top}Z`;
    return {
      shapes: {
        ground: [
          { d: box, fill: mixColour(palette.paper, palette.ink, 0.1), stroke: 'none', width: 0 },
          { d: side(from) + side(to), fill: 'none', stroke: palette.inkSoft, width: 1 },
        ],
      },
    };
  },
};

/** A small chart of one quantity over another (engine speed, altitude): series, bands, limits, and a pointer that other charts follow. */
export interface LineChartModel {
  xAxis: LineAxis & { min: number; max: number };
  valueAxis: LineAxis & {
    /** Kept in view whatever the series hold: a zero line, a target. */
    include?: readonly number[];
    /** The axis does not run past these: no values lie there (0 and 100 of a share in per cent). */
    bounds?: { low?: number; high?: number } | undefined;
  };
  /** Behind the lines. */
  bands?: readonly LineBand[] | undefined;
  /** Stretches of the x axis that have a name, hatched. */
  spans?: readonly LineSpan[] | undefined;
  series: readonly LineSeries[];
  limits?: readonly LineLimit[] | undefined;
  /** 'end': names stand right of the frame at the ends of their lines, for many lines that run alongside. 'along', as usual: on the lines. */
  names?: 'along' | 'end';
  /** Room for this beside the value axis at least. */
  widestTick?: string;
  /** Place on the x axis pointed at, here or elsewhere. */
  focusX: number | null;
  /** The series pointed at, drawn heavier and alone with its value; null: all show theirs. */
  focusSeriesId: string | null;
  /** The stretch of the x axis that is selected; only where the owner hears of it. */
  selected?: readonly [number, number] | null | undefined;
}

/** A line chart without what is pointed at, so that pointing draws nothing anew. */
export type StandingLines = Omit<LineChartModel, 'focusX' | 'focusSeriesId'>;

/** A place and the series nearest to the pointer there; by keys the one that stands out, or the first. */
interface LinePlace {
  x: number;
  seriesId: string;
}

export type LinePointed = LinePlace & By;

interface LineChartHandlers extends PointHandlers<LinePointed> {
  /** A stretch is selected by dragging or by Shift and the arrow keys; null: let go by double click or Escape. `done` is false in mid-drag. */
  onSelect?: ((stretch: readonly [number, number] | null, state: { done: boolean }) => void) | undefined;
}

// One of each for ever: what is drawn is compared by identity.
const NO_BANDS: readonly LineBand[] = [];
const NO_LIMITS: readonly LineLimit[] = [];
const NO_SPANS: readonly LineSpan[] = [];

function axesOf(model: LineChartModel, size: PlotSize): Axes {
  const { xAxis, valueAxis, series, bands: all = NO_BANDS, limits = NO_LIMITS, names, widestTick } = model;
  const { include = [], bounds } = valueAxis;
  const values = [
    ...include,
    ...limits.map((limit) => limit.value),
    ...series.flatMap(({ points }) => points.map((point) => point?.value ?? Number.NaN)),
    ...all.flatMap(({ points }) => points.flatMap((point) => (point ? [point.low, point.high] : []))),
  ];
  const range = roomyRange(values, 0, 0.06, { low: bounds?.low ?? -Infinity, high: bounds?.high ?? Infinity });
  const room = names === 'end' ? { right: endNamesRoom(series) } : {};
  const chart = smallChart(size, { low: xAxis.min, high: xAxis.max }, range, { ...room, widestTick });
  return { ...chart, xTitle: axisTitle(xAxis), yTitle: '', heading: axisTitle(valueAxis) };
}

/** Places of all series on the x axis, rising, each once. */
function placesOf({ series }: LineChartModel): number[] {
  const places = series.flatMap(({ quiet, points }) =>
    (quiet ? [] : points).flatMap((point) => (point && Number.isFinite(point.value) ? [point.x] : [])),
  );
  return [...new Set(places)].filter(Number.isFinite).sort((a, b) => a - b);
}

/** 'At 3,500 rpm, A 142,000 rpm, B 131,000 rpm' */
function pointedText({ series, focusSeriesId, xAxis, valueAxis }: LineChartModel, place: LinePlace): string {
  // Spoken with the series that the owner will have put in focus, if it does.
  const values = pointedSeries(series, place.x)
    .filter(({ one }) => focusSeriesId === null || one.id === place.seriesId)
    .map(({ one, point }) => `${one.name} ${valueText(point.value, valueAxis)}`);
  return [`At ${valueText(place.x, xAxis)}`, ...values].join(', ');
}

/** Up and down walk the series in their order where one of them stands out; else they all are read together. */
function steppedSeries(key: string, { series, focusSeriesId }: LineChartModel): string | null {
  const ids = series.map(({ id }) => id);
  const at = focusSeriesId === null ? 0 : ids.indexOf(focusSeriesId);
  const step = key === 'ArrowUp' ? 1 : key === 'ArrowDown' ? -1 : 0;
  return ids[Math.min(Math.max(at + step, 0), ids.length - 1)] ?? null;
}

export const LINE_KIND: ChartKind<LineChartModel, LineChartHandlers> = {
  name: 'line chart',
  keys: ({ xAxis: { title } }) => {
    const place = title.toLowerCase();
    return `Left and right arrow read ${place} by ${place}.`;
  },
  layers: SMALL_LAYERS,
  framed: ({ xAxis, valueAxis, series, bands: all, limits, names }) => [xAxis, valueAxis, series, all, limits, names],
  axes: axesOf,
  marks: [
    bound(limitLines, ({ limits = NO_LIMITS }) => ({ limits })),
    bound(spanHatches, ({ spans = NO_SPANS }) => ({ spans })),
    bound(selectedStretch, ({ selected = null }) => ({ selected })),
    bound(bands, ({ bands: all = NO_BANDS }) => ({ bands: all })),
    bound(seriesLines, ({ series, names = 'along' }) => ({ series, names })),
    bound(seriesPointed, ({ series, valueAxis, focusX, focusSeriesId }) => ({
      series,
      valueAxis,
      focusX,
      focusSeriesId,
    })),
  ],
  listen: (live) => {
    listenToSelecting(live);
    listenToPointing<LineChartModel, LinePlace, Axes>(live, {
      under(model, { frame, x, y }, pixel) {
        const isInside = pixel.x >= frame.left && pixel.x <= frame.right;
        const places = placesOf(model);
        const place = places[nearestIndex(places, x.invert(pixel.x))];
        if (!isInside || place === undefined) return null;
        const there = pointedSeries(model.series, place).map(({ one, point }) => ({
          seriesId: one.id,
          away: Math.abs(y(point.value) - pixel.y),
        }));
        const least = Math.min(...there.map(({ away }) => away));
        const nearest = there.find(({ away }) => away === least);
        return nearest ? { x: place, seriesId: nearest.seriesId } : null;
      },
      isFocus: ({ focusX, focusSeriesId }, place) =>
        place === null
          ? focusX === null
          : place.x === focusX && (focusSeriesId === null || place.seriesId === focusSeriesId),
      keyed(model, event) {
        const places = placesOf(model);
        const place = steppedPlace(event, places, model.focusX);
        const seriesId = steppedSeries(event.key, model);
        const isAcross = event.key === 'ArrowUp' || event.key === 'ArrowDown';
        if (seriesId === null || (place === undefined && (!isAcross || seriesId === model.focusSeriesId))) return;
        const x = place ?? (model.focusX === null ? places[0] : places[nearestIndex(places, model.focusX)]);
        return x === undefined ? undefined : { x, seriesId };
      },
      say: pointedText,
    });
  },
};

/** A pointer that moves less than this has pressed, not dragged, px. */
const LEAST_DRAG = 4;

function listenToSelecting(live: LiveChart<LineChartModel, LineChartHandlers>): void {
  let from: number | null = null;
  let dragged: readonly [number, number] | null = null;
  /** Where the stretch began that Shift and the arrows draw out. */
  let anchor = 0;
  const tell = (stretch: readonly [number, number] | null, done: boolean) =>
    live.handlers.onSelect?.(stretch, { done });
  live.on<PointerEvent>('pointerdown', (event, _, { frame }) => {
    const [x] = pointer(event, live.svg);
    if (live.handlers.onSelect === undefined || event.button !== 0 || x < frame.left || x > frame.right) return;
    from = x;
    dragged = null;
    live.svg.setPointerCapture?.(event.pointerId);
  });
  live.on<PointerEvent>('pointermove', (event, _, { frame, x }) => {
    if (from === null) return;
    const to = Math.min(Math.max(pointer(event, live.svg)[0], frame.left), frame.right);
    if (dragged === null && Math.abs(to - from) < LEAST_DRAG) return;
    dragged = [x.invert(Math.min(from, to)), x.invert(Math.max(from, to))];
    tell(dragged, false);
  });
  live.on('pointerup pointercancel', () => {
    from = null;
    if (dragged !== null) tell(dragged, true);
    dragged = null;
  });
  live.on('dblclick', () => tell(null, true));
  live.on<KeyboardEvent>('keydown', (event, model) => {
    if (live.handlers.onSelect === undefined || event.ctrlKey || event.metaKey || event.altKey) return;
    if (event.key === 'Escape') tell(null, true);
    const places = placesOf(model);
    const place = event.shiftKey ? steppedPlace(event, places, model.focusX) : undefined;
    if (place === undefined) return;
    if ((model.selected ?? null) === null) anchor = model.focusX ?? place;
    if (place !== anchor) tell([Math.min(anchor, place), Math.max(anchor, place)], true);
  });
}

/** The line chart in React. */
export const LineChart = chartComponent(LINE_KIND);
