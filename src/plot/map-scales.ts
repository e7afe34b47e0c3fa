import { type ScaleLinear, scaleLinear } from 'd3-scale';
import type { ZoomTransform } from 'd3-zoom';
import type { FlowAndRatio } from '../compressor/types.ts';
import type { MapChart, PlotExtent } from './map-plot-model.ts';
import type { PixelFrame, PixelPoint } from './pixel-point.ts';
import { textWidth } from './text-width.ts';

export interface PlotSize {
  width: number;
  height: number;
}

export interface Tick {
  /** Pixels along the axis. */
  at: number;
  text: string;
}

export interface MapScales {
  frame: PixelFrame;
  /** Corrected kg/s to pixels. */
  x: ScaleLinear<number, number>;
  /** Pressure ratio to pixels. */
  y: ScaleLinear<number, number>;
}

export const TICK_FONT = 12;
export const TITLE_FONT = 13;
export const LABEL_FONT = 12;
const TICK_LENGTH = 5;

/** The frame that leaves room for ticks, titles and a legend of that height; never smaller than 40 x 40 pixels. */
export function plotFrame(size: PlotSize, legendHeight: number): PixelFrame {
  const left = Math.ceil(6 + TITLE_FONT * 1.3 + 4 + textWidth('2.34', TICK_FONT) + TICK_LENGTH + 4);
  const bottom = Math.ceil(TICK_LENGTH + 4 + TICK_FONT * 1.2 + 6 + TITLE_FONT * 1.3 + 4);
  const top = Math.ceil(legendHeight === 0 ? 12 : legendHeight + 16);
  return {
    left,
    top,
    right: Math.max(left + 40, size.width - 18),
    bottom: Math.max(top + 40, size.height - bottom),
  };
}

/** The extent as it may be drawn: an empty or impossible one becomes 0..1 kg/s by 1..2, so that a new sheet has axes. */
export function usableExtent(extent: PlotExtent): PlotExtent {
  const flowFits = Number.isFinite(extent.minFlowKgPerS) && extent.maxFlowKgPerS > extent.minFlowKgPerS;
  const ratioFits = Number.isFinite(extent.minPressureRatio) && extent.maxPressureRatio > extent.minPressureRatio;
  return {
    minFlowKgPerS: flowFits ? extent.minFlowKgPerS : 0,
    maxFlowKgPerS: flowFits && Number.isFinite(extent.maxFlowKgPerS) ? extent.maxFlowKgPerS : 1,
    minPressureRatio: ratioFits ? extent.minPressureRatio : 1,
    maxPressureRatio: ratioFits && Number.isFinite(extent.maxPressureRatio) ? extent.maxPressureRatio : 2,
  };
}

/** Unzoomed scales: a usable extent, with room on the right for speed labels and above for the top line's. */
export function baseScales(chart: MapChart, extent: PlotExtent, frame: PixelFrame): MapScales {
  const widest = chart.speedLines.reduce((most, line) => Math.max(most, textWidth(line.label, LABEL_FONT)), 0);
  const width = frame.right - frame.left;
  const height = frame.bottom - frame.top;
  const right = Math.min(widest + 12, width * 0.3);
  const top = Math.min(26, height * 0.2);
  const flowSpan = (extent.maxFlowKgPerS - extent.minFlowKgPerS) * (width / (width - right));
  const ratioSpan = (extent.maxPressureRatio - extent.minPressureRatio) * (height / (height - top));
  return {
    frame,
    x: scaleLinear([extent.minFlowKgPerS, extent.minFlowKgPerS + flowSpan], [frame.left, frame.right]),
    y: scaleLinear([extent.minPressureRatio, extent.minPressureRatio + ratioSpan], [frame.bottom, frame.top]),
  };
}

/** Unzoomed scales of exactly that box. */
export function exactScales(axes: PlotExtent, frame: PixelFrame): MapScales {
  return {
    frame,
    x: scaleLinear([axes.minFlowKgPerS, axes.maxFlowKgPerS], [frame.left, frame.right]),
    y: scaleLinear([axes.minPressureRatio, axes.maxPressureRatio], [frame.bottom, frame.top]),
  };
}

/** The scales as zoomed and panned: domains change, line widths and texts do not. */
export function zoomedScales(base: MapScales, transform: ZoomTransform): MapScales {
  return { frame: base.frame, x: transform.rescaleX(base.x), y: transform.rescaleY(base.y) };
}

/** Where a data point stands, in pixels (not finite for data that is not finite). */
export function toPixel(scales: MapScales, point: FlowAndRatio): PixelPoint {
  return { x: scales.x(point.correctedMassFlowKgPerS), y: scales.y(point.pressureRatio) };
}

/** The data point under a pixel. */
export function toData(scales: MapScales, pixel: PixelPoint): FlowAndRatio {
  return { correctedMassFlowKgPerS: scales.x.invert(pixel.x), pressureRatio: scales.y.invert(pixel.y) };
}

/** Flow ticks at round numbers of the axis's own unit. `perKgPerS` > 0. */
export function flowTicks(scales: MapScales, perKgPerS: number): Tick[] {
  const domain = scales.x.domain().map((value) => value * perKgPerS) as [number, number];
  const axis = scaleLinear(domain, scales.x.range());
  const count = Math.max(3, Math.round((scales.frame.right - scales.frame.left) / 75));
  const format = axis.tickFormat(count);
  return axis.ticks(count).map((value) => ({ at: axis(value), text: format(value) }));
}

/** Pressure-ratio ticks. */
export function ratioTicks(scales: MapScales): Tick[] {
  const count = Math.max(3, Math.round((scales.frame.bottom - scales.frame.top) / 55));
  const format = scales.y.tickFormat(count);
  return scales.y.ticks(count).map((value) => ({ at: scales.y(value), text: format(value) }));
}

/** Decimals that show about a change of one pixel and no more: for read-outs on the axes. */
export function readoutDecimals(unitsPerPixel: number): number {
  if (!(unitsPerPixel > 0)) return 0;
  return Math.min(6, Math.max(0, Math.round(-Math.log10(unitsPerPixel))));
}
