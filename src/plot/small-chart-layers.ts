import { drawAxes, drawGrid } from './axis-nodes.ts';
import { addGroup, type Group, middle, prepareRoot, type Root } from './drawing.ts';
import { type PlotSize, TITLE_FONT } from './map-scales.ts';
import type { Palette } from './palette.ts';
import type { SmallChart } from './small-chart.ts';

/** The groups of a small chart, from the back to the front. */
export interface SmallChartLayers {
  root: Root;
  /** Behind grid and lines: bands and fields. */
  ground: Group;
  lines: Group;
  labels: Group;
  points: Group;
  pointed: Group;
  legend: Group;
  fit(size: PlotSize, chart: SmallChart, heading: string, palette: Palette, xTitle?: string): void;
}

/** Empties the SVG and builds the layers. */
export function buildSmallChartLayers(svg: SVGSVGElement, idPrefix: string): SmallChartLayers {
  const root = prepareRoot(svg);
  const clipId = `${idPrefix}-frame`;
  const clip = root.append('defs').append('clipPath').attr('id', clipId).append('rect');
  const paper = root.append('rect').attr('class', 'paper');
  const ground = addGroup(root, 'ground').attr('clip-path', `url(#${clipId})`) as Group;
  const grid = addGroup(root, 'grid');
  const axes = addGroup(root, 'axes');
  const heading = root.append('text').attr('class', 'heading').attr('x', 8);
  const lines = addGroup(root, 'lines').attr('fill', 'none').attr('clip-path', `url(#${clipId})`) as Group;
  const labels = addGroup(root, 'labels');
  const legend = addGroup(root, 'legend');
  const points = addGroup(root, 'points');
  const pointed = addGroup(root, 'pointed').attr('pointer-events', 'none') as Group;
  let drawn = '';
  return {
    root,
    ground,
    lines,
    labels,
    points,
    pointed,
    legend,
    fit(size, chart, title, palette, xTitle = 'Engine speed, rpm') {
      const { xTicks, yTicks } = chart;
      // Axes stand still while an input moves: most calls find them drawn.
      const wanted = JSON.stringify([size, chart.frame, xTicks, yTicks, title, xTitle, palette.name]);
      if (wanted === drawn) return;
      drawn = wanted;
      root.attr('width', size.width).attr('height', size.height).attr('viewBox', `0 0 ${size.width} ${size.height}`);
      paper.attr('width', size.width).attr('height', size.height).attr('fill', palette.paper);
      const { frame } = chart;
      clip
        .attr('x', frame.left)
        .attr('y', frame.top - 1)
        .attr('width', frame.right - frame.left)
        .attr('height', frame.bottom - frame.top + 2);
      heading
        .attr('y', TITLE_FONT * 0.65 + 3 + middle(TITLE_FONT))
        .attr('font-size', TITLE_FONT)
        .attr('fill', palette.ink)
        .text(title);
      const geometry = { ...chart, xTitle, yTitle: '' };
      drawGrid(grid, geometry, palette);
      drawAxes(axes, geometry, palette);
    },
  };
}
