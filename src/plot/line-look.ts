import { candidateLook, candidateMarker } from './candidate-look.ts';
import { DASH } from './dashes.ts';
import type { LineSeries, LineStyle } from './line-chart-model.ts';
import { mixColour } from './mix-colour.ts';
import type { Palette } from './palette.ts';
import { rounded } from './pixel-path.ts';
import type { PixelPoint } from './pixel-point.ts';

export interface LineLook {
  colour: string;
  dash: string | null;
  width: number;
}

/** Paler than this a line would be lost on its paper. */
const PALEST = 0.42;

/** Colour, dash and width of a series. */
export function lineLook(series: Pick<LineSeries, 'style' | 'weight' | 'shade'>, palette: Palette): LineLook {
  const { style, weight, shade = 1 } = series;
  const { colour, dash } =
    style === 'a' || style === 'b'
      ? candidateLook(style, palette)
      : { colour: palette.ink, dash: style === 'dashed' ? DASH.dashed : null };
  const width = weight === 'main' ? 2.2 : 1.3;
  return { colour: mixColour(palette.paper, colour, PALEST + (1 - PALEST) * shade), dash, width };
}

/** What is drawn at places along a line, so that it is known without colour; '' where the line itself is enough. */
export function lineMarker(style: LineStyle, at: PixelPoint, size: number): string {
  if (style === 'a' || style === 'b') return candidateMarker(style, at, size);
  if (style === 'plain' || style === 'dashed') return '';
  const x = rounded(at.x);
  const y = rounded(at.y);
  const arm = rounded(size * 1.4);
  return `M${rounded(x - arm)},${y}H${rounded(x + arm)}M${x},${rounded(y - arm)}V${rounded(y + arm)}`;
}
