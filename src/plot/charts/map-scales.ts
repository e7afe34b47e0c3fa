import { type ScaleLinear, scaleLinear } from 'd3-scale';
import type { ZoomTransform } from 'd3-zoom';
import type { FlowAndRatio } from '../../compressor/types.ts';
import type { PixelFrame, PixelPoint } from '../frame/pixels.ts';
import { textWidth, tickText } from '../frame/text.ts';
import type { MapChart, MapPlotModel, PlotExtent, PlotOperatingLine } from './map-model.ts';

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
  /** What runs across to pixels: corrected kg/s; the ratio where `isFlowUp`. */
  x: ScaleLinear<number, number>;
  /** What runs up to pixels: the ratio; corrected kg/s where `isFlowUp`. */
  y: ScaleLinear<number, number>;
  /** True: the ratio runs across and the flow up. */
  isFlowUp: boolean;
}

export const TICK_FONT = 12;
export const TITLE_FONT = 13;
export const LABEL_FONT = 12;
const TICK_LENGTH = 5;

/** The frame that leaves room for ticks, titles and a legend of that height; never smaller than 40 x 40 pixels. */
export function plotFrame(size: PlotSize, legendHeight: number, isFlowUp = false): PixelFrame {
  // Flows have more digits than ratios.
  const left = Math.ceil(
    6 + TITLE_FONT * 1.3 + 4 + textWidth(isFlowUp ? '0.234' : '2.34', TICK_FONT) + TICK_LENGTH + 4,
  );
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
  const isFlowUp = chart.isFlowUp === true;
  const { across, up } = domainsOf(extent, isFlowUp);
  return {
    frame,
    x: scaleLinear(
      [across[0], across[0] + (across[1] - across[0]) * (width / (width - right))],
      [frame.left, frame.right],
    ),
    y: scaleLinear([up[0], up[0] + (up[1] - up[0]) * (height / (height - top))], [frame.bottom, frame.top]),
    isFlowUp,
  };
}

function domainsOf(extent: PlotExtent, isFlowUp: boolean): { across: [number, number]; up: [number, number] } {
  const flow: [number, number] = [extent.minFlowKgPerS, extent.maxFlowKgPerS];
  const ratio: [number, number] = [extent.minPressureRatio, extent.maxPressureRatio];
  return isFlowUp ? { across: ratio, up: flow } : { across: flow, up: ratio };
}

/** Unzoomed scales of exactly that box. */
export function exactScales(axes: PlotExtent, frame: PixelFrame, isFlowUp = false): MapScales {
  const { across, up } = domainsOf(axes, isFlowUp);
  return {
    frame,
    x: scaleLinear(across, [frame.left, frame.right]),
    y: scaleLinear(up, [frame.bottom, frame.top]),
    isFlowUp,
  };
}

/** The scales as zoomed and panned: domains change, line widths and texts do not. */
export function zoomedScales(base: MapScales, transform: ZoomTransform): MapScales {
  return { ...base, x: transform.rescaleX(base.x), y: transform.rescaleY(base.y) };
}

/** Where a data point stands, in pixels (not finite for data that is not finite). */
export function toPixel(scales: MapScales, point: FlowAndRatio): PixelPoint {
  const { correctedMassFlowKgPerS: flow, pressureRatio: ratio } = point;
  return scales.isFlowUp ? { x: scales.x(ratio), y: scales.y(flow) } : { x: scales.x(flow), y: scales.y(ratio) };
}

/** The data point under a pixel. */
export function toData(scales: MapScales, pixel: PixelPoint): FlowAndRatio {
  const [across, up] = [scales.x.invert(pixel.x), scales.y.invert(pixel.y)];
  return scales.isFlowUp
    ? { correctedMassFlowKgPerS: up, pressureRatio: across }
    : { correctedMassFlowKgPerS: across, pressureRatio: up };
}

/** Ticks across at round numbers of the axis's own unit. `perKgPerS` > 0. */
export function acrossTicks({ x, frame, isFlowUp }: MapScales, perKgPerS: number): Tick[] {
  return ticksOf(x, isFlowUp ? 1 : perKgPerS, Math.max(3, Math.round((frame.right - frame.left) / 75)));
}

/** Ticks up, as `acrossTicks`. */
export function upTicks({ y, frame, isFlowUp }: MapScales, perKgPerS: number): Tick[] {
  return ticksOf(y, isFlowUp ? perKgPerS : 1, Math.max(3, Math.round((frame.bottom - frame.top) / 55)));
}

function ticksOf(scale: ScaleLinear<number, number>, factor: number, count: number): Tick[] {
  const domain = scale.domain().map((value) => value * factor) as [number, number];
  const axis = scaleLinear(domain, scale.range());
  const format = tickText(domain, count);
  return axis.ticks(count).map((value) => ({ at: axis(value), text: format(value) }));
}

/** Decimals that show about a change of one pixel and no more: for read-outs on the axes. */
export function readoutDecimals(unitsPerPixel: number): number {
  if (!(unitsPerPixel > 0)) return 0;
  return Math.min(6, Math.max(0, Math.round(-Math.log10(unitsPerPixel))));
}

/** At most this many times the map: a hopeless demand must not shrink the map to a stamp. What lies beyond is pointed to on the edge. */
const MOST_MAPS = 1.5;
/** Axes grow in steps of a tenth of the map, so that they stand still while an input is dragged. */
const AXIS_STEP = 0.1;

function grown(low: number, high: number, most: number): number {
  const span = high - low;
  if (!(most > high) || !(span > 0)) return high;
  const steps = Math.ceil((most - high) / (span * AXIS_STEP) - 1e-9);
  return Math.min(low + span * MOST_MAPS, high + steps * span * AXIS_STEP);
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
