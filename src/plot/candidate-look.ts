import { DASH } from './dashes.ts';
import type { CandidateStyle } from './map-plot-model.ts';
import type { Palette } from './palette.ts';
import { rounded } from './pixel-path.ts';
import type { PixelPoint } from './pixel-point.ts';

/** Colour, dash and marker of a candidate: any one of the three tells them apart. */
export function candidateLook(style: CandidateStyle, palette: Palette): { colour: string; dash: string | null } {
  return style === 'a'
    ? { colour: palette.candidateA, dash: null }
    : { colour: palette.candidateB, dash: DASH.candidateB };
}

/** Circle for A, diamond for B, as a path about a pixel. */
export function candidateMarker(style: CandidateStyle, at: PixelPoint, size = 4): string {
  const x = rounded(at.x);
  const y = rounded(at.y);
  const s = style === 'a' ? size : rounded(size * 1.3);
  return style === 'a'
    ? `M${rounded(x - s)},${y}a${s},${s} 0 1,0 ${2 * s},0a${s},${s} 0 1,0 ${-2 * s},0Z`
    : `M${rounded(x - s)},${y}L${x},${rounded(y - s)}L${rounded(x + s)},${y}L${x},${rounded(y + s)}Z`;
}
