import type { FlowAndRatio } from '../compressor/types.ts';
import type { PlotExtent, PlotOperatingLine } from './map-plot-model.ts';

/** At most this many times the map: a hopeless demand must not shrink the map to a stamp. What lies beyond is pointed to on the edge. */
const MOST = 1.5;
/** Axes grow in steps of a tenth of the map, so that they stand still while an input is dragged. */
const STEP = 0.1;

function grown(low: number, high: number, most: number): number {
  const span = high - low;
  if (!(most > high) || !(span > 0)) return high;
  const steps = Math.ceil((most - high) / (span * STEP) - 1e-9);
  return Math.min(low + span * MOST, high + steps * span * STEP);
}

/**
 * Axes that hold the map from zero flow and pressure ratio 1, and the operating lines where they go beyond it. Points that are not
 * finite do not count.
 */
export function holdingExtent(
  map: { maxFlowKgPerS: number; maxPressureRatio: number },
  lines: readonly Pick<PlotOperatingLine, 'points'>[],
): PlotExtent {
  const points = lines.flatMap((line) => line.points.filter((p) => p !== null)) as FlowAndRatio[];
  const most = (values: number[]) => values.filter(Number.isFinite).reduce((a, b) => Math.max(a, b), -Infinity);
  const flow = most(points.map((point) => point.correctedMassFlowKgPerS));
  const ratio = most(points.map((point) => point.pressureRatio));
  return {
    minFlowKgPerS: 0,
    maxFlowKgPerS: grown(0, map.maxFlowKgPerS, flow),
    minPressureRatio: 1,
    maxPressureRatio: grown(1, map.maxPressureRatio, ratio),
  };
}
