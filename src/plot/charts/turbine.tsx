import { type Axes, axisTitle, type LineAxis, roomyRange, smallChart, type ValueRange } from '../frame/axes.ts';
import { chartComponent } from '../frame/ChartHost.tsx';
import { type LegendItem, layOutLegend } from '../frame/legend.ts';
import {
  type By,
  type ChartKind,
  listenToPointing,
  type PointHandlers,
  SMALL_LAYERS,
  steppedPlace,
} from '../frame/live.ts';
import { bound } from '../frame/mark.ts';
import { type PlotSize, TITLE_FONT } from '../frame/pixels.ts';
import {
  capacityCurves,
  enginePixels,
  type PlotCapacity,
  type PlotTurbineEngine,
  turbineEngines,
  turbinePointed,
  turbineText,
} from '../marks/turbine.ts';

/**
 * Flow capacity over expansion ratio with the engine on it. Flows stand in the unit of the axis. Lists are compared by identity:
 * keep `capacities` the same while the turbines are.
 */
export interface TurbineChartModel {
  /** The ratio runs from 1 to `maxRatio`; the flow from 0, so that a gap is seen as a share. */
  maxRatio: number;
  flowAxis: LineAxis;
  capacities: readonly PlotCapacity[];
  engines: readonly PlotTurbineEngine[];
  /** Engine speed pointed at, here or elsewhere. */
  focusRpm: number | null;
}

interface TurbinePlace {
  engineSpeedRpm: number;
}

/** The engine speed that is pointed at. */
export type TurbinePointed = TurbinePlace & By;
export type TurbineChartHandlers = PointHandlers<TurbinePointed>;

function legendItems({ capacities }: TurbineChartModel): LegendItem[] {
  const curves = capacities.flatMap((capacity) => capacity.curves);
  const items: LegendItem[] = [{ swatch: 'none', text: 'Marks: engine rpm' }];
  if (capacities.some(({ entered }) => entered.length > 0)) items.push({ swatch: 'sheet-point', text: 'As entered' });
  if (curves.some(({ points }) => points.some(({ extended }) => extended))) {
    items.push({ swatch: 'extended', text: 'Extended' });
  }
  return items;
}

/** How far above the largest capacity the axis goes for the whole exhaust. */
const MOST_WHOLE = 2.2;

/** The axis of flow: from 0, so that a gap is seen as a share, to all of the capacity and the whole exhaust. */
function flowRange({ capacities, engines }: TurbineChartModel): ValueRange {
  const flows = [
    0,
    ...capacities.flatMap(({ curves, band }) => [
      ...curves.flatMap(({ points }) => points.map(({ flow }) => flow)),
      ...(band?.points.map(({ high }) => high) ?? []),
    ]),
  ];
  // A wastegate that takes nearly all must not press the curve flat: its exhaust runs out of sight.
  const most = MOST_WHOLE * Math.max(...flows.filter(Number.isFinite));
  const whole = engines.flatMap(({ points }) =>
    points.map((point) => Math.min(most, point?.wholeExhaust ?? Number.NaN)),
  );
  return roomyRange([...flows, ...whole], 0, 0.05, { low: 0, high: Number.POSITIVE_INFINITY });
}

/** The axes of a model; for tests and for drawing it once. */
export function turbineAxes(model: TurbineChartModel, size: PlotSize): Axes {
  const legend = layOutLegend(legendItems(model), 8, TITLE_FONT * 1.3 + 6, size.width - 16);
  const room = { legendHeight: legend.height + 2 };
  const chart = smallChart(size, { low: 1, high: model.maxRatio }, flowRange(model), room);
  const heading = axisTitle(model.flowAxis);
  return { ...chart, xTitle: 'Expansion ratio, total to static', yTitle: '', heading, legend };
}

/** Engine speeds that have a point, rising, each once. */
function speedsOf({ engines }: TurbineChartModel): number[] {
  const speeds = engines.flatMap(({ points }) => points.flatMap((point) => point?.engineSpeedRpm ?? []));
  return [...new Set(speeds)].sort((a, b) => a - b);
}

/** Reach of the pointer to a point or to the stem above it, pixels. */
const REACH = 30;

export const TURBINE_KIND: ChartKind<TurbineChartModel, TurbineChartHandlers> = {
  name: 'turbine chart',
  keys: () => 'Left and right arrow read engine speed by engine speed.',
  layers: SMALL_LAYERS.map((layer) => {
    if (layer.name === 'lines') return { ...layer, parts: ['whole', 'swallowed'] };
    return layer.name === 'labels' ? { ...layer, parts: ['names', 'speeds'] } : layer;
  }),
  framed: ({ maxRatio, flowAxis, capacities, engines }) => [maxRatio, flowAxis, capacities, engines],
  axes: turbineAxes,
  marks: [
    bound(capacityCurves, ({ capacities }) => ({ capacities })),
    bound(turbineEngines, ({ engines }) => ({ engines })),
    bound(turbinePointed, ({ engines, focusRpm }) => ({ engines, focusRpm })),
  ],
  listen: (live) =>
    listenToPointing<TurbineChartModel, TurbinePlace, Axes>(live, {
      under({ engines }, axes, pixel) {
        let best: TurbinePlace | null = null;
        let least = REACH;
        for (const at of engines.flatMap((engine) => enginePixels(engine, axes))) {
          if (at === null) continue;
          const y = Math.min(at.y, Math.max(at.wholeY, pixel.y));
          const away = Math.hypot(at.x - pixel.x, y - pixel.y);
          if (away >= least) continue;
          least = away;
          best = { engineSpeedRpm: at.point.engineSpeedRpm };
        }
        return best;
      },
      isFocus: ({ focusRpm }, place) => focusRpm === (place?.engineSpeedRpm ?? null),
      keyed(model, event) {
        const engineSpeedRpm = steppedPlace(event, speedsOf(model), model.focusRpm);
        return engineSpeedRpm === undefined ? undefined : { engineSpeedRpm };
      },
      say: ({ engines, flowAxis }, { engineSpeedRpm }) => turbineText(engines, flowAxis, engineSpeedRpm),
    }),
};

/** The turbine chart in React. */
export const TurbineChart = chartComponent(TURBINE_KIND);
