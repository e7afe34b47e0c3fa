import type { ChartGeometry, StrokeGeometry } from './chart-geometry.ts';
import { DASH } from './dashes.ts';
import { type Group, joinNodes } from './drawing.ts';
import type { MapLayers } from './map-layers.ts';
import { mixColour } from './mix-colour.ts';
import type { Palette } from './palette.ts';
import { drawLabels } from './text-nodes.ts';

/** Thin lines of a candidate's map stand back behind its operating line. */
const PALE = 0.62;

function drawDashed(group: Group, strokes: readonly StrokeGeometry[], colour: string, width: number, dash: string) {
  joinNodes(group, 'path', strokes)
    .attr('d', (d) => d.d)
    .attr('stroke', colour)
    .attr('stroke-width', width)
    .attr('stroke-dasharray', (d) => (d.extended ? DASH.extended : dash));
}

/**
 * The second candidate's map over the first: every line in its own dash and colour, without islands; null takes it off. Two families of
 * islands in one drawing could not be read.
 */
export function drawSecondMap(layers: MapLayers, geometry: ChartGeometry | null, palette: Palette): void {
  const { second, secondLabels } = layers;
  const thin = mixColour(palette.paper, palette.candidateB, PALE);
  drawDashed(second['speed-lines'], geometry?.speedLines ?? [], thin, 1.2, DASH.candidateB);
  drawDashed(second.surge, geometry?.surge ?? [], palette.candidateB, 2.6, DASH.candidateB);
  drawDashed(second.choke, geometry?.choke ?? [], palette.candidateB, 1, DASH.choke);
  drawDashed(second.rated, geometry?.rated ?? [], palette.rated, 1.8, DASH.rated);
  drawLabels(secondLabels, geometry?.labels ?? [], palette.paper, ({ role }) =>
    role === 'rated'
      ? { fill: palette.rated, weight: 600 }
      : { fill: palette.candidateB, weight: role === 'surge' ? 600 : 400 },
  );
}
