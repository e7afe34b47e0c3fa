import { holdingExtent } from './holding-extent.ts';
import type { MapPlotModel, PlotExtent } from './map-plot-model.ts';

/** Shares of the axes kept free for the speed labels at the right and above the top line. */
const ROOM_RIGHT = 0.13;
const ROOM_ABOVE = 0.07;

/**
 * Axes that hold all of several maps with their operating lines, the same for each: what `axes` of a model takes. They grow in steps, as
 * those of one map do, so that they stand still while an input is dragged. All maps must stand at one reference state.
 */
export function sharedAxes(models: readonly Pick<MapPlotModel, 'chart' | 'operatingLines'>[]): PlotExtent {
  const held = models.map(({ chart, operatingLines }) => holdingExtent(chart, operatingLines));
  const minFlowKgPerS = Math.min(...held.map((extent) => extent.minFlowKgPerS));
  const minPressureRatio = Math.min(...held.map((extent) => extent.minPressureRatio));
  const flow = Math.max(...held.map((extent) => extent.maxFlowKgPerS)) - minFlowKgPerS;
  const ratio = Math.max(...held.map((extent) => extent.maxPressureRatio)) - minPressureRatio;
  return {
    minFlowKgPerS,
    maxFlowKgPerS: minFlowKgPerS + flow / (1 - ROOM_RIGHT),
    minPressureRatio,
    maxPressureRatio: minPressureRatio + ratio / (1 - ROOM_ABOVE),
  };
}
