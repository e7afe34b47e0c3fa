import { pointer } from 'd3';
import { type Axes, axisTitle, type LineAxis, roomyRange, smallChart, valueText } from '../frame/axes.ts';
import { chartComponent } from '../frame/ChartHost.tsx';
import {
  type By,
  type ChartController,
  type ChartKind,
  type LiveChart,
  listenToPointing,
  liveChart,
  nearestOf,
  type PointHandlers,
  SMALL_LAYERS,
  steppedPlace,
} from '../frame/live.ts';
import type { Palette } from '../frame/looks.ts';
import { bound } from '../frame/mark.ts';
import type { PlotSize } from '../frame/pixels.ts';
import {
  bands,
  endNamesRoom,
  type LineBand,
  type LineLimit,
  type LineSeries,
  limitLines,
  pointedSeries,
  seriesLines,
  seriesPointed,
} from '../marks/series.ts';
import { type LineSpan, selectedStretch, spanHatches } from '../marks/stretches.ts';

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
  /** The stretch of the x axis that is selected; only where the owner hears of it. */
  selected?: readonly [number, number] | null | undefined;
}

/** A place and the series nearest to the pointer there; by keys the one that stands out, or the first. */
interface LinePlace {
  x: number;
  seriesId: string;
}

export type LinePointed = LinePlace & By;

export interface LineChartHandlers extends PointHandlers<LinePointed> {
  /** A stretch is selected by dragging or by Shift and the arrow keys; null: let go by double click or Escape. `done` is false in mid-drag. */
  onSelect?: ((stretch: readonly [number, number] | null, state: { done: boolean }) => void) | undefined;
}

export type LineChartController = ChartController<LineChartModel, LineChartHandlers>;

function axesOf({ xAxis, valueAxis, series, bands: all, limits, names }: LineChartModel, size: PlotSize): Axes {
  const { include, bounds } = valueAxis;
  const values = [
    ...include,
    ...limits.map((limit) => limit.value),
    ...series.flatMap(({ points }) => points.map((point) => point?.value ?? Number.NaN)),
    ...all.flatMap(({ points }) => points.flatMap((point) => (point ? [point.low, point.high] : []))),
  ];
  const range = roomyRange(values, 0, 0.06, { low: bounds?.low ?? -Infinity, high: bounds?.high ?? Infinity });
  const room = names === 'end' ? { right: endNamesRoom(series) } : {};
  const chart = smallChart(size, { low: xAxis.min, high: xAxis.max }, range, room);
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

const NO_SPANS: readonly LineSpan[] = [];

const KIND: ChartKind<LineChartModel, LineChartHandlers> = {
  name: 'line chart',
  keys: 'Left and right arrow read place by place.',
  layers: SMALL_LAYERS,
  framed: ({ xAxis, valueAxis, series, bands: all, limits, names }) => [xAxis, valueAxis, series, all, limits, names],
  axes: axesOf,
  marks: [
    bound(limitLines, ({ limits }) => ({ limits })),
    bound(spanHatches, ({ spans = NO_SPANS }) => ({ spans })),
    bound(selectedStretch, ({ selected = null }) => ({ selected })),
    bound(bands, ({ bands: all }) => ({ bands: all })),
    bound(seriesLines, ({ series, names }) => ({ series, names })),
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
        const place = isInside ? nearestOf(placesOf(model), x.invert(pixel.x)) : undefined;
        if (place === undefined) return null;
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
        const x = place ?? (model.focusX === null ? places[0] : nearestOf(places, model.focusX));
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

/** A live line chart in an SVG element that the caller owns. */
export const createLineChart = (
  svg: SVGSVGElement,
  palette: Palette,
  handlers: LineChartHandlers,
  size: PlotSize,
  id?: string,
): LineChartController => liveChart(KIND, svg, palette, handlers, size, id);

/** The line chart in React. */
export const LineChart = chartComponent(KIND);
