export type { ReadoutMode } from './map-keyboard.ts';
export { createMapPlot, type MapPlotController, type MapPlotHandlers } from './map-plot.ts';
export { drawMapPlot } from './map-plot-drawing.ts';
export type * from './map-plot-model.ts';
export { MapPlot, type MapPlotActions, type MapPlotProps } from './map-plot-view.tsx';
export type { MapReadout, NearPoint } from './map-readout.ts';
export type { PlotSize } from './map-scales.ts';
export { darkPalette, lightPalette, type Palette, printPalette } from './palette.ts';
