import type { LabelRequest } from './label-placement.ts';
import type { LineSpan } from './line-chart-model.ts';
import { lineLook } from './line-look.ts';
import { mixColour } from './mix-colour.ts';
import type { Palette } from './palette.ts';
import { rounded } from './pixel-path.ts';
import type { PixelFrame } from './pixel-point.ts';
import { CHART_FONT, type SmallChart } from './small-chart.ts';

interface SpanPath {
  d: string;
  fill: string;
  opacity: number;
  stroke: string;
}

const SPACING = 9;

/** Lines at 45 degrees in a box, cut at its sides: no pattern is needed, so that the drawing stands alone in a file. */
function hatch({ left, right, top, bottom }: PixelFrame, isRising: boolean): string {
  const height = bottom - top;
  let d = '';
  for (let start = left - height + SPACING / 2; start < right; start += SPACING) {
    const from = Math.max(left, start);
    const to = Math.min(right, start + height);
    if (to <= from) continue;
    const y = (x: number) => rounded(isRising ? bottom - (x - start) : top + (x - start));
    d += `M${rounded(from)},${y(from)}L${rounded(to)},${y(to)}`;
  }
  return d;
}

function boxOf(span: LineSpan, { x, frame }: SmallChart): PixelFrame | null {
  const left = Math.max(frame.left, x(span.from));
  const right = Math.min(frame.right, x(span.to));
  return right > left ? { ...frame, left, right } : null;
}

/** The stretches with their hatches, those of A rising and those of B falling, and a line where each ends. */
export function spanPaths(spans: readonly LineSpan[], chart: SmallChart, palette: Palette): SpanPath[] {
  return spans.flatMap((span) => {
    const box = boxOf(span, chart);
    if (box === null) return [];
    const { colour } = lineLook({ style: span.style, weight: 'main' }, palette);
    const { frame } = chart;
    const ends = [box.left, box.right].filter((x) => x > frame.left + 0.5 && x < frame.right - 0.5);
    const edges = ends.map((x) => `M${rounded(x)},${frame.top}V${frame.bottom}`).join('');
    return [
      { d: hatch(box, span.style !== 'b'), fill: 'none', opacity: 1, stroke: mixColour(palette.paper, colour, 0.4) },
      { d: edges, fill: 'none', opacity: 1, stroke: colour },
    ];
  });
}

/** The names of the stretches, high up where a share that is nothing leaves room. */
export function spanRequests(spans: readonly LineSpan[], chart: SmallChart): LabelRequest[] {
  return spans.flatMap((span) => {
    const box = boxOf(span, chart);
    if (box === null) return [];
    const height = box.bottom - box.top;
    const spots = [0.18, 0.36, 0.54, 0.72].flatMap((share, i) => [
      { x: (box.left + box.right) / 2, y: box.top + share * height, anchor: 'middle' as const, angle: 0, cost: i },
      { x: box.left + 6, y: box.top + share * height, anchor: 'start' as const, angle: 0, cost: i + 0.5 },
    ]);
    return [{ key: `span:${span.id}`, text: span.label, fontSize: CHART_FONT, bold: true, spots }];
  });
}
