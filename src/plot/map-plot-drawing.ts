import { drawAxes, drawGrid } from './axis-nodes.ts';
import { type ChartGeometry, chartGeometry } from './chart-geometry.ts';
import { drawChart } from './chart-nodes.ts';
import { holdingExtent } from './holding-extent.ts';
import type { LabelBox } from './label-box.ts';
import { type LegendItem, type LegendLayout, layOutLegend } from './legend-layout.ts';
import { drawLegend } from './legend-nodes.ts';
import { buildMapLayers } from './map-layers.ts';
import { mapLegend, shownLegend } from './map-legend.ts';
import type { MapPlotModel } from './map-plot-model.ts';
import type { MapReadout } from './map-readout.ts';
import { baseScales, exactScales, type MapScales, type PlotSize, plotFrame } from './map-scales.ts';
import { endLabelRoom, operatingGeometry, operatingSoftLines } from './operating-geometry.ts';
import { drawOperatingLines } from './operating-nodes.ts';
import type { Palette } from './palette.ts';
import { drawPlaces } from './place-nodes.ts';
import { drawReadout } from './readout-nodes.ts';
import { drawSecondMap } from './second-map-nodes.ts';

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
