import { type Group, joinNodes, middle } from './drawing.ts';
import type { PlacedLabel } from './label-placement.ts';
import { rounded } from './pixel-path.ts';

export interface TextLook {
  fill: string;
  weight: 400 | 600;
}

/** Placed labels as texts with a halo of the paper's colour, so that lines behind them do not strike through. */
export function drawLabels<L extends PlacedLabel>(
  group: Group,
  labels: readonly L[],
  halo: string,
  lookOf: (label: L) => TextLook,
): void {
  joinNodes(group, 'text', labels)
    .attr('transform', (d) => {
      const turn = d.angle === 0 ? '' : ` rotate(${rounded(d.angle)})`;
      return `translate(${rounded(d.x)},${rounded(d.y)})${turn}`;
    })
    .attr('y', (d) => middle(d.fontSize))
    .attr('text-anchor', (d) => d.anchor)
    .attr('font-size', (d) => d.fontSize)
    .attr('font-weight', (d) => lookOf(d).weight)
    .attr('fill', (d) => lookOf(d).fill)
    .attr('stroke', halo)
    .attr('stroke-width', 3)
    .attr('stroke-linejoin', 'round')
    .attr('paint-order', 'stroke')
    .text((d) => d.text);
}
