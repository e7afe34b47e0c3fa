import type { Axes } from '../frame/axes.ts';
import { type LineStyle, mixColour } from '../frame/looks.ts';
import { type Mark, placed, type Shape, type StyledRequest } from '../frame/mark.ts';
import { LABEL_FONT, type PixelFrame, rounded } from '../frame/pixels.ts';
import { BAND_EDGE, colourOf } from './series.ts';

/** A stretch of the x axis: where the wastegate is shut, say. */
export interface LineSpan {
  id: string;
  style: LineStyle;
  from: number;
  to: number;
  /** Stands in it where there is room. */
  label: string;
}

const HATCH_SPACING = 9;

/** Lines at 45 degrees in a box, cut at its sides: no pattern is needed, so that the drawing stands alone in a file. */
function hatchIn({ left, right, top, bottom }: PixelFrame, isRising: boolean): string {
  const height = bottom - top;
  let d = '';
  for (let start = left - height + HATCH_SPACING / 2; start < right; start += HATCH_SPACING) {
    const from = Math.max(left, start);
    const to = Math.min(right, start + height);
    if (to <= from) continue;
    const y = (x: number) => rounded(isRising ? bottom - (x - start) : top + (x - start));
    d += `M${rounded(from)},${y(from)}L${rounded(to)},${y(to)}`;
  }
  return d;
}

/** The stretches with their hatches, those of A rising and those of B falling, and a line where each ends. */
export const spanHatches: Mark<{ spans: readonly LineSpan[] }, Axes> = {
  render({ spans }, { frame, x }, context) {
    const { palette } = context;
    const boxes = spans.flatMap((span) => {
      const box = { ...frame, left: Math.max(frame.left, x(span.from)), right: Math.min(frame.right, x(span.to)) };
      return box.right > box.left ? [{ span, box, colour: colourOf(span, palette) }] : [];
    });
    const ground = boxes.flatMap(({ span, box, colour }): Shape[] => {
      const ends = [box.left, box.right].filter((at) => at > frame.left + 0.5 && at < frame.right - 0.5);
      const edges = ends.map((at) => `M${rounded(at)},${frame.top}V${frame.bottom}`).join('');
      return [
        { d: hatchIn(box, span.style !== 'b'), stroke: mixColour(palette.paper, colour, 0.4), ...BAND_EDGE },
        { d: edges, stroke: colour, ...BAND_EDGE },
      ];
    });
    // High up, where a share that is nothing leaves room.
    const requests = boxes.map(({ span, box, colour }): StyledRequest => {
      const spots = [0.18, 0.36, 0.54, 0.72].flatMap((share, i) => {
        const y = box.top + share * (box.bottom - box.top);
        return [
          { x: (box.left + box.right) / 2, y, anchor: 'middle' as const, angle: 0, cost: i },
          { x: box.left + 6, y, anchor: 'start' as const, angle: 0, cost: i + 0.5 },
        ];
      });
      const key = `span:${span.id}`;
      return { key, text: span.label, fontSize: LABEL_FONT, bold: true, spots, fill: colour, weight: 600 };
    });
    return { shapes: { ground }, labels: { labels: placed(requests, frame, context) } };
  },
};

/** The stretch that is selected: a tinted ground between two edges. */
export const selectedStretch: Mark<{ selected: readonly [number, number] | null }, Axes> = {
  render({ selected }, { frame, x }, { palette }) {
    if (selected === null) return {};
    const [from, to] = selected.map((at) => Math.min(Math.max(x(at), frame.left), frame.right)) as [number, number];
    if (!(to > from)) return {};
    const side = (at: number) => `M${rounded(at)},${frame.top}V${frame.bottom}`;
    const box = `${side(from)}H${rounded(to)}V${frame.top}Z`;
    return {
      shapes: {
        ground: [
          { d: box, fill: mixColour(palette.paper, palette.ink, 0.1), stroke: 'none', width: 0 },
          { d: side(from) + side(to), fill: 'none', stroke: palette.inkSoft, width: 1 },
        ],
      },
    };
  },
};
