export {
  CurveChart,
  type CurveChartModel,
  loadCurveDrag,
} from './charts/curve.tsx';
export {
  FieldChart,
  type FieldChartModel,
} from './charts/field.tsx';
export type { LineSpan } from './charts/line.tsx';
export {
  LINE_KIND,
  LineChart,
  type LineChartModel,
  type LinePointed,
  type StandingLines,
} from './charts/line.tsx';
export {
  createMapPlot,
  loadMapZoom,
  MapPlot,
  type MapPlotController,
  type MapPlotHandlers,
} from './charts/map.tsx';
export { drawMapLegend, drawMapPlot } from './charts/map-drawing.ts';
export type * from './charts/map-model.ts';
export { plotFrame, sharedAxes } from './charts/map-model.ts';
export {
  TURBINE_KIND,
  TurbineChart,
  type TurbineChartHandlers,
  type TurbineChartModel,
  type TurbinePointed,
} from './charts/turbine.tsx';
export { drawChart, drawingSize, exportMapSvg, exportPng, exportSvg, type SvgSheet } from './export.ts';
export type { LineAxis } from './frame/axes.ts';
export { PaletteContext, useMeasuredSize } from './frame/ChartHost.tsx';
export {
  type CandidateStyle,
  candidateLook,
  candidateMarker,
  candidateStyle,
  darkPalette,
  type FieldHatch,
  HATCH_TILE,
  HATCHES,
  type LineStyle,
  lightPalette,
  type Palette,
  printPalette,
} from './frame/looks.ts';
export { writeText } from './frame/nodes.ts';
export type { PlotSize } from './frame/pixels.ts';
export type { Field, FieldKind } from './marks/cells.ts';
export type * from './marks/series.ts';
export type * from './marks/turbine.ts';
