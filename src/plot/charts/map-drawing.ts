import { drawLegend, type LegendItem, type LegendLayout, layOutLegend } from '../frame/legend.ts';
import { painterOf } from '../frame/live.ts';
import type { Palette } from '../frame/looks.ts';
import { type BoundMark, bound, fitRoot, type Layer, prepareRoot } from '../frame/mark.ts';
import type { Group } from '../frame/nodes.ts';
import type { PlotSize } from '../frame/pixels.ts';
import { mapSurface, secondMap } from '../marks/map-surface.ts';
import { operatingLines } from '../marks/operating-line.ts';
import { mapPlaces, mapReadout, measuredRows } from '../marks/places.ts';
import {
  acrossTicks,
  baseScales,
  exactScales,
  holdingExtent,
  type LinePart,
  type MapChart,
  type MapPlotModel,
  type MapReadout,
  type MapScales,
  type MapStage,
  type PlotMeasured,
  type PlotOperatingLine,
  plotFrame,
  upTicks,
  type Zoomed,
  zoomedScales,
} from './map-model.ts';

const TURBINE: LegendItem = { swatch: 'turbine-limited', text: 'Turbine-limited: gate shut' };
const CREEP: LegendItem = { swatch: 'creep', text: 'Gate wide open: boost creeps over the goal' };
const CEILING: LegendItem = { swatch: 'ceiling-limited', text: 'Ceiling-limited: over a limit at the goal' };

const PARTS = [
  ['turbine', TURBINE],
  ['creep', CREEP],
  ['ceiling', CEILING],
] as const;

const hasPart = (lines: readonly PlotOperatingLine[], part: LinePart) =>
  lines.some((line) => line.points.some((point) => point?.part === part));

/** Marks whose meaning a reader of paper has nothing else to learn from. */
function markItems(lines: readonly PlotOperatingLine[]): LegendItem[] {
  const points = lines.flatMap((line) => line.points);
  const has = (severity: 'stop' | 'caution') => points.some((p) => p?.marked && !p.unmet && p.severity === severity);
  const items: LegendItem[] = [];
  for (const [part, item] of PARTS) if (hasPart(lines, part)) items.push(item);
  if (has('caution')) items.push({ swatch: 'caution', text: 'Caution' });
  if (has('stop')) items.push({ swatch: 'stop', text: 'Limit crossed' });
  if (points.some((point) => point?.unmet)) items.push({ swatch: 'unmet', text: 'Demand that the map cannot meet' });
  return items;
}

/**
 * What the drawing's lines are, in reading order. Surge line, choke end and rated speed are labelled on the line itself. On screen the
 * room it takes depends on the map and the candidates only, never on where the operating lines run: the frame must not jump.
 */
function mapLegend(
  chart: MapChart,
  lines: readonly PlotOperatingLine[],
  isForPaper: boolean,
  second?: MapChart,
): LegendItem[] {
  const items: LegendItem[] = lines
    .filter((line) => !line.faint)
    .map((line) => ({
      swatch: `candidate-${line.style}`,
      text: line.name,
    }));
  if (lines.some((line) => line.spread !== undefined)) {
    items.push({ swatch: 'none', text: 'Bars: from the 10th to the 90th of a hundred samples' });
  }
  if (lines.length > 0) items.push({ swatch: 'none', text: 'Marks: engine speed, rpm' });
  const isFitted = chart.speedLines.some(({ kind }) => kind === 'entered');
  if (chart.speedLines.length > 0)
    items.push({ swatch: isFitted ? 'speed-line' : 'extended', text: chart.speedLabelNote });
  if (second !== undefined)
    items.push({ swatch: 'none', text: `Map of ${second.letter ?? 'the second'}: all its lines dashed` });
  if (chart.islands.length > 0) items.push({ swatch: 'island', text: chart.islandLabelNote });
  if (chart.sheetPoints.length > 0) items.push({ swatch: 'sheet-point', text: 'Point as entered' });
  const hasExtension = [...chart.surgeLine, ...chart.chokeEnd].some((piece) => piece.extended);
  if (lines.length > 0 || hasExtension || (isFitted && chart.speedLines.some((line) => line.kind === 'extended'))) {
    items.push({ swatch: 'extended', text: 'Extended beyond the sheet' });
  }
  if (isForPaper) return [...items, ...markItems(lines)];
  if (lines.some((line) => line.driven)) items.push(TURBINE);
  if (lines.some((line) => line.gated)) items.push(CREEP);
  return items;
}

/** Without the parts that no line shows at the moment; they are last, so that leaving one out moves nothing but the next. */
function shownLegend(layout: LegendLayout, lines: readonly PlotOperatingLine[]): LegendLayout {
  const absent = PARTS.filter(([part]) => !hasPart(lines, part)).map(([, { swatch }]) => swatch);
  return { ...layout, items: layout.items.filter(({ swatch }) => !absent.includes(swatch)) };
}

interface MapFrame {
  legend: LegendLayout;
  /** Unzoomed. */
  base: MapScales;
}

/** Legend and unzoomed scales of a model at a size. 'paper': its legend explains the marks as well; 'apart': it has none. */
export function mapFrame(
  model: MapPlotModel,
  size: PlotSize,
  legendIs: 'screen' | 'paper' | 'apart' = 'screen',
): MapFrame {
  const { chart, second } = model;
  const isElsewhere = legendIs === 'apart' || (legendIs === 'screen' && model.wordsElsewhere === true);
  const items = isElsewhere ? [] : mapLegend(chart, model.operatingLines, legendIs === 'paper', second);
  const legend = shownLegend(layOutLegend(items, 12, 8, size.width - 24), model.operatingLines);
  const frame = plotFrame(size, legend.height, chart.isFlowUp);
  if (model.axes !== undefined) return { legend, base: exactScales(model.axes, frame, chart.isFlowUp) };
  return { legend, base: baseScales(chart, holdingExtent(chart, model.operatingLines), frame) };
}

/** All of the map in sight. */
export const NOT_ZOOMED: Zoomed = { k: 1, invertX: (x) => x, invertY: (y) => y };

/** Zoomed less than this is not zoomed. */
const LEAST_ZOOM = 1.0001;

/** The axes of a map as zoomed. */
export function mapStage({ chart }: MapPlotModel, size: PlotSize, { legend, base }: MapFrame, zoom: Zoomed): MapStage {
  const scales = zoomedScales(base, zoom);
  const { flowAxis, ratioAxis, isFlowUp } = chart;
  const flowTitle = `${flowAxis.title}, ${flowAxis.unit}`;
  return {
    ...scales,
    size,
    legend,
    xTicks: acrossTicks(scales, flowAxis.perKgPerS),
    yTicks: upTicks(scales, flowAxis.perKgPerS),
    xTitle: isFlowUp ? ratioAxis.title : flowTitle,
    yTitle: isFlowUp ? flowTitle : ratioAxis.title,
    isWhole: zoom.k < LEAST_ZOOM,
  };
}

const SURFACE = {
  isClipped: true,
  attributes: { fill: 'none', 'stroke-linejoin': 'round' },
  parts: ['island-fills', 'island-lines', 'speed-lines', 'surge', 'choke', 'rated', 'sheet-points'],
};

const NO_ROWS: readonly PlotMeasured[] = [];

/** What the map remembers beside its model. */
export interface MapReading {
  readout: MapReadout | null;
  lines: readonly string[];
}

/** The groups of the map plot, from the back to the front, and what is drawn in them. */
export const MAP: { layers: readonly Layer[]; marks: readonly BoundMark<MapPlotModel & MapReading, MapStage>[] } = {
  layers: [
    { name: 'ground', tag: 'rect' },
    { name: 'grid' },
    { name: 'surface', ...SURFACE },
    { name: 'second-surface', ...SURFACE },
    { name: 'chart-labels' },
    { name: 'second-labels' },
    { name: 'operating-lines', isClipped: true, attributes: { fill: 'none' } },
    { name: 'measured', isClipped: true },
    { name: 'operating-labels' },
    { name: 'places', isClipped: true },
    { name: 'axes' },
    { name: 'legend' },
    { name: 'readout', attributes: { 'pointer-events': 'none' } },
  ],
  marks: [
    bound(mapSurface, ({ chart }) => ({ chart })),
    bound(secondMap, ({ second }) => ({ second })),
    bound(operatingLines, ({ operatingLines: all }) => ({ operatingLines: all })),
    bound(measuredRows, ({ measured = NO_ROWS }) => ({ measured })),
    bound(mapPlaces, ({ places }) => ({ places })),
    bound(mapReadout, ({ readout, lines, focus, chart, wordsElsewhere }) => ({
      isBare: wordsElsewhere === true,
      readout,
      focus,
      lines,
      flowAxis: chart.flowAxis,
    })),
  ],
};

/**
 * Draws a model once, unzoomed and without interaction: for paper and files.
 *
 * @param legend 'apart': left out here, drawn once for several maps by drawMapLegend
 */
export function drawMapPlot(
  svg: SVGSVGElement,
  model: MapPlotModel,
  palette: Palette,
  size: PlotSize,
  id: string,
  legend: 'drawn' | 'apart' = 'drawn',
): void {
  const frame = mapFrame(model, size, legend === 'apart' ? 'apart' : 'paper');
  const drawn = { ...model, focus: null, readout: null, lines: [] };
  painterOf(MAP, svg, palette, id).paint(drawn, mapStage(model, size, frame, NOT_ZOOMED));
}

/**
 * One legend for several maps drawn apart (drawMapPlot with its legend left out), each line of it once. Sizes the SVG to `width` and
 * returns the height that it took, both in pixels.
 */
export function drawMapLegend(
  svg: SVGSVGElement,
  models: readonly Pick<MapPlotModel, 'chart' | 'operatingLines' | 'second'>[],
  palette: Palette,
  width: number,
): number {
  const all = models.map(({ chart, operatingLines, second }) => mapLegend(chart, operatingLines, true, second));
  const known = new Set<string>();
  const once = all.flat().filter(({ swatch, text }) => {
    const key = `${swatch} ${text}`;
    return !known.has(key) && known.add(key);
  });
  // Candidates first, then what all maps have in common.
  const isLine = (swatch: string) => swatch.startsWith('candidate');
  const items = [...once.filter(({ swatch }) => isLine(swatch)), ...once.filter(({ swatch }) => !isLine(swatch))];
  const layout = layOutLegend(items, 0, 0, width);
  const height = Math.ceil(layout.height);
  const group = prepareRoot(svg).append('g').attr('class', 'legend') as Group;
  fitRoot(svg, { width, height });
  drawLegend(group, layout, palette);
  return height;
}
