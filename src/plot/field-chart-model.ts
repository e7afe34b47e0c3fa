import type { LineAxis } from './line-chart-model.ts';

/**
 * A field over two quantities, such as engine speed and altitude: every cell belongs to one of a few kinds. Kinds are told apart by
 * hatch and name first, by colour second, so that a grey copy reads the same.
 */
export interface FieldChartModel {
  xAxis: LineAxis;
  yAxis: LineAxis;
  /** Middles of the cells, rising. */
  xs: readonly number[];
  ys: readonly number[];
  /** `cells[y][x]`: the key of a kind; null: nothing is known there. */
  cells: readonly (readonly (string | null)[])[];
  kinds: readonly FieldKind[];
  /** `marked[y][x]`: cells inside a heavy outline; null: none. */
  marked: { cells: readonly (readonly boolean[])[]; label: string } | null;
  focus: { x: number; y: number } | null;
}

/** Each hatch stands for one kind on one drawing. */
export type FieldHatch =
  | 'rising'
  | 'falling'
  | 'upright'
  | 'level'
  | 'dots'
  | 'grid'
  | 'crossed'
  | 'sparse'
  | 'zigzag'
  | 'brick'
  | 'plus';

export interface FieldKind {
  key: string;
  name: string;
  hatch: FieldHatch;
  colour: 'stop' | 'caution' | 'a' | 'b' | 'good' | 'ink' | 'faint';
}
