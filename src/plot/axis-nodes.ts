import { type Group, joinNodes, middle } from './drawing.ts';
import { TICK_FONT, TITLE_FONT, type Tick } from './map-scales.ts';
import type { Palette } from './palette.ts';
import { rounded } from './pixel-path.ts';
import type { PixelFrame } from './pixel-point.ts';

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
