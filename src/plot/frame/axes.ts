import { type ScaleLinear, scaleLinear } from 'd3-scale';
import { formatNumber } from '../../units/index.ts';
import { type PlotSize, TICK_FONT, TITLE_FONT, type Tick } from '../charts/map-scales.ts';
import type { Palette } from '../palette.ts';
import { type Group, joinNodes, middle } from './drawing.ts';
import { LEGEND_FONT } from './legend.ts';
import { type PixelFrame, rounded } from './pixels.ts';
import { textWidth, tickText } from './text.ts';

export interface AxesGeometry {
  frame: PixelFrame;
  xTicks: readonly Tick[];
  yTicks: readonly Tick[];
  xTitle: string;
  yTitle: string;
}

/** Hairlines at the ticks. */
export function drawGrid(group: Group, { frame, xTicks, yTicks }: AxesGeometry, palette: Palette): void {
  const lines = [
    ...xTicks.map((tick) => `M${rounded(tick.at)},${frame.top}V${frame.bottom}`),
    ...yTicks.map((tick) => `M${frame.left},${rounded(tick.at)}H${frame.right}`),
  ];
  joinNodes(group, 'path', [lines.join('')])
    .attr('d', (d) => d)
    .attr('stroke', palette.grid)
    .attr('stroke-width', 1)
    .attr('fill', 'none');
}

interface AxisText {
  transform: string;
  text: string;
  anchor: 'middle' | 'end';
  isTitle: boolean;
}

function axisTexts({ frame, xTicks, yTicks, xTitle, yTitle }: AxesGeometry): AxisText[] {
  const titleX = Math.round(6 + TITLE_FONT * 0.6);
  const centreX = rounded((frame.left + frame.right) / 2);
  const centreY = rounded((frame.top + frame.bottom) / 2);
  const titleY = Math.round(frame.bottom + 9 + TICK_FONT * 1.2 + 6 + TITLE_FONT * 0.6);
  return [
    ...xTicks.map((tick) => ({
      transform: `translate(${rounded(tick.at)},${frame.bottom + 9 + TICK_FONT / 2})`,
      text: tick.text,
      anchor: 'middle' as const,
      isTitle: false,
    })),
    ...yTicks.map((tick) => ({
      transform: `translate(${frame.left - 9},${rounded(tick.at)})`,
      text: tick.text,
      anchor: 'end' as const,
      isTitle: false,
    })),
    { transform: `translate(${centreX},${titleY})`, text: xTitle, anchor: 'middle', isTitle: true },
    { transform: `translate(${titleX},${centreY}) rotate(-90)`, text: yTitle, anchor: 'middle', isTitle: true },
  ];
}

/** The frame, tick marks outside it, tick texts and titles. */
export function drawAxes(group: Group, geometry: AxesGeometry, palette: Palette): void {
  const { frame, xTicks, yTicks } = geometry;
  const marks = [
    ...xTicks.map((tick) => `M${rounded(tick.at)},${frame.bottom}v5`),
    ...yTicks.map((tick) => `M${frame.left},${rounded(tick.at)}h-5`),
  ];
  joinNodes(group, 'path', [
    `M${frame.left},${frame.top}H${frame.right}V${frame.bottom}H${frame.left}Z`,
    marks.join(''),
  ])
    .attr('d', (d) => d)
    .attr('fill', 'none')
    .attr('stroke', palette.frame)
    .attr('stroke-width', 1);
  joinNodes(group, 'text', axisTexts(geometry))
    .attr('transform', (d) => d.transform)
    .attr('text-anchor', (d) => d.anchor)
    .attr('y', (d) => middle(d.isTitle ? TITLE_FONT : TICK_FONT))
    .attr('font-size', (d) => (d.isTitle ? TITLE_FONT : TICK_FONT))
    .attr('fill', (d) => (d.isTitle ? palette.ink : palette.inkSoft))
    .text((d) => d.text);
}

/** Frame, scales and ticks of a chart over engine speed, or over another quantity. */
export interface SmallChart {
  frame: PixelFrame;
  x: ScaleLinear<number, number>;
  y: ScaleLinear<number, number>;
  xTicks: readonly Tick[];
  yTicks: readonly Tick[];
}

export interface ValueRange {
  low: number;
  high: number;
}

/**
 * A range of round numbers that holds the values with `share` of their span to spare on both sides, at least `leastSpan` wide and
 * inside `bounds`. Values that are not finite do not count; without any, the bounds or 0..1.
 */
export function roomyRange(
  values: readonly number[],
  leastSpan: number,
  share: number,
  bounds: ValueRange,
): ValueRange {
  const finite = values.filter(Number.isFinite);
  if (finite.length === 0) {
    const isBounded = Number.isFinite(bounds.low) && Number.isFinite(bounds.high) && bounds.high > bounds.low;
    return isBounded ? bounds : { low: 0, high: 1 };
  }
  let low = Math.min(...finite);
  let high = Math.max(...finite);
  const spare = Math.max((high - low) * share, (leastSpan - (high - low)) / 2, 0);
  low -= spare;
  high += spare;
  const [niceLow, niceHigh] = scaleLinear([low, high], [0, 1]).nice(5).domain() as [number, number];
  // The bounds never hide a value that is there.
  return {
    low: Math.min(Math.max(niceLow, bounds.low), ...finite),
    high: Math.max(Math.min(niceHigh, bounds.high), ...finite),
  };
}

/** Room that a chart needs beside its axes. */
export interface SmallChartRoom {
  /** Above the frame, for a legend. */
  legendHeight?: number;
  /** Right of the frame, for names at the ends of lines. */
  right?: number;
}

/** Layout of a small chart; the value axis's title stands above the frame. */
export function smallChart(
  size: PlotSize,
  speeds: ValueRange,
  values: ValueRange,
  { legendHeight = 0, right: rightRoom = 20 }: SmallChartRoom = {},
): SmallChart {
  const span = (range: ValueRange): [number, number] =>
    range.high > range.low ? [range.low, range.high] : [range.low - 1, range.low + 1];
  const top = Math.ceil(TITLE_FONT * 1.3 + 8 + legendHeight);
  const bottom = Math.max(top + 30, size.height - Math.ceil(9 + TICK_FONT * 1.2 + 6 + TITLE_FONT * 1.3));
  const y = scaleLinear(span(values), [bottom, top]);
  const yCount = Math.max(2, Math.round((bottom - top) / 38));
  const yFormat = tickText(y.domain(), yCount);
  const yTicks = y.ticks(yCount).map((value) => ({ at: y(value), text: yFormat(value) }));
  const widest = yTicks.reduce((most, tick) => Math.max(most, textWidth(tick.text, TICK_FONT)), 0);
  const left = Math.ceil(widest + 16);
  const right = Math.max(left + 40, size.width - rightRoom);
  const x = scaleLinear(span(speeds), [left, right]);
  const xCount = Math.max(2, Math.round((right - left) / 70));
  const xFormat = tickText(x.domain(), xCount);
  const xTicks = x.ticks(xCount).map((value) => ({ at: x(value), text: xFormat(value) }));
  return { frame: { left, top, right, bottom }, x, y, xTicks, yTicks };
}

/** 'Boost, kPa', or 'Lambda' where there is no unit. */
export function axisTitle(title: string, unit: string): string {
  return unit === '' ? title : `${title}, ${unit}`;
}

/** A value with its unit. */
export function valueText(value: number, decimals: number, unit: string): string {
  const text = formatNumber(value, decimals);
  return unit === '' ? text : `${text} ${unit}`;
}

/** '3,500 rpm' */
export function speedText(engineSpeedRpm: number): string {
  return valueText(engineSpeedRpm, 0, 'rpm');
}

export const CHART_FONT = LEGEND_FONT;
