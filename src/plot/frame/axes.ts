import { nice, tickStep, ticks } from 'd3';
import { formatNumber } from '../../units/index.ts';
import { drawLegend, type LegendLayout } from './legend.ts';
import type { Palette } from './looks.ts';
import { drawShapes, middle, type Stage } from './mark.ts';
import { drawNodes, type Group, writeAttributes, writeText } from './nodes.ts';
import { type PlotSize, rounded, TICK_FONT, TITLE_FONT, textWidth } from './pixels.ts';

type Span = readonly [number, number];

/** A straight line from data to pixels and back; data that is not finite gives a pixel that is not, and a span of nothing its middle. */
export interface LinearScale {
  (value: number): number;
  invert(pixel: number): number;
  domain(): [number, number];
  range(): [number, number];
}

/** d3's own scale brings colours, dates and number formats along: 8 kB of a start script that has no room for them. */
export function linearScale([low, high]: Span, [from, to]: Span): LinearScale {
  const between = (a: number, b: number, share: number) => a * (1 - share) + b * share;
  const scale = (value: number) => between(from, to, high === low ? 0.5 : (value - low) / (high - low));
  return Object.assign(scale, {
    invert: (pixel: number) =>
      to < from ? between(high, low, (pixel - to) / (from - to)) : between(low, high, (pixel - from) / (to - from)),
    domain: (): [number, number] => [low, high],
    range: (): [number, number] => [from, to],
  });
}

export interface Tick {
  /** Pixels along the axis. */
  at: number;
  text: string;
}

/** Writes the ticks of an axis, all with the decimals that its step needs: '0.5', '1.0', '1.5'. `count`: how many are wanted, above 0. */
export function tickText([start = 0, stop = 1]: readonly number[], count: number): (value: number) => string {
  const step = Math.abs(tickStep(start, stop, count));
  // Steps are 1, 2 or 5 times a power of ten; the margin is for the logarithm's rounding (log10(0.001) may come out above -3).
  const decimals = step > 0 ? Math.min(12, Math.max(0, -Math.floor(Math.log10(step) + 1e-9))) : 0;
  return (value) => formatNumber(value, decimals);
}

/** About `count` ticks at round numbers of the axis's own unit, which is `factor` times that of the scale. */
export function ticksOf(scale: LinearScale, count: number, factor = 1): Tick[] {
  const [low, high] = scale.domain().map((value) => value * factor) as [number, number];
  const axis = linearScale([low, high], scale.range());
  const format = tickText([low, high], count);
  return ticks(low, high, count).map((value) => ({ at: axis(value), text: format(value) }));
}

/** A stage with two straight axes. */
export interface Axes extends Stage {
  x: LinearScale;
  y: LinearScale;
  xTicks: readonly Tick[];
  yTicks: readonly Tick[];
  xTitle: string;
  /** Stands upright beside the axis; '' where the heading says it. */
  yTitle: string;
  /** Above the frame, at the left edge. */
  heading?: string;
  legend?: LegendLayout | undefined;
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
  const [low, high] = [Math.min(...finite), Math.max(...finite)];
  const spare = Math.max((high - low) * share, (leastSpan - (high - low)) / 2, 0);
  const [niceLow, niceHigh] = nice(low - spare, high + spare, 5);
  // The bounds never hide a value that is there.
  return {
    low: Math.min(Math.max(niceLow, bounds.low), ...finite),
    high: Math.max(Math.min(niceHigh, bounds.high), ...finite),
  };
}

/** An axis of a small chart. */
export interface LineAxis {
  title: string;
  /** '' for a plain ratio. */
  unit: string;
  decimals: number;
}

/** 'Boost, kPa', or 'Lambda' where there is no unit. */
export function axisTitle({ title, unit }: Pick<LineAxis, 'title' | 'unit'>): string {
  return unit === '' ? title : `${title}, ${unit}`;
}

/** A value with its unit; of more than four digits before the point four are known. */
export function valueText(value: number, { decimals, unit }: Pick<LineAxis, 'decimals' | 'unit'>): string {
  const text = formatNumber(Math.abs(value) < 1e4 ? value : Number(value.toPrecision(4)), decimals);
  return unit === '' ? text : `${text} ${unit}`;
}

export const SPEED_AXIS: LineAxis = { title: 'Engine speed', unit: 'rpm', decimals: 0 };

/**
 * The axes of a small chart; `legendHeight` and `right`: room that it needs above and right of its frame; `widestTick`: charts that stand
 * one under the other begin at one line where all have the same.
 */
export function smallChart(
  size: PlotSize,
  across: ValueRange,
  up: ValueRange,
  {
    legendHeight = 0,
    right: rightRoom = 20,
    widestTick = '',
  }: { legendHeight?: number; right?: number; widestTick?: string | undefined } = {},
): Omit<Axes, 'xTitle' | 'yTitle'> {
  const span = ({ low, high }: ValueRange): Span => (high > low ? [low, high] : [low - 1, low + 1]);
  const top = Math.ceil(TITLE_FONT * 1.3 + 8 + legendHeight);
  const bottom = Math.max(top + 30, size.height - Math.ceil(9 + TICK_FONT * 1.2 + 6 + TITLE_FONT * 1.3));
  const y = linearScale(span(up), [bottom, top]);
  const yTicks = ticksOf(y, Math.max(2, Math.round((bottom - top) / 38)));
  const widest = yTicks.reduce(
    (most, tick) => Math.max(most, textWidth(tick.text, TICK_FONT)),
    textWidth(widestTick, TICK_FONT),
  );
  const left = Math.ceil(widest + 16);
  const right = Math.max(left + 40, size.width - rightRoom);
  const x = linearScale(span(across), [left, right]);
  const xTicks = ticksOf(x, Math.max(2, Math.round((right - left) / 70)));
  return { size, frame: { left, top, right, bottom }, bleed: 1, x, y, xTicks, yTicks };
}

/** Whether two sets of axes are drawn alike. */
export function axesKey(axes: Axes): string {
  return JSON.stringify([axes, axes.x.domain(), axes.y.domain()]);
}

interface AxisText {
  transform: string;
  text: string;
  anchor: 'middle' | 'end';
  isTitle: boolean;
}

function axisTexts({ frame, xTicks, yTicks, xTitle, yTitle }: Axes): AxisText[] {
  const titleX = Math.round(6 + TITLE_FONT * 0.6);
  const centreX = rounded((frame.left + frame.right) / 2);
  const centreY = rounded((frame.top + frame.bottom) / 2);
  const titleY = Math.round(frame.bottom + 9 + TICK_FONT * 1.2 + 6 + TITLE_FONT * 0.6);
  const text = (transform: string, words: string, anchor: AxisText['anchor'], isTitle = false): AxisText => ({
    transform,
    text: words,
    anchor,
    isTitle,
  });
  return [
    ...xTicks.map(({ at, text: words }) =>
      text(`translate(${rounded(at)},${frame.bottom + 9 + TICK_FONT / 2})`, words, 'middle'),
    ),
    ...yTicks.map(({ at, text: words }) => text(`translate(${frame.left - 9},${rounded(at)})`, words, 'end')),
    text(`translate(${centreX},${titleY})`, xTitle, 'middle', true),
    text(`translate(${titleX},${centreY}) rotate(-90)`, yTitle, 'middle', true),
  ];
}

/** Sizes the drawing and draws what stands around the marks: grid, frame, ticks, titles, legend. */
export function drawAxes(layer: (name: string) => Group, axes: Axes, palette: Palette): void {
  const { frame, heading, xTicks, yTicks } = axes;
  const across = xTicks.map((tick) => `M${rounded(tick.at)},${frame.top}V${frame.bottom}`);
  const up = yTicks.map((tick) => `M${frame.left},${rounded(tick.at)}H${frame.right}`);
  drawShapes(layer('grid'), [{ d: [...across, ...up].join(''), stroke: palette.grid, width: 1, fill: 'none' }]);
  const marks = [
    ...xTicks.map((tick) => `M${rounded(tick.at)},${frame.bottom}v5`),
    ...yTicks.map((tick) => `M${frame.left},${rounded(tick.at)}h-5`),
  ].join('');
  const outline = `M${frame.left},${frame.top}H${frame.right}V${frame.bottom}H${frame.left}Z`;
  const lines = [outline, marks].map((d) => ({ d, fill: 'none', stroke: palette.frame, width: 1 }));
  drawShapes(layer('axes'), lines);
  drawNodes(layer('axes'), 'text', axisTexts(axes), (node, { transform, anchor, isTitle, text }) => {
    const size = isTitle ? TITLE_FONT : TICK_FONT;
    const fill = isTitle ? palette.ink : palette.inkSoft;
    writeAttributes(node, { transform, 'text-anchor': anchor, y: middle(size), 'font-size': size, fill });
    writeText(node, text);
  });
  if (axes.legend) drawLegend(layer('legend'), axes.legend, palette);
  if (heading === undefined) return;
  layer('heading')
    .attr('x', 8)
    .attr('y', TITLE_FONT * 0.65 + 3 + middle(TITLE_FONT))
    .attr('font-size', TITLE_FONT)
    .attr('fill', palette.ink)
    .text(heading);
}
