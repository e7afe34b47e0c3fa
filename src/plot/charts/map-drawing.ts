import { drawAxes, drawGrid } from '../frame/axes.ts';
import { addGroup, prepareRoot } from '../frame/drawing.ts';
import { drawLegend, type LegendItem, type LegendLayout, layOutLegend } from '../frame/legend.ts';
import type { LabelBox } from '../frame/pixels.ts';
import { type ChartGeometry, chartGeometry } from '../marks/map-surface.ts';
import { buildMapLayers, drawChart, drawSecondMap } from '../marks/map-surface-nodes.ts';
import { drawOperatingLines, endLabelRoom, operatingGeometry, operatingSoftLines } from '../marks/operating-line.ts';
import { drawPlaces, drawReadout } from '../marks/places.ts';
import type { Palette } from '../palette.ts';
import type { MapChart, MapPlotModel, PlotOperatingLine } from './map-model.ts';
import type { MapReadout } from './map-reading.ts';
import { baseScales, exactScales, holdingExtent, type MapScales, type PlotSize, plotFrame } from './map-scales.ts';

export interface MapFrame {
  legend: LegendLayout;
  base: MapScales;
}

/** Legend and unzoomed scales of a model at a size. On paper the legend explains the marks as well. */
export function mapFrame(model: MapPlotModel, size: PlotSize, isForPaper = false): MapFrame {
  const isElsewhere = model.legendElsewhere && !isForPaper;
  return framed(model, size, isElsewhere ? [] : mapLegend(model.chart, model.operatingLines, isForPaper, model.second));
}

function framed(model: MapPlotModel, size: PlotSize, items: readonly LegendItem[]): MapFrame {
  const laidOut = layOutLegend(items, 12, 8, size.width - 24);
  const legend = shownLegend(laidOut, model.operatingLines);
  const frame = plotFrame(size, legend.height, model.chart.isFlowUp);
  if (model.axes !== undefined) return { legend, base: exactScales(model.axes, frame, model.chart.isFlowUp) };
  const extent = holdingExtent(model.chart, model.operatingLines);
  return { legend, base: baseScales(model.chart, extent, frame) };
}

/** The steps of drawing the map plot, each of which may be done again alone. */
export interface MapDrawing {
  fit(size: PlotSize, frame: MapFrame): void;
  chart(model: MapPlotModel, scales: MapScales): void;
  /** Sets new texts for old among the speed labels; nothing moves. */
  relabel(changes: ReadonlyMap<string, string>): void;
  operatingLines(model: MapPlotModel, scales: MapScales, isWhole: boolean): void;
  places(model: MapPlotModel, scales: MapScales): void;
  readout(model: MapPlotModel, scales: MapScales, readout: MapReadout | null, lines: readonly string[]): void;
}

/** Layers of one SVG and what later layers must know of earlier ones. */
export function createMapDrawing(svg: SVGSVGElement, palette: Palette, idPrefix: string): MapDrawing {
  const layers = buildMapLayers(svg, idPrefix);
  let chart: ChartGeometry | null = null;
  let chartBoxes: readonly LabelBox[] = [];
  let operatingBoxes: readonly LabelBox[] = [];
  let held = new Map<string, number>();
  return {
    fit(size, { base, legend }) {
      layers.fit(size, base, palette);
      drawLegend(layers.legend, legend, palette);
    },
    chart(model, scales) {
      // The map's labels leave room for the operating lines of the moment; they stay put while those lines move.
      held = new Map();
      const lines = model.operatingLines;
      chart = chartGeometry(model.chart, scales, operatingSoftLines(lines, scales), endLabelRoom(lines, scales));
      chartBoxes = chart.labels.map((label) => label.box);
      const { flowAxis, ratioAxis, isFlowUp } = model.chart;
      const flowTitle = `${flowAxis.title}, ${flowAxis.unit}`;
      const axes = {
        frame: scales.frame,
        xTicks: chart.xTicks,
        yTicks: chart.yTicks,
        xTitle: isFlowUp ? ratioAxis.title : flowTitle,
        yTitle: isFlowUp ? flowTitle : ratioAxis.title,
      };
      drawGrid(layers.grid, axes, palette);
      drawChart(layers, chart, palette);
      const second =
        model.second === undefined
          ? null
          : chartGeometry({ ...model.second, islands: [] }, scales, chart.softLines, chartBoxes);
      drawSecondMap(layers, second, palette);
      chartBoxes = [...chartBoxes, ...(second?.labels ?? []).map((label) => label.box)];
      drawAxes(layers.axes, axes, palette);
    },
    relabel(changes) {
      if (changes.size === 0) return;
      layers.chartLabels.selectAll<SVGTextElement, unknown>('text').each(function () {
        const text = changes.get(this.textContent ?? '');
        if (text !== undefined) this.textContent = text;
      });
    },
    operatingLines(model, scales, isWhole) {
      const lines = operatingGeometry(model.operatingLines, scales, {
        taken: chartBoxes,
        softLines: chart?.softLines ?? [],
        isWhole,
        held,
      });
      held = new Map(lines.flatMap((line) => line.labels.map((label) => [label.key, label.spot] as const)));
      operatingBoxes = lines.flatMap((line) => line.labels.map((label) => label.box));
      drawOperatingLines(layers, lines, palette);
    },
    places(model, scales) {
      drawPlaces(layers, model.places, scales, palette, [...chartBoxes, ...operatingBoxes]);
    },
    readout(model, scales, readout, lines) {
      drawReadout(layers.readout, readout, lines, scales, model.chart.flowAxis, palette);
    },
  };
}

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
  idPrefix: string,
  legend: 'drawn' | 'apart' = 'drawn',
) {
  const drawing = createMapDrawing(svg, palette, idPrefix);
  const frame = legend === 'apart' ? framed(model, size, []) : mapFrame(model, size, true);
  drawing.fit(size, frame);
  drawing.chart(model, frame.base);
  drawing.operatingLines(model, frame.base, true);
  drawing.places(model, frame.base);
  drawing.readout(model, frame.base, null, []);
}

const TURBINE: LegendItem = { swatch: 'turbine-limited', text: 'Turbine-limited: gate shut' };
const CEILING: LegendItem = { swatch: 'ceiling-limited', text: 'Ceiling-limited: over a limit at the goal' };

function hasTurbinePart(lines: readonly PlotOperatingLine[]): boolean {
  return lines.some((line) => line.points.some((point) => point?.part === 'turbine'));
}

/** Marks whose meaning a reader of paper has nothing else to learn from. */
function markItems(lines: readonly PlotOperatingLine[]): LegendItem[] {
  const points = lines.flatMap((line) => line.points);
  const has = (severity: 'stop' | 'caution') => points.some((p) => p?.marked && !p.unmet && p.severity === severity);
  const items: LegendItem[] = [];
  if (hasTurbinePart(lines)) items.push(TURBINE);
  if (points.some((point) => point?.part === 'ceiling')) items.push(CEILING);
  if (has('caution')) items.push({ swatch: 'caution', text: 'Caution' });
  if (has('stop')) items.push({ swatch: 'stop', text: 'Limit crossed' });
  if (points.some((point) => point?.unmet)) items.push({ swatch: 'unmet', text: 'Demand that the map cannot meet' });
  return items;
}

/**
 * What the drawing's lines are, in reading order. Surge line, choke end and rated speed are labelled on the line itself. On screen the
 * room it takes depends on the map and the candidates only, never on where the operating lines run: the frame must not jump.
 */
export function mapLegend(
  chart: MapChart,
  lines: readonly PlotOperatingLine[],
  isForPaper: boolean,
  second?: MapChart,
): LegendItem[] {
  const items: LegendItem[] = lines
    .filter((line) => !line.faint)
    .map((line) => ({
      swatch: line.style === 'a' ? 'candidate-a' : 'candidate-b',
      text: line.name,
    }));
  if (lines.some((line) => line.spread !== undefined)) {
    items.push({ swatch: 'none', text: 'Bars: from the 10th to the 90th of a hundred samples' });
  }
  if (lines.length > 0) items.push({ swatch: 'none', text: 'Marks: engine speed, rpm' });
  if (chart.speedLines.length > 0) items.push({ swatch: 'speed-line', text: chart.speedLabelNote });
  if (second !== undefined)
    items.push({ swatch: 'none', text: `Map of ${second.letter ?? 'the second'}: all its lines dashed` });
  if (chart.islands.length > 0) items.push({ swatch: 'island', text: chart.islandLabelNote });
  if (chart.sheetPoints.length > 0) items.push({ swatch: 'sheet-point', text: 'Point as entered' });
  const hasExtension = [...chart.surgeLine, ...chart.chokeEnd].some((piece) => piece.extended);
  if (lines.length > 0 || hasExtension || chart.speedLines.some((line) => line.kind === 'extended')) {
    items.push({ swatch: 'extended', text: 'Extended beyond the sheet' });
  }
  if (isForPaper) return [...items, ...markItems(lines)];
  return lines.some((line) => line.driven) ? [...items, TURBINE] : items;
}

/** Without what no line shows at the moment; it is last, so that leaving it out moves nothing. */
export function shownLegend(layout: LegendLayout, lines: readonly PlotOperatingLine[]): LegendLayout {
  if (hasTurbinePart(lines)) return layout;
  return { ...layout, items: layout.items.filter(({ swatch }) => swatch !== TURBINE.swatch) };
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
  const root = prepareRoot(svg);
  const height = Math.ceil(layout.height);
  root.attr('width', width).attr('height', height).attr('viewBox', `0 0 ${width} ${height}`);
  drawLegend(addGroup(root, 'legend'), layout, palette);
  return height;
}
