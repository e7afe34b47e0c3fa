import { candidateMarker } from './candidate-look.ts';
import { joinNodes } from './drawing.ts';
import type { LabelBox } from './label-box.ts';
import { placeLabels } from './label-placement.ts';
import { spotsAround } from './label-spots.ts';
import type { MapLayers } from './map-layers.ts';
import type { PlotPlace } from './map-plot-model.ts';
import { LABEL_FONT, type MapScales, toPixel } from './map-scales.ts';
import type { Palette } from './palette.ts';
import { linePath } from './pixel-path.ts';
import type { PixelPoint } from './pixel-point.ts';
import { drawLabels } from './text-nodes.ts';

interface ShownPlace extends PixelPoint {
  place: PlotPlace;
}

function colourOf(place: PlotPlace, palette: Palette): string {
  return place.severity === 'note' ? palette.inkSoft : palette[place.severity];
}

/** Four ticks that point inwards: found by the eye without anything blinking. */
function pointers({ x, y }: PixelPoint): string {
  return linePath([
    [
      { x: x - 19, y },
      { x: x - 13, y },
    ],
    [
      { x: x + 13, y },
      { x: x + 19, y },
    ],
    [
      { x, y: y - 19 },
      { x, y: y - 13 },
    ],
    [
      { x, y: y + 13 },
      { x, y: y + 19 },
    ],
  ]);
}

/** Draws the places that findings point at. Places whose data is not finite are not drawn; labels keep clear of `taken`. */
export function drawPlaces(
  layers: MapLayers,
  places: readonly PlotPlace[],
  scales: MapScales,
  palette: Palette,
  taken: readonly LabelBox[],
): void {
  const shown: ShownPlace[] = places
    .map((place) => ({ place, ...toPixel(scales, place.at) }))
    .filter(({ x, y }) => Number.isFinite(x) && Number.isFinite(y))
    .sort((a, b) => Number(a.place.highlighted) - Number(b.place.highlighted));
  joinNodes(layers.places, 'path', shown)
    .attr('data-place', ({ place }) => place.id)
    .attr('d', (d) => candidateMarker('a', d, d.place.highlighted ? 12 : 8) + (d.place.highlighted ? pointers(d) : ''))
    .attr('stroke', ({ place }) => colourOf(place, palette))
    .attr('stroke-width', ({ place }) => (place.highlighted ? 2.4 : 1.5))
    .attr('fill', 'transparent')
    .style('cursor', 'pointer');
  const labels = placeLabels(
    [...shown].reverse().map(({ place, x, y }) => ({
      key: place.id,
      text: place.label,
      fontSize: LABEL_FONT,
      bold: true,
      spots:
        place.label === ''
          ? []
          : [16, 26].flatMap((distance, step) =>
              spotsAround({ x, y }, distance, ['ne', 'se', 'nw', 'sw', 'e', 'w', 'n', 's'], 0.2, step * 2),
            ),
    })),
    { frame: scales.frame, taken, lines: [] },
  );
  const colours = new Map(shown.map(({ place }) => [place.id, colourOf(place, palette)]));
  drawLabels(layers.places, labels, palette.paper, (label) => ({
    fill: colours.get(label.key) ?? palette.ink,
    weight: 600,
  }));
}
