import { addGroup, type Group } from './drawing.ts';
import type { LabelBox } from './label-box.ts';
import type { SoftLine } from './label-placement.ts';
import { type LegendItem, type LegendLayout, layOutLegend } from './legend-layout.ts';
import { drawLegend } from './legend-nodes.ts';
import { type PlotSize, TITLE_FONT } from './map-scales.ts';
import type { Palette } from './palette.ts';
import { axisTitle, roomyRange, type SmallChart, smallChart, type ValueRange } from './small-chart.ts';
import type { SmallChartLayers } from './small-chart-layers.ts';
import { type CurvePixels, curvePixels, enginePixels } from './turbine-chart-geometry.ts';
import {
  drawStyledLabels,
  isMarkedOver,
  placeCapacityNames,
  placeEngineLabels,
  type StyledLabel,
  softLines,
} from './turbine-chart-labels.ts';
import type { TurbineChartModel } from './turbine-chart-model.ts';
import { drawBands, drawCurves, drawEngines, drawWholeExhaust } from './turbine-chart-nodes.ts';

/** How far above the most that is swallowed the axis goes for the whole exhaust. */
const MOST_WHOLE = 2.2;

function legendItems({ capacities }: TurbineChartModel): LegendItem[] {
  const curves = capacities.flatMap((capacity) => capacity.curves);
  const items: LegendItem[] = [{ swatch: 'none', text: 'Marks: engine rpm' }];
  if (capacities.some(({ entered }) => entered.length > 0)) {
    items.push({ swatch: 'sheet-point', text: 'As entered' });
  }
  if (curves.some(({ points }) => points.some(({ extended }) => extended))) {
    items.push({ swatch: 'extended', text: 'Extended' });
  }
  return items;
}

/** The axis of flow: from 0, so that a gap is seen as a share, to all that is swallowed and the whole exhaust. */
function flowRange({ capacities, engines }: TurbineChartModel): ValueRange {
  const swallowed = [
    0,
    ...capacities.flatMap(({ curves, band }) => [
      ...curves.flatMap(({ points }) => points.map(({ flow }) => flow)),
      ...(band?.points.map(({ high }) => high) ?? []),
    ]),
  ];
  // A gate that takes nearly all must not press the curve flat: its exhaust runs out of sight.
  const most = MOST_WHOLE * Math.max(...swallowed.filter(Number.isFinite));
  const whole = engines.flatMap(({ points }) =>
    points.map((point) => Math.min(most, point?.wholeExhaust ?? Number.NaN)),
  );
  return roomyRange([...swallowed, ...whole], 0, 0.05, { low: 0, high: Number.POSITIVE_INFINITY });
}

/** What was drawn of the turbines; the engine moves over it with every input. */
interface Standing {
  capacities: TurbineChartModel['capacities'];
  /** Of the axes that it was drawn on. */
  key: string;
  curves: readonly (readonly CurvePixels[])[];
  names: readonly StyledLabel[];
}

/** Draws a turbine chart in its layers: the turbines again only when they or the axes are others, the engine every time. */
export class TurbineDrawing {
  private standing: Standing | null = null;
  private engineLabels: readonly StyledLabel[] = [];
  private pixels: Parameters<typeof isMarkedOver>[1] = [];
  private readonly whole: Group;
  private readonly swallowed: Group;
  private readonly names: Group;
  private readonly speeds: Group;

  constructor(
    readonly layers: SmallChartLayers,
    private readonly palette: Palette,
  ) {
    this.whole = addGroup(layers.lines, 'whole');
    this.swallowed = addGroup(layers.lines, 'swallowed');
    this.names = addGroup(layers.labels, 'names');
    this.speeds = addGroup(layers.labels, 'speeds');
  }

  /** Where labels stand: what is pointed at keeps off them. */
  get labelBoxes(): readonly LabelBox[] {
    return [...(this.standing?.names ?? []), ...this.engineLabels].map(({ box }) => box);
  }

  /** Lines that it keeps off where there is room. */
  get softLines(): readonly SoftLine[] {
    return softLines(this.standing?.curves ?? [], this.pixels);
  }

  draw(model: TurbineChartModel, size: PlotSize): SmallChart {
    const { layers, palette } = this;
    const { flowAxis, engines, maxRatio } = model;
    const legend = layOutLegend(legendItems(model), 8, TITLE_FONT * 1.3 + 6, size.width - 16);
    const room = { legendHeight: legend.height + 2 };
    const chart = smallChart(size, { low: 1, high: maxRatio }, flowRange(model), room);
    layers.fit(size, chart, axisTitle(flowAxis.title, flowAxis.unit), palette, 'Expansion ratio, total to static');
    const pixels = engines.map((engine) => enginePixels(engine, chart));
    this.pixels = pixels;
    const standing = this.stand(model, chart, pixels, legend);
    drawWholeExhaust(this.whole, engines, pixels, palette);
    drawEngines(layers, engines, pixels, palette);
    const held = new Map(this.engineLabels.map(({ key, spot }) => [key, spot]));
    this.engineLabels = placeEngineLabels(model, standing.curves, pixels, chart, standing.names, held);
    drawStyledLabels(this.speeds, this.engineLabels, palette);
    return chart;
  }

  private stand(
    model: TurbineChartModel,
    chart: SmallChart,
    pixels: Parameters<typeof isMarkedOver>[1],
    legend: LegendLayout,
  ): Standing {
    const { capacities } = model;
    const { layers, palette } = this;
    const key = JSON.stringify([chart.frame, chart.x.domain(), chart.y.domain()]);
    const before = this.standing;
    const isSame = before?.capacities === capacities && before.key === key;
    if (isSame && !isMarkedOver(before.names, pixels)) return before;
    drawLegend(layers.legend, legend, palette);
    const curves = capacities.map((capacity) => curvePixels(capacity, chart));
    drawBands(layers, capacities, chart, palette);
    drawCurves(this.swallowed, capacities, curves, chart, palette);
    const names = placeCapacityNames(model, curves, pixels, chart);
    drawStyledLabels(this.names, names, palette);
    this.standing = { capacities, key, curves, names };
    return this.standing;
  }
}
