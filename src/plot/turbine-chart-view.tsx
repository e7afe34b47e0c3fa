import { ChartHost } from './chart-host.tsx';
import type { PlotSize } from './map-scales.ts';
import type { Palette } from './palette.ts';
import { createTurbineChart, type TurbineChartHandlers } from './turbine-chart.ts';
import type { TurbineChartModel } from './turbine-chart-model.ts';

export interface TurbineChartProps {
  model: TurbineChartModel;
  palette: Palette;
  handlers?: TurbineChartHandlers;
  /** Left out: fills the parent, which must have a height. */
  size?: PlotSize;
  /** 'Turbine of candidate A'. Keys are added to it. */
  label: string;
}

const KEYS = 'Left and right arrow read engine speed by engine speed.';
const NO_HANDLERS: TurbineChartHandlers = {};

const create = (svg: SVGSVGElement, palette: Palette, size: PlotSize) => createTurbineChart(svg, palette, {}, size);

/** The turbine chart in React. */
export function TurbineChart({ model, palette, handlers = NO_HANDLERS, size, label }: TurbineChartProps) {
  return (
    <ChartHost
      create={create}
      model={model}
      palette={palette}
      handlers={handlers}
      size={size}
      kind="turbine chart"
      label={`${label}. ${KEYS}`}
    />
  );
}
