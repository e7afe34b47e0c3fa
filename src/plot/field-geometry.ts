import type { FieldChartModel } from './field-chart-model.ts';
import { rounded } from './pixel-path.ts';
import type { PixelPoint } from './pixel-point.ts';
import type { SmallChart } from './small-chart.ts';

/** Bounds of cells in pixels: halfway between their middles; the outermost cells end at their middles. */
export function cellBounds(middles: readonly number[], toPixel: (value: number) => number): number[] {
  const bounds = middles.slice(1).map((value, i) => (value + (middles[i] ?? value)) / 2);
  const first = middles[0];
  const last = middles.at(-1);
  return first === undefined || last === undefined ? [] : [first, ...bounds, last].map(toPixel);
}

export interface FieldGeometry {
  /** One path a kind, its cells joined along each row. */
  fills: ReadonlyMap<string, string>;
  /** Between cells of different kinds. */
  edges: string;
  /** Around the marked cells. */
  outline: string;
  /** The middle of the widest place of each kind, with the room there. */
  spots: ReadonlyMap<string, PixelPoint & { width: number; height: number }>;
  /** The same of the marked cells. */
  markedSpot: (PixelPoint & { width: number; height: number }) | null;
}

export function fieldGeometry(model: FieldChartModel, chart: SmallChart): FieldGeometry {
  const xs = cellBounds(model.xs, (v) => chart.x(v));
  const ys = cellBounds(model.ys, (v) => chart.y(v));
  const kindAt = (row: number, column: number) => model.cells[row]?.[column] ?? null;
  const isMarked = (row: number, column: number) => model.marked?.cells[row]?.[column] === true;
  const fills = new Map<string, string>();
  model.ys.forEach((_, row) => {
    for (const run of runsOf(model.xs.length, (column) => kindAt(row, column))) {
      if (run.key === null) continue;
      const d = `M${px(xs[run.from])},${px(ys[row])}H${px(xs[run.to + 1])}V${px(ys[row + 1])}H${px(xs[run.from])}Z`;
      fills.set(run.key, (fills.get(run.key) ?? '') + d);
    }
  });
  const size = { columns: model.xs.length, rows: model.ys.length };
  const kinds = [...fills.keys()];
  const spots = new Map(
    kinds.flatMap((key) => {
      const spot = widestPlace(size, xs, ys, (row, column) => kindAt(row, column) === key);
      return spot === null ? [] : [[key, spot] as const];
    }),
  );
  return {
    fills,
    edges: boundary(size, xs, ys, kindAt, false),
    outline: boundary(size, xs, ys, isMarked, true),
    spots,
    markedSpot: widestPlace(size, xs, ys, isMarked),
  };
}

function px(value: number | undefined): number {
  return rounded(value ?? 0);
}

function runsOf<K>(count: number, keyAt: (index: number) => K): { key: K; from: number; to: number }[] {
  const runs: { key: K; from: number; to: number }[] = [];
  for (let i = 0; i < count; i++) {
    const key = keyAt(i);
    const last = runs.at(-1);
    if (last !== undefined && last.key === key) last.to = i;
    else runs.push({ key, from: i, to: i });
  }
  return runs;
}

interface GridSize {
  columns: number;
  rows: number;
}

/** Edges between cells that differ; with `onlyTrue` those of true cells to anything else inside the frame. */
function boundary(
  { columns, rows }: GridSize,
  xs: readonly number[],
  ys: readonly number[],
  valueAt: (row: number, column: number) => unknown,
  onlyTrue: boolean,
): string {
  let d = '';
  const differ = (a: unknown, b: unknown) => a !== b && (!onlyTrue || a === true || b === true);
  for (let row = 0; row < rows; row++) {
    for (let column = 0; column < columns; column++) {
      const here = valueAt(row, column);
      if (column + 1 < columns && differ(here, valueAt(row, column + 1))) {
        d += `M${px(xs[column + 1])},${px(ys[row])}V${px(ys[row + 1])}`;
      }
      if (row + 1 < rows && differ(here, valueAt(row + 1, column))) {
        d += `M${px(xs[column])},${px(ys[row + 1])}H${px(xs[column + 1])}`;
      }
    }
  }
  return d;
}

/** The largest rectangle of cells that hold: room for a name. Small grids, so every rectangle of full columns is tried row by row. */
function widestPlace(
  { columns, rows }: GridSize,
  xs: readonly number[],
  ys: readonly number[],
  holds: (row: number, column: number) => boolean,
): (PixelPoint & { width: number; height: number }) | null {
  let best: (PixelPoint & { width: number; height: number }) | null = null;
  let most = 0;
  for (let top = 0; top < rows; top++) {
    const open = Array.from({ length: columns }, () => true);
    for (let bottom = top; bottom < rows; bottom++) {
      for (let column = 0; column < columns; column++) open[column] = open[column]! && holds(bottom, column);
      for (const run of runsOf(columns, (column) => open[column] === true)) {
        if (!run.key) continue;
        const left = xs[run.from] ?? 0;
        const right = xs[run.to + 1] ?? left;
        const y0 = ys[top] ?? 0;
        const y1 = ys[bottom + 1] ?? y0;
        const width = right - left;
        const height = Math.abs(y1 - y0);
        // Names are wide: width counts more than height once a line of text fits.
        const worth = width * Math.min(height, 60);
        if (worth <= most) continue;
        most = worth;
        best = { x: (left + right) / 2, y: (y0 + y1) / 2, width, height };
      }
    }
  }
  return best;
}
