import { nearestIndex } from '../../numerics/index.ts';
import { type Axes, axisTitle, type LineAxis, smallChart } from '../frame/axes.ts';
import { chartComponent } from '../frame/ChartHost.tsx';
import { type ChartKind, listenToPointing, type PointHandlers, SMALL_LAYERS } from '../frame/live.ts';
import { bound } from '../frame/mark.ts';
import type { PlotSize } from '../frame/pixels.ts';
import { type Field, fieldCells, fieldLegend, fieldPointed, fieldText } from '../marks/cells.ts';

/** A field over two quantities, such as engine speed and altitude. */
export interface FieldChartModel extends Field {
  xAxis: LineAxis;
  yAxis: LineAxis;
  focus: FieldCell | null;
}

/** The middle of a cell. */
interface FieldCell {
  x: number;
  y: number;
}

type FieldChartHandlers = PointHandlers<FieldCell>;

const STEPS: Readonly<Record<string, readonly [number, number]>> = {
  ArrowLeft: [-1, 0],
  ArrowRight: [1, 0],
  ArrowUp: [0, 1],
  ArrowDown: [0, -1],
};

function axesOf(model: FieldChartModel, size: PlotSize): Axes {
  const { xs, ys, xAxis, yAxis } = model;
  const span = (values: readonly number[]) => ({ low: values[0] ?? 0, high: values.at(-1) ?? 1 });
  const chart = smallChart(size, span(xs), span(ys), { legendHeight: fieldLegend(model, size).height });
  return { ...chart, xTitle: axisTitle(xAxis), yTitle: '', heading: axisTitle(yAxis) };
}

/** The value `by` places from the one nearest to `from`, inside the list. */
function moved(values: readonly number[], from: number, by: number): number {
  const at = nearestIndex(values, from);
  return values[Math.min(Math.max(at + by, 0), values.length - 1)] ?? from;
}

export const FIELD_KIND: ChartKind<FieldChartModel, FieldChartHandlers> = {
  name: 'field chart',
  keys: () => 'Arrow keys read it cell by cell.',
  layers: SMALL_LAYERS,
  framed: ({ xAxis, yAxis, xs, ys, cells, kinds }) => [xAxis, yAxis, xs, ys, cells, kinds],
  axes: axesOf,
  marks: [
    bound(fieldCells, ({ xs, ys, cells, kinds, marked }) => ({ xs, ys, cells, kinds, marked })),
    bound(fieldPointed, ({ focus }) => ({ focus })),
  ],
  listen: (live) =>
    listenToPointing<FieldChartModel, FieldCell, Axes>(live, {
      under({ xs, ys }, { frame: { left, right, top, bottom }, x, y }, pixel) {
        const isInside = pixel.x >= left && pixel.x <= right && pixel.y >= top && pixel.y <= bottom;
        if (!isInside) return null;
        return { x: xs[nearestIndex(xs, x.invert(pixel.x))] ?? 0, y: ys[nearestIndex(ys, y.invert(pixel.y))] ?? 0 };
      },
      isFocus: ({ focus }, cell) => focus?.x === cell?.x && focus?.y === cell?.y,
      keyed({ xs, ys, focus }, event) {
        const step = STEPS[event.key];
        const [x, y] = [xs[0], ys[0]];
        if (step === undefined || x === undefined || y === undefined) return;
        const far = event.shiftKey ? 5 : 1;
        return focus === null
          ? { x, y }
          : { x: moved(xs, focus.x, step[0] * far), y: moved(ys, focus.y, step[1] * far) };
      },
      say: fieldText,
    }),
};

/** The field chart in React. */
export const FieldChart = chartComponent(FIELD_KIND);
