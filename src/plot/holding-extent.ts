import type { FlowAndRatio } from '../compressor/types.ts';
import type { MapChart, PlotExtent, PlotOperatingLine } from './map-plot-model.ts';
import { usableExtent } from './map-scales.ts';

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

function largest(points: readonly (FlowAndRatio | null)[], least: PlotExtent): { flow: number; ratio: number } {
  let flow = least.maxFlowKgPerS;
  let ratio = least.maxPressureRatio;
  for (const point of points) {
    if (!point) continue;
    if (Number.isFinite(point.correctedMassFlowKgPerS)) flow = Math.max(flow, point.correctedMassFlowKgPerS);
    if (Number.isFinite(point.pressureRatio)) ratio = Math.max(ratio, point.pressureRatio);
  }
  return { flow, ratio };
}

/**
 * The data box to draw unzoomed: the chart's extent, grown to hold every speed line (extended ones too), the rated-speed line and,
 * in steps, the operating lines. Points that are not finite do not count.
 */
export function holdingExtent(
  chart: Pick<MapChart, 'extent' | 'speedLines' | 'ratedSpeedLine'>,
  lines: readonly Pick<PlotOperatingLine, 'points'>[],
): PlotExtent {
  const extent = usableExtent(chart.extent);
  const drawn = [...chart.speedLines, ...(chart.ratedSpeedLine?.pieces ?? [])];
  const map = largest(
    drawn.flatMap((line) => line.points),
    extent,
  );
  const most = largest(
    lines.flatMap((line) => line.points),
    extent,
  );
  return {
    ...extent,
    maxFlowKgPerS: grown(extent.minFlowKgPerS, map.flow, most.flow),
    maxPressureRatio: grown(extent.minPressureRatio, map.ratio, most.ratio),
  };
}
