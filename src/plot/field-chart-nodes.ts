import { joinNodes, middle } from './drawing.ts';
import type { FieldChartModel, FieldKind } from './field-chart-model.ts';
import { fieldGeometry } from './field-geometry.ts';
import { HATCH_TILE, hatchLines, kindColours } from './field-hatches.ts';
import { type PlacedLabel, placeLabels } from './label-placement.ts';
import type { PlotSize } from './map-scales.ts';
import type { Palette } from './palette.ts';
import { rounded } from './pixel-path.ts';
import { CHART_FONT, type SmallChart, type SmallChartRoom, valueText } from './small-chart.ts';
import type { SmallChartLayers } from './small-chart-layers.ts';
import { drawLabels } from './text-nodes.ts';
import { textWidth } from './text-width.ts';

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

function drawLegend(
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
  drawLegend(layers, model, palette, size, chart.frame.top - fieldHeight(model, size) - 4);
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
