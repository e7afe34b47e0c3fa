import { type Selection, select } from 'd3-selection';
import type { PlacedLabel } from './labels.ts';
import { rounded } from './pixels.ts';

/** The screen's face first, then faces that any machine that opens an exported file has. */
export const FONT_FAMILY = "Barlow, 'Segoe UI', 'Helvetica Neue', Arial, 'Liberation Sans', Roboto, sans-serif";

export type Group = Selection<SVGGElement, unknown, null, undefined>;
export type Root = Selection<SVGSVGElement, unknown, null, undefined>;

/** Appends a group with a class name. */
export function addGroup(parent: Group | Root, name: string): Group {
  return parent.append('g').attr('class', name) as Group;
}

/** Joins data to children of one tag: as many nodes as data, in the data's order. */
export function joinNodes<D, Tag extends keyof SVGElementTagNameMap>(group: Group, tag: Tag, data: readonly D[]) {
  return group
    .selectAll<SVGElementTagNameMap[Tag], D>(`:scope > ${tag}`)
    .data(data)
    .join((enter) => enter.append<SVGElementTagNameMap[Tag]>(tag as string));
}

/** Sets what every drawing's root carries; returns the emptied root. */
export function prepareRoot(svg: SVGSVGElement): Root {
  const root = select(svg) as unknown as Root;
  root.selectAll('*').remove();
  root.attr('font-family', FONT_FAMILY).attr('style', 'font-variant-numeric: tabular-nums');
  return root;
}

/** Baseline shift that puts the middle of figures and capitals on y (dominant-baseline is not understood by every SVG reader). */
export function middle(fontSize: number): number {
  return Math.round(fontSize * 3.5) / 10;
}

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
