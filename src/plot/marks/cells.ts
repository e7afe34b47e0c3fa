import { type Axes, type LineAxis, valueText } from '../frame/axes.ts';
import { type FieldHatch, HATCHES, mixColour, type Palette } from '../frame/looks.ts';
import { fillOf, type Mark, middle, placed, type StyledRequest } from '../frame/mark.ts';
import { joinNodes } from '../frame/nodes.ts';
import { LABEL_FONT, type PixelPoint, type PlotSize, rounded, textWidth } from '../frame/pixels.ts';

/** What a cell can be. Told apart by hatch and name first, by colour second, so that a grey copy reads the same. */
export interface FieldKind {
  key: string;
  name: string;
  hatch: FieldHatch;
  colour: 'stop' | 'caution' | 'good' | 'ink' | 'faint';
}

/** A field over two quantities: every cell belongs to one of a few kinds. */
export interface Field {
  /** Middles of the cells, rising. */
  xs: readonly number[];
  ys: readonly number[];
  /** `cells[y][x]`: the key of a kind; null: nothing is known there. */
  cells: readonly (readonly (string | null)[])[];
  kinds: readonly FieldKind[];
  /** `marked[y][x]`: cells inside a heavy outline; null: none. */
  marked: { cells: readonly (readonly boolean[])[]; label: string } | null;
}

/** A pale ground and the colour of the hatch on it. */
export function kindColours(kind: Pick<FieldKind, 'colour'>, palette: Palette): { tint: string; line: string } {
  const base = {
    stop: palette.stop,
    caution: palette.caution,
    good: palette.good,
    ink: palette.ink,
    faint: palette.inkFaint,
  }[kind.colour];
  return {
    tint: palette.name === 'print' ? palette.paper : mixColour(palette.paper, base, 0.13),
    line: mixColour(palette.paper, base, 0.62),
  };
}

/** Bounds of cells in pixels: halfway between their middles; the outermost cells end at their middles. */
export function cellBounds(middles: readonly number[], toPixel: (value: number) => number): number[] {
  const bounds = middles.slice(1).map((value, i) => (value + (middles[i] ?? value)) / 2);
  const first = middles[0];
  const last = middles.at(-1);
  return first === undefined || last === undefined ? [] : [first, ...bounds, last].map(toPixel);
}

interface FieldGeometry {
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

export function fieldGeometry(model: Field, chart: Pick<Axes, 'x' | 'y'>): FieldGeometry {
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

const ROW = 18;
const SWATCH = 22;

function kindsShown({ cells, kinds }: Pick<Field, 'cells' | 'kinds'>): FieldKind[] {
  const present = new Set(cells.flat());
  return kinds.filter(({ key }) => present.has(key));
}

/** Every kind that occurs, in rows above the frame, and the height that they take. */
export function fieldLegend(field: Pick<Field, 'cells' | 'kinds'>, { width }: PlotSize) {
  const places: { kind: FieldKind; x: number; y: number }[] = [];
  let x = 8;
  let y = 0;
  for (const kind of kindsShown(field)) {
    const needed = SWATCH + 6 + textWidth(kind.name, LABEL_FONT) + 16;
    if (x > 8 && x + needed > width) {
      x = 8;
      y += ROW;
    }
    places.push({ kind, x, y });
    x += needed;
  }
  return { places, height: places.length === 0 ? 0 : y + ROW + 4 };
}

type Spot = PixelPoint & { width: number; height: number };

function nameIn(key: string, text: string, spot: Spot | null | undefined, fill: string): StyledRequest[] {
  if (!spot || spot.width < textWidth(text, LABEL_FONT, true) + 6 || spot.height < LABEL_FONT * 1.3) return [];
  const spots = [0, -0.3, 0.3].map((away) => ({
    x: spot.x,
    y: spot.y + away * spot.height,
    anchor: 'middle' as const,
    angle: 0,
    cost: Math.abs(away),
  }));
  return [{ key, text, bold: true, spots, fill, weight: 600 }];
}

/** The cells with their hatches, what separates them, names on the widest places, the legend. */
export const fieldCells: Mark<Field, Axes> = {
  hasPatterns: true,
  render(field, axes, context) {
    const { palette } = context;
    const { frame, size } = axes;
    const kinds = kindsShown(field);
    const { fills, edges, outline, spots, markedSpot } = fieldGeometry(field, axes);
    const { places, height } = fieldLegend(field, size);
    const top = frame.top - height - 4;
    const requests = [
      ...nameIn('marked', field.marked?.label ?? '', markedSpot, palette.ink),
      ...kinds.flatMap(({ key, name }) => nameIn(key, name, spots.get(key), palette.ink)),
    ];
    return {
      patterns: kinds.map((kind) => {
        const { tint, line } = kindColours(kind, palette);
        return { key: kind.key, ground: tint, stroke: line, ...HATCHES[kind.hatch] };
      }),
      shapes: {
        ground: kinds.map(({ key }) => ({
          d: fills.get(key) ?? '',
          fill: fillOf(context, key),
          stroke: 'none',
          width: 0,
        })),
        lines: [
          { d: edges, fill: 'none', stroke: palette.frame, width: 1 },
          { d: outline, fill: 'none', stroke: palette.paper, width: 5 },
          { d: outline, fill: 'none', stroke: palette.ink, width: 2.6 },
        ],
        legend: places.map(({ kind, x, y }) => ({
          d: `M${rounded(x)},${top + y}h${SWATCH}v13h${-SWATCH}Z`,
          fill: fillOf(context, kind.key),
          stroke: palette.frame,
          width: 1,
        })),
      },
      labels: { labels: placed(requests, frame, {}) },
      nodes: {
        legend: (group) =>
          joinNodes(group, 'text', places)
            .attr('x', ({ x }) => rounded(x + SWATCH + 6))
            .attr('y', ({ y }) => rounded(top + y + 6.5 + middle(LABEL_FONT)))
            .attr('font-size', LABEL_FONT)
            .attr('fill', palette.ink)
            .text(({ kind }) => kind.name),
      },
    };
  },
};

/** The place pointed at: a line along each axis and a ring where they cross. */
export const fieldPointed: Mark<{ focus: { x: number; y: number } | null }, Axes> = {
  render({ focus }, { frame, x, y }, { palette }) {
    if (focus === null) return { shapes: { pointed: [] } };
    const at = { x: rounded(x(focus.x)), y: rounded(y(focus.y)) };
    const across = `M${at.x},${frame.top}V${frame.bottom}M${frame.left},${at.y}H${frame.right}`;
    const ring = `M${at.x - 5},${at.y}a5,5 0 1,0 10,0a5,5 0 1,0 -10,0Z`;
    const line = (d: string, stroke: string, width: number) => ({ d, stroke, width, fill: 'none' });
    const { paper, ink } = palette;
    return {
      shapes: { pointed: [line(across, paper, 3), line(across, ink, 1), line(ring, paper, 5), line(ring, ink, 2)] },
    };
  },
};

/** 'At 3,500 rpm and 1,500 m: shaft speed' */
export function fieldText(field: Field & { xAxis: LineAxis; yAxis: LineAxis }, cell: { x: number; y: number }): string {
  const row = field.ys.indexOf(cell.y);
  const column = field.xs.indexOf(cell.x);
  const key = field.cells[row]?.[column] ?? null;
  const name = field.kinds.find((kind) => kind.key === key)?.name ?? 'nothing known';
  const marked = field.marked?.cells[row]?.[column] === true ? `, ${field.marked.label}` : '';
  return `At ${valueText(cell.x, field.xAxis)} and ${valueText(cell.y, field.yAxis)}: ${name}${marked}`;
}
