import { addGroup, prepareRoot } from './drawing.ts';
import { layOutLegend } from './legend-layout.ts';
import { drawLegend } from './legend-nodes.ts';
import { mapLegend } from './map-legend.ts';
import type { MapPlotModel } from './map-plot-model.ts';
import type { Palette } from './palette.ts';

/**
 * One legend for several maps drawn apart (drawMapPlot with its legend left out), each line of it once. Sizes the SVG to `width` and
 * returns the height that it took, both in pixels.
 */
export function drawMapLegend(
  svg: SVGSVGElement,
  models: readonly Pick<MapPlotModel, 'chart' | 'operatingLines' | 'second'>[],
  palette: Palette,
  width: number,
): number {
  const all = models.map(({ chart, operatingLines, second }) => mapLegend(chart, operatingLines, true, second));
  const known = new Set<string>();
  const once = all.flat().filter(({ swatch, text }) => {
    const key = `${swatch} ${text}`;
    return !known.has(key) && known.add(key);
  });
  // Candidates first, then what all maps have in common.
  const isLine = (swatch: string) => swatch.startsWith('candidate');
  const items = [...once.filter(({ swatch }) => isLine(swatch)), ...once.filter(({ swatch }) => !isLine(swatch))];
  const layout = layOutLegend(items, 0, 0, width);
  const root = prepareRoot(svg);
  const height = Math.ceil(layout.height);
  root.attr('width', width).attr('height', height).attr('viewBox', `0 0 ${width} ${height}`);
  drawLegend(addGroup(root, 'legend'), layout, palette);
  return height;
}
