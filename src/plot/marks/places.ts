import type { FlowAxis, PlotPlace } from '../charts/map-model.ts';
import type { MapReadout } from '../charts/map-reading.ts';
import { LABEL_FONT, type MapScales, readoutDecimals, TICK_FONT, toPixel } from '../charts/map-scales.ts';
import { drawLabels, type Group, joinNodes, middle } from '../frame/drawing.ts';
import { placeLabels, spotsAround } from '../frame/labels.ts';
import { type LabelBox, linePath, type PixelFrame, type PixelPoint, rounded } from '../frame/pixels.ts';
import { textWidth } from '../frame/text.ts';
import type { Palette } from '../palette.ts';
import { candidateMarker } from './looks.ts';
import type { MapLayers } from './map-surface-nodes.ts';

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

interface Tag {
  x: number;
  y: number;
  width: number;
  height: number;
  lines: readonly string[];
  inverse: boolean;
}

const ROW = 16;
const PAD = 7;

function axisTags(at: PixelPoint, readout: MapReadout, scales: MapScales, axis: FlowAxis): Tag[] {
  const { frame } = scales;
  const acrossStep = Math.abs(scales.x.invert(1) - scales.x.invert(0));
  const upStep = Math.abs(scales.y.invert(1) - scales.y.invert(0));
  const flowStep = (scales.isFlowUp ? upStep : acrossStep) * axis.perKgPerS;
  const ratioStep = scales.isFlowUp ? acrossStep : upStep;
  const flowNumber = (readout.at.correctedMassFlowKgPerS * axis.perKgPerS).toFixed(readoutDecimals(flowStep));
  // Beside the upright axis there is room for the number only; the axis says its unit.
  const flow = scales.isFlowUp ? flowNumber : `${flowNumber} ${axis.unit}`;
  const ratio = readout.at.pressureRatio.toFixed(readoutDecimals(ratioStep));
  const [across, up] = scales.isFlowUp ? [ratio, flow] : [flow, ratio];
  const acrossWidth = textWidth(across, TICK_FONT) + 10;
  const upWidth = textWidth(up, TICK_FONT) + 10;
  const acrossX = Math.min(Math.max(at.x - acrossWidth / 2, frame.left), frame.right - acrossWidth);
  return [
    { x: acrossX, y: frame.bottom + 4, width: acrossWidth, height: ROW + 2, lines: [across], inverse: true },
    {
      x: frame.left - upWidth - 4,
      y: at.y - ROW / 2 - 1,
      width: upWidth,
      height: ROW + 2,
      lines: [up],
      inverse: true,
    },
  ];
}

/**
 * In the corner left of surge, which a map leaves empty, so that it neither covers what is read nor moves with the pointer; in the
 * opposite corner, beyond choke, while the point itself is there.
 */
function callout(at: PixelPoint, lines: readonly string[], frame: PixelFrame): Tag {
  const width = Math.max(...lines.map((line, row) => textWidth(line, TICK_FONT, row === 0))) + 2 * PAD;
  const height = lines.length * ROW + PAD;
  const isInCorner = at.x < frame.left + width + 24 && at.y < frame.top + height + 24;
  const x = isInCorner ? frame.right - width - 6 : frame.left + 6;
  const y = isInCorner ? frame.bottom - height - 6 : frame.top + 6;
  return { x, y, width, height, lines, inverse: false };
}

function drawTags(group: Group, tags: readonly Tag[], palette: Palette): void {
  joinNodes(group, 'rect', tags)
    .attr('x', (d) => rounded(d.x))
    .attr('y', (d) => rounded(d.y))
    .attr('width', (d) => rounded(d.width))
    .attr('height', (d) => rounded(d.height))
    .attr('rx', 2)
    .attr('fill', (d) => (d.inverse ? palette.ink : palette.raised))
    .attr('stroke', (d) => (d.inverse ? 'none' : palette.frame));
  const texts = tags.flatMap((tag) =>
    tag.lines.map((text, row) => ({
      text,
      x: tag.x + (tag.inverse ? 5 : PAD),
      y: tag.y + (tag.inverse ? 1 : PAD / 2) + ROW * (row + 0.5),
      inverse: tag.inverse,
      isFirst: row === 0,
    })),
  );
  joinNodes(group, 'text', texts)
    .attr('x', (d) => rounded(d.x))
    .attr('y', (d) => rounded(d.y + middle(TICK_FONT)))
    .attr('font-size', TICK_FONT)
    .attr('font-weight', (d) => (!d.inverse && d.isFirst ? 600 : 400))
    .attr('fill', (d) => (d.inverse ? palette.paper : palette.ink))
    .text((d) => d.text);
}

/** Crosshair, values on the axes and the described lines beside the point; null clears it. A point outside the frame is not drawn. */
export function drawReadout(
  group: Group,
  readout: MapReadout | null,
  lines: readonly string[],
  scales: MapScales,
  axis: FlowAxis,
  palette: Palette,
): void {
  const { frame } = scales;
  const at = readout && toPixel(scales, readout.at);
  const isShown = at !== null && at.x >= frame.left && at.x <= frame.right && at.y >= frame.top && at.y <= frame.bottom;
  if (!at || !readout || !isShown) {
    joinNodes(group, 'path', []);
    drawTags(group, [], palette);
    return;
  }
  const x = rounded(at.x);
  const y = rounded(at.y);
  joinNodes(group, 'path', [
    `M${frame.left},${y}H${rounded(x - 7)}M${rounded(x + 7)},${y}H${frame.right}`,
    `M${x},${frame.top}V${rounded(y - 7)}M${x},${rounded(y + 7)}V${frame.bottom}`,
    `M${rounded(x - 5)},${y}a5,5 0 1,0 10,0a5,5 0 1,0 -10,0Z`,
  ])
    .attr('d', (d) => d)
    .attr('fill', 'none')
    .attr('stroke', palette.ink)
    .attr('stroke-width', (_, i) => (i === 2 ? 1.6 : 0.8))
    .attr('stroke-opacity', (_, i) => (i === 2 ? 1 : 0.6));
  const tags = axisTags(at, readout, scales, axis);
  drawTags(group, lines.length > 0 ? [...tags, callout(at, lines, frame)] : tags, palette);
}
