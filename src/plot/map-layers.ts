import { addGroup, type Group, prepareRoot, type Root } from './drawing.ts';
import { SURFACE_LAYERS, type SurfaceLayer } from './map-layer-names.ts';
import type { MapScales, PlotSize } from './map-scales.ts';
import type { Palette } from './palette.ts';
import { rounded } from './pixel-path.ts';

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
