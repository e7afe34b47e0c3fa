import type { FieldChartModel, FieldKind } from '../charts/field.tsx';
import type { PlotSize } from '../charts/map-scales.ts';
import { CHART_FONT, type SmallChart, type SmallChartRoom, valueText } from '../frame/axes.ts';
import { drawLabels, joinNodes, middle } from '../frame/drawing.ts';
import { type PlacedLabel, placeLabels } from '../frame/labels.ts';
import { type PixelPoint, rounded } from '../frame/pixels.ts';
import type { SmallChartLayers } from '../frame/small-chart.ts';
import { textWidth } from '../frame/text.ts';
import type { Palette } from '../palette.ts';
import { HATCH_TILE, hatchLines, kindColours } from './looks.ts';

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

const ROW = 18;
const SWATCH = 22;

function kindsShown(model: FieldChartModel): FieldKind[] {
  const present = new Set(model.cells.flat());
  return model.kinds.filter(({ key }) => present.has(key));
}

interface LegendPlace {
  kind: FieldKind;
  x: number;
  y: number;
}

/** Every kind that occurs, in rows above the frame. */
function legendPlaces(model: FieldChartModel, size: PlotSize): LegendPlace[] {
  const places: LegendPlace[] = [];
  let x = 8;
  let y = 0;
  for (const kind of kindsShown(model)) {
    const width = SWATCH + 6 + textWidth(kind.name, CHART_FONT) + 16;
    if (x > 8 && x + width > size.width) {
      x = 8;
      y += ROW;
    }
    places.push({ kind, x, y });
    x += width;
  }
  return places;
}

/** Room for the legend above the frame. */
export function fieldRoom(model: FieldChartModel, size: PlotSize): SmallChartRoom {
  const last = legendPlaces(model, size).at(-1);
  return { legendHeight: last === undefined ? 0 : last.y + ROW + 4 };
}

function patternId(layers: SmallChartLayers, kind: FieldKind): string {
  // The clip path's id is unique on the page; the hatches take theirs from it.
  const clip = layers.root.select('clipPath').attr('id');
  return `${clip}-${kind.key}`;
}

function drawPatterns(layers: SmallChartLayers, kinds: readonly FieldKind[], palette: Palette): void {
  const patterns = layers.root
    .select('defs')
    .selectAll<SVGPatternElement, FieldKind>('pattern')
    .data(kinds)
    .join((enter) => {
      const pattern = enter.append('pattern');
      pattern.append('rect');
      pattern.append('path');
      return pattern;
    })
    .attr('id', (kind) => patternId(layers, kind))
    .attr('patternUnits', 'userSpaceOnUse')
    .attr('width', HATCH_TILE)
    .attr('height', HATCH_TILE);
  patterns
    .select('rect')
    .attr('width', HATCH_TILE)
    .attr('height', HATCH_TILE)
    .attr('fill', (kind) => kindColours(kind, palette).tint);
  patterns
    .select('path')
    .attr('d', (kind) => hatchLines(kind.hatch).d)
    .attr('stroke-width', (kind) => hatchLines(kind.hatch).width)
    .attr('stroke', (kind) => kindColours(kind, palette).line)
    .attr('fill', 'none');
}

interface Shape {
  d: string;
  fill: string;
  stroke: string;
  width: number;
}

function drawShapes(layers: SmallChartLayers, group: 'ground' | 'lines' | 'legend', shapes: readonly Shape[]): void {
  joinNodes(layers[group], 'path', shapes)
    .attr('d', (d) => d.d)
    .attr('fill', (d) => d.fill)
    .attr('stroke', (d) => d.stroke)
    .attr('stroke-width', (d) => d.width);
}

function drawFieldLegend(
  layers: SmallChartLayers,
  model: FieldChartModel,
  palette: Palette,
  size: PlotSize,
  top: number,
): void {
  const places = legendPlaces(model, size);
  drawShapes(
    layers,
    'legend',
    places.map(({ kind, x, y }) => ({
      d: `M${rounded(x)},${top + y}h${SWATCH}v13h${-SWATCH}Z`,
      fill: `url(#${patternId(layers, kind)})`,
      stroke: palette.frame,
      width: 1,
    })),
  );
  joinNodes(layers.legend, 'text', places)
    .attr('x', ({ x }) => rounded(x + SWATCH + 6))
    .attr('y', ({ y }) => rounded(top + y + 6.5 + middle(CHART_FONT)))
    .attr('font-size', CHART_FONT)
    .attr('fill', palette.ink)
    .text(({ kind }) => kind.name);
}

/** The cells with their hatches, what separates them, names on the widest places, the legend. */
export function drawField(
  layers: SmallChartLayers,
  model: FieldChartModel,
  chart: SmallChart,
  palette: Palette,
  size: PlotSize,
): void {
  const kinds = kindsShown(model);
  drawPatterns(layers, kinds, palette);
  const geometry = fieldGeometry(model, chart);
  drawShapes(
    layers,
    'ground',
    kinds.map((kind) => ({
      d: geometry.fills.get(kind.key) ?? '',
      fill: `url(#${patternId(layers, kind)})`,
      stroke: 'none',
      width: 0,
    })),
  );
  drawShapes(layers, 'lines', [
    { d: geometry.edges, fill: 'none', stroke: palette.frame, width: 1 },
    { d: geometry.outline, fill: 'none', stroke: palette.paper, width: 5 },
    { d: geometry.outline, fill: 'none', stroke: palette.ink, width: 2.6 },
  ]);
  drawFieldNames(layers, model, geometry, chart, palette);
  drawFieldLegend(layers, model, palette, size, chart.frame.top - fieldHeight(model, size) - 4);
}

function fieldHeight(model: FieldChartModel, size: PlotSize): number {
  return fieldRoom(model, size).legendHeight ?? 0;
}

function drawFieldNames(
  layers: SmallChartLayers,
  model: FieldChartModel,
  geometry: ReturnType<typeof fieldGeometry>,
  chart: SmallChart,
  palette: Palette,
): void {
  const request = (key: string, text: string, spot: { x: number; y: number; width: number; height: number }) =>
    spot.width < textWidth(text, CHART_FONT, true) + 6 || spot.height < CHART_FONT * 1.3
      ? []
      : [
          {
            key,
            text,
            fontSize: CHART_FONT,
            bold: true,
            spots: [0, -0.3, 0.3].map((away) => ({
              x: spot.x,
              y: spot.y + away * spot.height,
              anchor: 'middle' as const,
              angle: 0,
              cost: Math.abs(away),
            })),
          },
        ];
  const marked =
    model.marked !== null && geometry.markedSpot !== null ? { ...model.marked, spot: geometry.markedSpot } : null;
  const requests = [
    ...(marked === null ? [] : request('marked', marked.label, marked.spot)),
    ...kindsShown(model).flatMap((kind) => {
      const spot = geometry.spots.get(kind.key);
      return spot === undefined ? [] : request(kind.key, kind.name, spot);
    }),
  ];
  const labels: PlacedLabel[] = placeLabels(requests, { frame: chart.frame, taken: [], lines: [] });
  drawLabels(layers.labels, labels, palette.paper, () => ({ fill: palette.ink, weight: 600 }));
}

/** 'At 3,500 rpm and 1,500 m: shaft speed' */
export function fieldText(model: FieldChartModel, cell: { x: number; y: number }): string {
  const row = model.ys.indexOf(cell.y);
  const column = model.xs.indexOf(cell.x);
  const key = model.cells[row]?.[column] ?? null;
  const name = model.kinds.find((kind) => kind.key === key)?.name ?? 'nothing known';
  const marked = model.marked?.cells[row]?.[column] === true ? `, ${model.marked.label}` : '';
  const { xAxis, yAxis } = model;
  return `At ${valueText(cell.x, xAxis.decimals, xAxis.unit)} and ${valueText(cell.y, yAxis.decimals, yAxis.unit)}: ${name}${marked}`;
}

/** The place pointed at: a line along each axis and a ring where they cross. */
export function drawFieldPointed(
  layers: SmallChartLayers,
  model: FieldChartModel,
  chart: SmallChart,
  palette: Palette,
): void {
  const { frame } = chart;
  const at = model.focus === null ? null : { x: rounded(chart.x(model.focus.x)), y: rounded(chart.y(model.focus.y)) };
  const across = at === null ? '' : `M${at.x},${frame.top}V${frame.bottom}M${frame.left},${at.y}H${frame.right}`;
  const ring = at === null ? '' : `M${at.x - 5},${at.y}a5,5 0 1,0 10,0a5,5 0 1,0 -10,0Z`;
  joinNodes(
    layers.pointed,
    'path',
    at === null
      ? []
      : [
          { d: across, stroke: palette.paper, width: 3 },
          { d: across, stroke: palette.ink, width: 1 },
          { d: ring, stroke: palette.paper, width: 5 },
          { d: ring, stroke: palette.ink, width: 2 },
        ],
  )
    .attr('d', (d) => d.d)
    .attr('stroke', (d) => d.stroke)
    .attr('stroke-width', (d) => d.width)
    .attr('fill', 'none');
}
