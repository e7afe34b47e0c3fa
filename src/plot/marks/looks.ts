import type { FieldHatch, FieldKind } from '../charts/field.tsx';
import type { CandidateStyle } from '../charts/map-model.ts';
import { type PixelPoint, rounded } from '../frame/pixels.ts';
import { mixColour, type Palette } from '../palette.ts';
import type { LineSeries, LineStyle } from './series.ts';

/** Dash patterns in pixels. Each stands for one meaning on every drawing. */
export const DASH = {
  extended: '1.5 3.5',
  choke: '5 3',
  rated: '14 4 2.5 4',
  candidateB: '9 4',
  dashed: '12 3 2 3 2 3',
} as const;

/** Widths of a turbine-limited part, outside and inside: two lines of 1.4 with as much paper between them as shows on any printer. */
export const HOLLOW = 5.4;
export const HOLLOW_CORE = 2.6;

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

/** Side of one tile of a hatch, pixels. */
export const HATCH_TILE = 8;

const T = HATCH_TILE;
const LINES: Readonly<Record<FieldHatch, string>> = {
  // Lines across a corner are drawn beyond the tile, so that they join without a nick.
  rising: `M-2,2L2,-2M0,${T}L${T},0M${T - 2},${T + 2}L${T + 2},${T - 2}`,
  falling: `M-2,${T - 2}L2,${T + 2}M0,0L${T},${T}M${T - 2},-2L${T + 2},2`,
  upright: `M${T / 2},0V${T}`,
  level: `M0,${T / 2}H${T}`,
  dots: `M${T / 4},${T / 4}h1.6M${(3 * T) / 4},${(3 * T) / 4}h1.6`,
  grid: `M${T / 2},0V${T}M0,${T / 2}H${T}`,
  crossed: `M0,0L${T},${T}M0,${T}L${T},0`,
  sparse: `M${T / 2 - 1},${T / 2}h2`,
  zigzag: `M-1,${T / 2 + 3}L${T / 2},${T / 2 - 2}L${T + 1},${T / 2 + 3}`,
  brick: `M0,0.5H${T}M0,${T / 2 + 0.5}H${T}M${T / 4},0V${T / 2}M${(3 * T) / 4},${T / 2}V${T}`,
  // Arms long enough that it is no dot, and that crosses do not join to a grid.
  plus: `M${T / 2},${T / 8}v${0.75 * T}M${T / 8},${T / 2}h${0.75 * T}`,
};

const WIDTHS: Readonly<Record<FieldHatch, number>> = {
  rising: 1.3,
  falling: 1.3,
  upright: 1.3,
  level: 1.3,
  dots: 1.8,
  grid: 0.8,
  crossed: 0.8,
  sparse: 1.2,
  zigzag: 1.1,
  brick: 0.8,
  plus: 1.1,
};

/** The lines of a hatch in one tile. */
export function hatchLines(hatch: FieldHatch): { d: string; width: number } {
  return { d: LINES[hatch], width: WIDTHS[hatch] };
}

export interface KindColours {
  tint: string;
  line: string;
}

/** A pale ground and the colour of the hatch on it. */
export function kindColours(kind: Pick<FieldKind, 'colour'>, palette: Palette): KindColours {
  const base = {
    stop: palette.stop,
    caution: palette.caution,
    a: palette.candidateA,
    b: palette.candidateB,
    good: palette.good,
    ink: palette.ink,
    faint: palette.inkFaint,
  }[kind.colour];
  const isGrey = palette.name === 'print';
  return {
    tint: isGrey ? palette.paper : mixColour(palette.paper, base, 0.13),
    line: mixColour(palette.paper, base, 0.62),
  };
}
