import {
  type CandidateStyle,
  CREEP_BEAD,
  CREEP_LINE,
  candidateLook,
  candidateMarker,
  DASH,
  HOLLOW,
  HOLLOW_CORE,
  type Palette,
  severityOutline,
} from './looks.ts';
import { drawShapes, middle, type Shape } from './mark.ts';
import { type Group, joinNodes } from './nodes.ts';
import { LABEL_FONT, type PixelPoint, rounded, textWidth, wrappedText } from './pixels.ts';

type LegendSwatch =
  | `candidate-${CandidateStyle}`
  | 'turbine-limited'
  | 'creep'
  | 'ceiling-limited'
  | 'speed-line'
  | 'island'
  | 'extended'
  | 'sheet-point'
  | 'caution'
  | 'stop'
  | 'unmet'
  | 'none';

export interface LegendItem {
  swatch: LegendSwatch;
  text: string;
}

interface PlacedLegendItem extends LegendItem, PixelPoint {
  textX: number;
}

export interface LegendLayout {
  items: readonly PlacedLegendItem[];
  height: number;
}

const SWATCH = 28;
const ROW = 17;
const GAP = 18;

/** Items in rows from the left edge, `y` being the middle of a row; a text wider than a row goes on in the next. */
export function layOutLegend(items: readonly LegendItem[], left: number, top: number, width: number): LegendLayout {
  const placed: PlacedLegendItem[] = [];
  let x = left;
  let y = top + ROW / 2;
  for (const item of items) {
    const lead = item.swatch === 'none' ? 0 : SWATCH + 6;
    const needed = lead + textWidth(item.text, LABEL_FONT);
    if (x > left && x + needed > left + width) {
      x = left;
      y += ROW;
    }
    const rows = needed > width ? wrappedText(item.text, LABEL_FONT, width - lead) : [item.text];
    rows.forEach((text, index) => {
      if (index > 0) y += ROW;
      placed.push({ swatch: index === 0 ? item.swatch : 'none', text, x, y, textX: x + lead });
    });
    x = rows.length > 1 ? left + width : x + needed + GAP;
  }
  return { items: placed, height: items.length === 0 ? 0 : y + ROW / 2 - top };
}

function swatchesOf(item: PlacedLegendItem, palette: Palette): Shape[] {
  const y = rounded(item.y);
  const middleX = rounded(item.x + SWATCH / 2);
  const stroke = (colour: string, width: number, dash: string | null = null): Shape => ({
    d: `M${rounded(item.x)},${y}h${SWATCH}`,
    stroke: colour,
    width,
    dash,
    fill: 'none',
  });
  switch (item.swatch) {
    case 'candidate-a':
    case 'candidate-b':
    case 'candidate-c':
    case 'candidate-d': {
      const style = item.swatch.slice(-1) as CandidateStyle;
      const look = candidateLook(style, palette);
      const d = candidateMarker(style, { x: middleX, y: item.y });
      return [stroke(look.colour, 2.4, look.dash), { ...stroke(look.colour, 1.8), d, fill: palette.paper }];
    }
    case 'turbine-limited':
      return [stroke(palette.ink, HOLLOW), stroke(palette.paper, HOLLOW_CORE)];
    case 'creep':
      return [stroke(palette.ink, CREEP_LINE), stroke(palette.ink, CREEP_BEAD, DASH.creep)];
    case 'ceiling-limited': {
      const ticks = [4, 12, 20].map((at) => `M${rounded(item.x + 2 + at)},${rounded(item.y - 4.5)}v9`).join('');
      return [stroke(palette.ink, 2.4), { ...stroke(palette.ink, 1.3), d: ticks }];
    }
    case 'speed-line':
      return [stroke(palette.speedLine, 1.1)];
    case 'island': {
      const d = `M${rounded(item.x + 3)},${y}a11,4.5 0 1,0 22,0a11,4.5 0 1,0 -22,0Z`;
      return [{ ...stroke(palette.islandLine[1], 1.3), d }];
    }
    case 'extended':
      return [stroke(palette.inkSoft, 1.8, DASH.extended)];
    case 'sheet-point':
      return [{ ...stroke(palette.ink, 1), d: `M${middleX - 3},${y}h6M${middleX},${rounded(y - 3)}v6` }];
    case 'caution':
    case 'stop': {
      const colour = palette[item.swatch];
      const at = { x: middleX, y: item.y };
      const ring = { ...stroke(colour, 1.6), d: severityOutline(item.swatch, at) };
      const core = { ...ring, d: candidateMarker('a', at), fill: item.swatch === 'stop' ? colour : palette.paper };
      return [ring, core];
    }
    case 'unmet': {
      const d = `M${rounded(middleX - 4)},${rounded(item.y - 4)}l8,8M${rounded(middleX - 4)},${rounded(item.y + 4)}l8,-8`;
      return [{ ...stroke(palette.ink, 1.6), d }];
    }
    case 'none':
      return [];
  }
}

/** Draws the laid-out legend. */
export function drawLegend(group: Group, layout: LegendLayout, palette: Palette): void {
  drawShapes(
    group,
    layout.items.flatMap((item) => swatchesOf(item, palette)),
  );
  joinNodes(group, 'text', layout.items)
    .attr('x', (d) => rounded(d.textX))
    .attr('y', (d) => rounded(d.y + middle(LABEL_FONT)))
    .attr('font-size', LABEL_FONT)
    .attr('fill', palette.ink)
    .text((d) => d.text);
}
