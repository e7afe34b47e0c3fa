export { type CurveChartController, type CurveChartHandlers, createCurveChart } from './curve-chart.ts';
export type * from './curve-chart-model.ts';
export { CurveChart, type CurveChartProps } from './curve-chart-view.tsx';
export { exportPng } from './export-png.ts';
export { drawingSize, exportMapSvg, exportSvg, type SvgSheet } from './export-svg.ts';
export { createFieldChart, type FieldChartController, type FieldChartHandlers } from './field-chart.ts';
export type * from './field-chart-model.ts';
export { FieldChart, type FieldChartProps } from './field-chart-view.tsx';
export { createLineChart, type LineChartController, type LineChartHandlers, type LinePointed } from './line-chart.ts';
export type * from './line-chart-model.ts';
export { LineChart, type LineChartProps } from './line-chart-view.tsx';
export type { ReadoutMode } from './map-keyboard.ts';
export { drawMapLegend } from './map-legend-drawing.ts';
export { createMapPlot, type MapPlotController, type MapPlotHandlers } from './map-plot.ts';
export { drawMapPlot } from './map-plot-drawing.ts';
export type * from './map-plot-model.ts';
export { MapPlot, type MapPlotActions, type MapPlotProps } from './map-plot-view.tsx';
export type { MapReadout, NearPoint } from './map-readout.ts';
export type { PlotSize } from './map-scales.ts';
export { darkPalette, lightPalette, type Palette, printPalette } from './palette.ts';
export { sharedAxes } from './shared-axes.ts';
export {
  createTurbineChart,
  type TurbineChartController,
  type TurbineChartHandlers,
  type TurbinePointed,
} from './turbine-chart.ts';
export type * from './turbine-chart-model.ts';
export { TurbineChart, type TurbineChartProps } from './turbine-chart-view.tsx';
