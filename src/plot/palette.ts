/** Resolved colours of a drawing, so that an exported SVG stands alone. Meaning is carried by weight, dash, marker and label first. */
export interface Palette {
  readonly name: 'light' | 'dark' | 'print';
  readonly paper: string;
  readonly raised: string;
  readonly ink: string;
  readonly inkSoft: string;
  readonly inkFaint: string;
  readonly frame: string;
  readonly grid: string;
  readonly speedLine: string;
  readonly surge: string;
  readonly rated: string;
  /** Two ends of the islands' single-hue ramp, lowest to highest efficiency: lines, then fills. */
  readonly islandLine: readonly [string, string];
  readonly islandFill: readonly [string, string];
  readonly candidateA: string;
  readonly candidateB: string;
  readonly stop: string;
  readonly caution: string;
  readonly good: string;
  readonly focus: string;
}

/** Tokens of src/app/theme.css, light. */
export const lightPalette: Palette = {
  name: 'light',
  paper: '#fbfbf9',
  raised: '#ffffff',
  ink: '#1a2430',
  inkSoft: '#4a5664',
  inkFaint: '#5f6a76',
  frame: '#7d8893',
  grid: '#e6e8e8',
  speedLine: '#56626f',
  surge: '#1a2430',
  rated: '#a3231a',
  islandLine: ['#6d9483', '#1f5f49'],
  islandFill: ['#f4f8f5', '#dcebe2'],
  candidateA: '#0b5a8a',
  candidateB: '#aa4700',
  stop: '#a3231a',
  caution: '#845400',
  good: '#1d6b46',
  focus: '#0b5a8a',
};

/** Tokens of src/app/theme.css, dark. */
export const darkPalette: Palette = {
  name: 'dark',
  paper: '#11171d',
  raised: '#1f2932',
  ink: '#e8ecef',
  inkSoft: '#b4bdc6',
  inkFaint: '#97a2ad',
  frame: '#75818c',
  grid: '#222c35',
  speedLine: '#93a0ac',
  surge: '#e8ecef',
  rated: '#ff9b8e',
  islandLine: ['#4f7a6a', '#8fcfb4'],
  islandFill: ['#131c20', '#1d3a33'],
  candidateA: '#74b8e3',
  candidateB: '#f3a45a',
  stop: '#ff9b8e',
  caution: '#f0bd62',
  good: '#80cea5',
  focus: '#9fd2f2',
};

/** Black and white safe: greys only, every pair told apart by weight, dash or marker. */
export const printPalette: Palette = {
  name: 'print',
  paper: '#ffffff',
  raised: '#ffffff',
  ink: '#000000',
  inkSoft: '#333333',
  inkFaint: '#555555',
  frame: '#555555',
  grid: '#e4e4e4',
  speedLine: '#333333',
  surge: '#000000',
  rated: '#000000',
  islandLine: ['#8c8c8c', '#606060'],
  islandFill: ['#fafafa', '#e6e6e6'],
  candidateA: '#000000',
  candidateB: '#000000',
  stop: '#000000',
  caution: '#000000',
  good: '#000000',
  focus: '#000000',
};

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
