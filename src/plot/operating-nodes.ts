import { candidateLook, candidateMarker } from './candidate-look.ts';
import { DASH, HOLLOW, HOLLOW_CORE } from './dashes.ts';
import { joinNodes } from './drawing.ts';
import type { MapLayers } from './map-layers.ts';
import { mixColour } from './mix-colour.ts';
import type { OperatingGeometry } from './operating-geometry.ts';
import type { Palette } from './palette.ts';
import { rounded } from './pixel-path.ts';
import type { PixelPoint } from './pixel-point.ts';
import { drawLabels } from './text-nodes.ts';

interface Mark {
  d: string;
  stroke: string;
  width: number;
  dash: string | null;
  fill: string;
}

function ring(at: PixelPoint, radius: number): string {
  return candidateMarker('a', at, radius);
}

function cross(at: PixelPoint, arm: number): string {
  const [left, right] = [rounded(at.x - arm), rounded(at.x + arm)];
  const [top, bottom] = [rounded(at.y - arm), rounded(at.y + arm)];
  return `M${left},${top}L${right},${bottom}M${left},${bottom}L${right},${top}`;
}

function marksOf(line: OperatingGeometry, palette: Palette): Mark[] {
  const { colour, dash } = candidateLook(line.style, palette);
  if (line.isFaint) return faintMarks(line, palette);
  const marks: Mark[] = [
    { d: line.line, stroke: colour, width: 2.4, dash, fill: 'none' },
    { d: line.extendedLine, stroke: colour, width: 2, dash: DASH.extended, fill: 'none' },
    ...hollowMarks(line, colour, dash, palette),
    { d: line.ticks, stroke: colour, width: 1.3, dash: null, fill: 'none' },
    { d: line.leaders, stroke: colour, width: 0.8, dash: null, fill: 'none' },
    {
      d: line.markers.map((at) => candidateMarker(line.style, at)).join(''),
      stroke: colour,
      width: 1.8,
      dash: null,
      fill: palette.paper,
    },
    { d: line.unmet.map((at) => cross(at, 4)).join(''), stroke: colour, width: 1.6, dash: null, fill: 'none' },
  ];
  marks.push({ d: line.spread, stroke: palette.paper, width: 3, dash: null, fill: 'none' });
  marks.push({ d: line.spread, stroke: colour, width: 1.2, dash: null, fill: 'none' });
  marks.push({ d: line.beyond, stroke: palette.paper, width: 1, dash: null, fill: colour });
  for (const severity of ['stop', 'caution'] as const) {
    const hit = line.markers.filter((at) => at.severity === severity);
    const rings = hit.map((at) => ring(at, 8)).join('');
    marks.push({ d: rings, stroke: palette[severity], width: 1.6, dash: null, fill: 'none' });
    // A limit crossed fills the marker as well: readable without colour.
    const filled = severity === 'stop' ? hit.map((at) => candidateMarker(line.style, at)).join('') : '';
    marks.push({ d: filled, stroke: palette.stop, width: 1.8, dash: null, fill: palette.stop });
  }
  return marks.filter((mark) => mark.d !== '');
}

/** Two thin lines in place of one: wide strokes with paper down their middle, so that the dash of the candidate stays. */
function hollowMarks(line: OperatingGeometry, colour: string, dash: string | null, palette: Palette): Mark[] {
  return [
    { d: line.hollow, stroke: colour, width: HOLLOW, dash, fill: 'none' },
    { d: line.hollowExtended, stroke: colour, width: HOLLOW, dash: DASH.extended, fill: 'none' },
    { d: line.hollow + line.hollowExtended, stroke: palette.paper, width: HOLLOW_CORE, dash: null, fill: 'none' },
  ];
}

/** Thin and pale, but not dotted: dots say that the map is extended. */
function faintMarks(line: OperatingGeometry, palette: Palette): Mark[] {
  const { colour, dash } = candidateLook(line.style, palette);
  const stroke = mixColour(palette.paper, colour, 0.62);
  return [
    { d: line.line, stroke, width: 1.2, dash, fill: 'none' },
    { d: line.extendedLine, stroke, width: 1.2, dash: DASH.extended, fill: 'none' },
  ].filter((mark) => mark.d !== '');
}

/** Paper around the lines, under all of them: where two lines run together the solid one must show between the dashes of the other. */
function casing(line: OperatingGeometry, palette: Palette): Mark[] {
  if (line.isFaint) return [];
  return [
    { d: line.line, stroke: palette.paper, width: 5, dash: null, fill: 'none' },
    { d: line.hollow, stroke: palette.paper, width: HOLLOW + 2.5, dash: null, fill: 'none' },
  ].filter((mark) => mark.d !== '');
}

/** Draws the operating lines with their marks and labels: the layer that follows every keystroke. */
export function drawOperatingLines(layers: MapLayers, lines: readonly OperatingGeometry[], palette: Palette): void {
  joinNodes(layers.operatingLines, 'path', [
    ...lines.flatMap((line) => casing(line, palette)),
    ...lines.flatMap((line) => marksOf(line, palette)),
  ])
    .attr('d', (d) => d.d)
    .attr('stroke', (d) => d.stroke)
    .attr('stroke-width', (d) => d.width)
    .attr('stroke-dasharray', (d) => d.dash)
    .attr('fill', (d) => d.fill);
  const labels = lines.flatMap((line) =>
    line.labels.map((label) => ({
      ...label,
      colour: candidateLook(line.style, palette).colour,
      weight: line.isFaint ? (400 as const) : (600 as const),
    })),
  );
  drawLabels(layers.operatingLabels, labels, palette.paper, (label) => ({
    fill: label.colour,
    weight: label.weight,
  }));
}
