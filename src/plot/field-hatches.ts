import type { FieldHatch, FieldKind } from './field-chart-model.ts';
import { mixColour } from './mix-colour.ts';
import type { Palette } from './palette.ts';

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
