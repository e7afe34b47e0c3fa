import type { ChartGeometry, StrokeGeometry } from './chart-geometry.ts';
import type { ChartLabel } from './chart-labels.ts';
import { DASH } from './dashes.ts';
import { type Group, joinNodes } from './drawing.ts';
import type { MapLayers } from './map-layers.ts';
import { mixColour } from './mix-colour.ts';
import type { Palette } from './palette.ts';
import { rounded } from './pixel-path.ts';
import { drawLabels, type TextLook } from './text-nodes.ts';

function drawStrokes(
  group: Group,
  strokes: readonly StrokeGeometry[],
  colour: string,
  width: (d: StrokeGeometry) => number,
) {
  return joinNodes(group, 'path', strokes)
    .attr('d', (d) => d.d)
    .attr('stroke', colour)
    .attr('stroke-width', width)
    .attr('stroke-dasharray', (d) => (d.extended ? DASH.extended : null));
}

function drawIslands(layers: MapLayers, geometry: ChartGeometry, palette: Palette): void {
  joinNodes(layers.surface['island-fills'], 'path', geometry.islands)
    .attr('d', (d) => d.fill)
    .attr('fill', (d) => mixColour(palette.islandFill[0], palette.islandFill[1], d.share));
  joinNodes(layers.surface['island-lines'], 'path', geometry.islands)
    .attr('d', (d) => d.line)
    .attr('stroke', (d) => mixColour(palette.islandLine[0], palette.islandLine[1], d.share))
    .attr('stroke-width', (d) => rounded(0.8 + 0.5 * d.share));
}

function lookOf(label: ChartLabel, palette: Palette): TextLook {
  if (label.role === 'rated') return { fill: palette.rated, weight: 600 };
  if (label.role === 'surge') return { fill: palette.surge, weight: 600 };
  if (label.role === 'island') return { fill: palette.islandLine[1], weight: 600 };
  return { fill: palette.inkSoft, weight: 400 };
}

function drawSheetPoints(group: Group, geometry: ChartGeometry, palette: Palette): void {
  joinNodes(group, 'path', geometry.sheetPoints)
    .attr('d', (d) => {
      const x = rounded(d.x);
      const y = rounded(d.y);
      return `M${rounded(x - 3)},${y}H${rounded(x + 3)}M${x},${rounded(y - 3)}V${rounded(y + 3)}`;
    })
    .attr('stroke', palette.ink)
    .attr('stroke-width', 1);
}

/** Draws the layers that do not move with the engine. */
export function drawChart(layers: MapLayers, geometry: ChartGeometry, palette: Palette): void {
  drawIslands(layers, geometry, palette);
  drawStrokes(layers.surface['speed-lines'], geometry.speedLines, palette.speedLine, (d) => (d.isRated ? 1.8 : 1.2));
  drawStrokes(layers.surface.surge, geometry.surge, palette.surge, (d) => (d.extended ? 1.6 : 2.6));
  drawStrokes(layers.surface.choke, geometry.choke, palette.inkSoft, () => 1).attr('stroke-dasharray', (d) =>
    d.extended ? DASH.extended : DASH.choke,
  );
  drawStrokes(layers.surface.rated, geometry.rated, palette.rated, () => 1.8).attr('stroke-dasharray', DASH.rated);
  drawSheetPoints(layers.surface['sheet-points'], geometry, palette);
  drawLabels(layers.chartLabels, geometry.labels, palette.paper, (label) => lookOf(label, palette));
}
