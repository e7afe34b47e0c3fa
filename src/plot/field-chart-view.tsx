import { ChartHost } from './chart-host.tsx';
import { createFieldChart, type FieldChartHandlers } from './field-chart.ts';
import type { FieldChartModel } from './field-chart-model.ts';
import type { PlotSize } from './map-scales.ts';
import type { Palette } from './palette.ts';

export interface FieldChartProps {
  model: FieldChartModel;
  palette: Palette;
  handlers?: FieldChartHandlers;
  /** Left out: fills the parent, which must have a height. */
  size?: PlotSize;
  /** What the field shows. Keys are added to it. */
  label: string;
}

const KEYS = 'Arrow keys read it cell by cell.';
const NO_HANDLERS: FieldChartHandlers = {};

const create = (svg: SVGSVGElement, palette: Palette, size: PlotSize) => createFieldChart(svg, palette, {}, size);

/** The field chart in React. */
export function FieldChart({ model, palette, handlers = NO_HANDLERS, size, label }: FieldChartProps) {
  return (
    <ChartHost
      create={create}
      model={model}
      palette={palette}
      handlers={handlers}
      size={size}
      kind="field chart"
      label={`${label}. ${KEYS}`}
    />
  );
}
