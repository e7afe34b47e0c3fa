import { type PixelPoint, rounded } from './pixels.ts';

/** A: solid with circles. B: dashed with diamonds. C: long dashes with triangles. D: short dashes with squares. */
export type CandidateStyle = 'a' | 'b' | 'c' | 'd';

const STYLES: readonly CandidateStyle[] = ['a', 'b', 'c', 'd'];

/** The look of a candidate by its place in the build; it keeps it wherever it is drawn. */
export function candidateStyle(index: number): CandidateStyle {
  return STYLES[index % STYLES.length]!;
}

/** A letter: as its candidate. Plain: solid, in ink. Goal: with crosses. Dashed: dash and two dots, in ink. */
export type LineStyle = CandidateStyle | 'plain' | 'goal' | 'dashed' | 'creep';

/**
 * The colours of a drawing: light and dark, which have the tokens of src/app/theme.css, and for print, which is black and white safe: greys
 * only, every pair told apart by weight, dash or marker. Meaning is carried by weight, dash, marker and label first.
 */
const COLOURS = {
  paper: ['#fbfbf9', '#11171d', '#ffffff'],
  raised: ['#ffffff', '#1f2932', '#ffffff'],
  ink: ['#1a2430', '#e8ecef', '#000000'],
  inkSoft: ['#4a5664', '#b4bdc6', '#333333'],
  inkFaint: ['#5f6a76', '#97a2ad', '#555555'],
  frame: ['#7d8893', '#75818c', '#555555'],
  grid: ['#e6e8e8', '#222c35', '#e4e4e4'],
  speedLine: ['#56626f', '#93a0ac', '#333333'],
  surge: ['#1a2430', '#e8ecef', '#000000'],
  rated: ['#a3231a', '#ff9b8e', '#000000'],
  // Two ends of the islands' single-hue ramp, lowest to highest efficiency: lines, then fills.
  islandLine: [
    ['#6d9483', '#1f5f49'],
    ['#4f7a6a', '#8fcfb4'],
    ['#8c8c8c', '#606060'],
  ],
  islandFill: [
    ['#f4f8f5', '#dcebe2'],
    ['#131c20', '#1d3a33'],
    ['#fafafa', '#e6e6e6'],
  ],
  candidateA: ['#0b5a8a', '#74b8e3', '#000000'],
  candidateB: ['#9c1f74', '#f08fc8', '#000000'],
  candidateC: ['#5b3fa8', '#b7a2f5', '#000000'],
  candidateD: ['#00657a', '#62cbd8', '#000000'],
  stop: ['#a3231a', '#ff9b8e', '#000000'],
  caution: ['#845400', '#f0bd62', '#000000'],
  good: ['#1d6b46', '#80cea5', '#000000'],
  focus: ['#1a2430', '#e8ecef', '#000000'],
} as const;

type Colours = typeof COLOURS;

/** Resolved colours of a drawing, so that an exported SVG stands alone. */
export type Palette = { readonly name: 'light' | 'dark' | 'print' } & {
  readonly [Key in keyof Colours]: Colours[Key][0] extends readonly string[] ? readonly [string, string] : string;
};

function palette(name: Palette['name'], at: 0 | 1 | 2): Palette {
  const colours = Object.entries(COLOURS).map(([key, values]) => [key, values[at]]);
  return { name, ...Object.fromEntries(colours) };
}

export const lightPalette = palette('light', 0);
export const darkPalette = palette('dark', 1);
export const printPalette = palette('print', 2);

/** A colour between two '#rrggbb' colours; share 0 gives the first, 1 the second (held to 0..1). */
export function mixColour(from: string, to: string, share: number): string {
  const t = Math.min(1, Math.max(0, share));
  let mixed = '#';
  for (const start of [1, 3, 5]) {
    const a = Number.parseInt(from.slice(start, start + 2), 16);
    const b = Number.parseInt(to.slice(start, start + 2), 16);
    mixed += Math.round(a + (b - a) * t)
      .toString(16)
      .padStart(2, '0');
  }
  return mixed;
}

/** Dash patterns in pixels. Each stands for one meaning on every drawing. */
export const DASH = {
  extended: '1.5 3.5',
  choke: '5 3',
  rated: '14 4 2.5 4',
  candidateB: '9 4',
  candidateC: '20 5',
  candidateD: '5 4',
  dashed: '12 3 2 3 2 3',
  creep: '3 6',
} as const;

/** Widths of a turbine-limited part, outside and inside: two lines of 1.4 with as much paper between them as shows on any printer. */
export const HOLLOW = 5.4;
export const HOLLOW_CORE = 2.6;

/** Widths of a part that creeps: a thin line, and its beads. */
export const CREEP_LINE = 1.2;
export const CREEP_BEAD = 5.4;

/** Colour, dash and marker of a candidate: any one of the three tells them apart. */
export function candidateLook(style: CandidateStyle, palette: Palette): { colour: string; dash: string | null } {
  const name = `candidate${style.toUpperCase() as Uppercase<CandidateStyle>}` as const;
  return { colour: palette[name], dash: name === 'candidateA' ? null : DASH[name] };
}

/** Circle for A, diamond for B, triangle for C, square for D, as a path about a pixel. */
export function candidateMarker(style: CandidateStyle, at: PixelPoint, size = 4): string {
  const { x, y } = { x: rounded(at.x), y: rounded(at.y) };
  if (style === 'a')
    return `M${rounded(x - size)},${y}a${size},${size} 0 1,0 ${2 * size},0a${size},${size} 0 1,0 ${-2 * size},0Z`;
  if (style === 'd') return square(at, size * 0.9);
  if (style === 'c') return triangle(at, size * 1.2);
  const s = rounded(size * 1.3);
  return `M${rounded(x - s)},${y}L${x},${rounded(y - s)}L${rounded(x + s)},${y}L${x},${rounded(y + s)}Z`;
}

function square({ x, y }: PixelPoint, s: number): string {
  const side = rounded(2 * s);
  return `M${rounded(x - s)},${rounded(y - s)}h${side}v${side}h${-side}Z`;
}

function triangle({ x, y }: PixelPoint, s: number): string {
  return `M${rounded(x)},${rounded(y - s)}L${rounded(x + s)},${rounded(y + 0.8 * s)}H${rounded(x - s)}Z`;
}

/** The outline of a severity, the same on maps, in lists and on paper: square for a stop, triangle for a caution, ring for the others. */
export function severityOutline(severity: string, at: PixelPoint, size = 8): string {
  if (severity === 'stop') return square(at, size);
  return severity === 'caution' ? triangle(at, size * 1.25) : candidateMarker('a', at, size);
}

function isCandidate(style: LineStyle): style is CandidateStyle {
  return STYLES.includes(style as CandidateStyle);
}

interface LineLook {
  colour: string;
  dash: string | null;
  width: number;
}

/** Paler than this a line would be lost on its paper. */
const PALEST = 0.42;
const PALEST_GREY = 0.6;

/** Colour, dash and width of a series. */
export function lineLook(
  series: { style: LineStyle; weight: 'main' | 'second'; shade?: number | undefined },
  palette: Palette,
): LineLook {
  const { style, weight, shade = 1 } = series;
  // One of an ordered set is grey, so that what is held against the set, in full ink, stands out.
  const isRamp = series.shade !== undefined && !isCandidate(style);
  const ink = isRamp ? palette.inkSoft : palette.ink;
  const palest = isRamp ? PALEST_GREY : PALEST;
  const { colour, dash } = isCandidate(style)
    ? candidateLook(style, palette)
    : { colour: ink, dash: style === 'dashed' || style === 'creep' ? DASH[style] : null };
  const width = weight === 'main' ? 2.2 : 1.3;
  return { colour: mixColour(palette.paper, colour, palest + (1 - palest) * shade), dash, width };
}

/** What is drawn at places along a line, so that it is known without colour; '' where the line itself is enough. */
export function lineMarker(style: LineStyle, at: PixelPoint, size: number): string {
  if (isCandidate(style)) return candidateMarker(style, at, size);
  if (style === 'plain' || style === 'dashed' || style === 'creep') return '';
  const x = rounded(at.x);
  const y = rounded(at.y);
  const arm = rounded(size * 1.4);
  return `M${rounded(x - arm)},${y}H${rounded(x + arm)}M${x},${rounded(y - arm)}V${rounded(y + arm)}`;
}

/** Side of one tile of a hatch, pixels. */
export const HATCH_TILE = 8;

const T = HATCH_TILE;
/** Lines and their width in one tile: each hatch stands for one kind on one drawing. */
export const HATCHES = {
  // Lines across a corner are drawn beyond the tile, so that they join without a nick.
  rising: { d: `M-2,2L2,-2M0,${T}L${T},0M${T - 2},${T + 2}L${T + 2},${T - 2}`, width: 1.3 },
  falling: { d: `M-2,${T - 2}L2,${T + 2}M0,0L${T},${T}M${T - 2},-2L${T + 2},2`, width: 1.3 },
  upright: { d: `M${T / 2},0V${T}`, width: 1.3 },
  level: { d: `M0,${T / 2}H${T}`, width: 1.3 },
  dots: { d: `M${T / 4},${T / 4}h1.6M${(3 * T) / 4},${(3 * T) / 4}h1.6`, width: 1.8 },
  grid: { d: `M${T / 2},0V${T}M0,${T / 2}H${T}`, width: 0.8 },
  crossed: { d: `M0,0L${T},${T}M0,${T}L${T},0`, width: 0.8 },
  sparse: { d: `M${T / 2 - 1},${T / 2}h2`, width: 1.2 },
  zigzag: { d: `M-1,${T / 2 + 3}L${T / 2},${T / 2 - 2}L${T + 1},${T / 2 + 3}`, width: 1.1 },
  brick: { d: `M0,0.5H${T}M0,${T / 2 + 0.5}H${T}M${T / 4},0V${T / 2}M${(3 * T) / 4},${T / 2}V${T}`, width: 0.8 },
  // Arms long enough that it is no dot, and that crosses do not join to a grid.
  plus: { d: `M${T / 2},${T / 8}v${0.75 * T}M${T / 8},${T / 2}h${0.75 * T}`, width: 1.1 },
  dashes: { d: `M0,${T / 4}h${T / 2}M${T / 2},${(3 * T) / 4}h${T / 2}`, width: 1.3 },
  corners: { d: `M${T / 5},${0.75 * T}V${T / 5}H${0.75 * T}`, width: 1.1 },
  // Of no limit yet: the next one need not be drawn first.
  ladder: { d: `M${T / 4},0V${T}M${T / 4},${T / 2}H${(3 * T) / 4}`, width: 0.9 },
} as const;

export type FieldHatch = keyof typeof HATCHES;
