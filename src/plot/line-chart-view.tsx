import { ChartHost } from './chart-host.tsx';
import { createLineChart, type LineChartHandlers } from './line-chart.ts';
import type { LineChartModel } from './line-chart-model.ts';
import type { PlotSize } from './map-scales.ts';
import type { Palette } from './palette.ts';

export interface LineChartProps {
  model: LineChartModel;
  palette: Palette;
  handlers?: LineChartHandlers;
  /** Left out: fills the parent, which must have a height. */
  size?: PlotSize;
  /** 'Shaft speed over engine speed'. Keys are added to it. */
  label: string;
  /** In place of the usual words on the keys. */
  keys?: string;
}

const KEYS = 'Left and right arrow read place by place.';
const NO_HANDLERS: LineChartHandlers = {};

const create = (svg: SVGSVGElement, palette: Palette, size: PlotSize) => createLineChart(svg, palette, {}, size);

/** The line chart in React. */
export function LineChart({ model, palette, handlers = NO_HANDLERS, size, label, keys = KEYS }: LineChartProps) {
  return (
    <ChartHost
      create={create}
      model={model}
      palette={palette}
      handlers={handlers}
      size={size}
      kind="line chart"
      label={`${label}. ${keys}`}
    />
  );
}
