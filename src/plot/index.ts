export {
  CurveChart,
  type CurveChartController,
  type CurveChartHandlers,
  type CurveChartProps,
  createCurveChart,
} from './charts/curve.tsx';
export type * from './charts/curve-edit.ts';
export type * from './charts/field.tsx';
export {
  createFieldChart,
  FieldChart,
  type FieldChartController,
  type FieldChartHandlers,
  type FieldChartProps,
} from './charts/field.tsx';
export {
  createLineChart,
  LineChart,
  type LineChartController,
  type LineChartHandlers,
  type LineChartProps,
  type LinePointed,
} from './charts/line.tsx';
export {
  createMapPlot,
  MapPlot,
  type MapPlotActions,
  type MapPlotController,
  type MapPlotHandlers,
  type MapPlotProps,
} from './charts/map.tsx';
export { drawMapLegend, drawMapPlot } from './charts/map-drawing.ts';
export type * from './charts/map-model.ts';
export type { MapReadout, NearPoint, ReadoutMode } from './charts/map-reading.ts';
export type { PlotSize } from './charts/map-scales.ts';
export { sharedAxes } from './charts/map-scales.ts';
export {
  createTurbineChart,
  TurbineChart,
  type TurbineChartController,
  type TurbineChartHandlers,
  type TurbineChartProps,
  type TurbinePointed,
} from './charts/turbine.tsx';
export { drawingSize, exportMapSvg, exportPng, exportSvg, type SvgSheet } from './export.ts';
export type * from './marks/series.ts';
export type * from './marks/turbine.ts';
export { darkPalette, lightPalette, type Palette, printPalette } from './palette.ts';
