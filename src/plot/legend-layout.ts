import type { PixelPoint } from './pixel-point.ts';
import { textWidth } from './text-width.ts';
import { wrappedText } from './wrapped-text.ts';

export type LegendSwatch =
  | 'candidate-a'
  | 'candidate-b'
  | 'turbine-limited'
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

export interface PlacedLegendItem extends LegendItem, PixelPoint {
  textX: number;
}

export interface LegendLayout {
  items: readonly PlacedLegendItem[];
  height: number;
}

export const LEGEND_FONT = 12;
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
    const needed = lead + textWidth(item.text, LEGEND_FONT);
    if (x > left && x + needed > left + width) {
      x = left;
      y += ROW;
    }
    const rows = needed > width ? wrappedText(item.text, LEGEND_FONT, width - lead) : [item.text];
    rows.forEach((text, index) => {
      if (index > 0) y += ROW;
      placed.push({ swatch: index === 0 ? item.swatch : 'none', text, x, y, textX: x + lead });
    });
    x = rows.length > 1 ? left + width : x + needed + GAP;
  }
  return { items: placed, height: items.length === 0 ? 0 : y + ROW / 2 - top };
}

export const SWATCH_WIDTH = SWATCH;
