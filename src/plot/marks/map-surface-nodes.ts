import type { MapScales, PlotSize } from '../charts/map-scales.ts';
import {
  addGroup,
  drawLabels,
  type Group,
  joinNodes,
  prepareRoot,
  type Root,
  type TextLook,
} from '../frame/drawing.ts';
import { rounded } from '../frame/pixels.ts';
import { mixColour, type Palette } from '../palette.ts';
import { DASH } from './looks.ts';
import type { ChartGeometry, ChartLabel, StrokeGeometry } from './map-surface.ts';
import { SURFACE_LAYERS, type SurfaceLayer } from './map-surface.ts';

/** The groups of the map plot, from the back to the front. */
export interface MapLayers {
  root: Root;
  grid: Group;
  surface: Readonly<Record<SurfaceLayer, Group>>;
  chartLabels: Group;
  second: Readonly<Record<SurfaceLayer, Group>>;
  secondLabels: Group;
  operatingLines: Group;
  operatingLabels: Group;
  places: Group;
  axes: Group;
  legend: Group;
  readout: Group;
  /** Sets size, background and clipping; called when the size, the frame or the palette changed. */
  fit(size: PlotSize, scales: MapScales, palette: Palette): void;
}

/** Empties the SVG and builds the layers. `idPrefix` keeps the clip path's id unique on the page. */
export function buildMapLayers(svg: SVGSVGElement, idPrefix: string): MapLayers {
  const root = prepareRoot(svg);
  const clipId = `${idPrefix}-frame`;
  const clip = root.append('defs').append('clipPath').attr('id', clipId).append('rect');
  const paper = root.append('rect').attr('class', 'paper');
  const ground = root.append('rect').attr('class', 'ground');
  const clipped = (name: string) => addGroup(root, name).attr('clip-path', `url(#${clipId})`) as Group;
  const grid = addGroup(root, 'grid');
  const surfaceOf = (name: string) => {
    const group = clipped(name).attr('fill', 'none').attr('stroke-linejoin', 'round') as Group;
    const layersOf = {} as Record<SurfaceLayer, Group>;
    for (const layer of SURFACE_LAYERS) layersOf[layer] = addGroup(group, layer);
    return layersOf;
  };
  const surface = surfaceOf('surface');
  const second = surfaceOf('second-surface');
  const chartLabels = addGroup(root, 'chart-labels');
  const secondLabels = addGroup(root, 'second-labels');
  const operatingLines = clipped('operating-lines').attr('fill', 'none') as Group;
  const operatingLabels = addGroup(root, 'operating-labels');
  const places = clipped('places');
  const axes = addGroup(root, 'axes');
  const legend = addGroup(root, 'legend');
  const readout = addGroup(root, 'readout').attr('pointer-events', 'none') as Group;
  return {
    root,
    grid,
    surface,
    chartLabels,
    second,
    secondLabels,
    operatingLines,
    operatingLabels,
    places,
    axes,
    legend,
    readout,
    fit(size, { frame }, palette) {
      const width = rounded(size.width);
      const height = rounded(size.height);
      root.attr('width', width).attr('height', height).attr('viewBox', `0 0 ${width} ${height}`);
      paper.attr('width', width).attr('height', height).attr('fill', palette.paper);
      for (const rect of [clip, ground]) {
        rect
          .attr('x', frame.left)
          .attr('y', frame.top)
          .attr('width', rounded(frame.right - frame.left))
          .attr('height', rounded(frame.bottom - frame.top));
      }
      ground.attr('fill', palette.paper);
    },
  };
}

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
