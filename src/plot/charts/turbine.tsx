import { pointer, select } from 'd3-selection';
import {
  axisTitle,
  CHART_FONT,
  roomyRange,
  type SmallChart,
  smallChart,
  speedText,
  type ValueRange,
  valueText,
} from '../frame/axes.ts';
import { ChartHost, type HostedChart } from '../frame/ChartHost.tsx';
import { addGroup, drawLabels, type Group, joinNodes } from '../frame/drawing.ts';
import { type LabelSurroundings, placeLabels, type SoftLine, spotsAround } from '../frame/labels.ts';
import { drawLegend, type LegendItem, type LegendLayout, layOutLegend } from '../frame/legend.ts';
import { type LabelBox, type PixelPoint, rounded } from '../frame/pixels.ts';
import { SmallChartDrawing, type SmallChartLayers } from '../frame/small-chart.ts';
import { candidateLook, candidateMarker } from '../marks/looks.ts';
import {
  type CurvePixels,
  curvePixels,
  drawBands,
  drawCurves,
  drawEngines,
  drawWholeExhaust,
  type EnginePixel,
  enginePixels,
  type PlotTurbineEngine,
  type PlotTurbinePoint,
  type TurbineChartModel,
} from '../marks/turbine.ts';
import {
  drawStyledLabels,
  isMarkedOver,
  placeCapacityNames,
  placeEngineLabels,
  type StyledLabel,
  softLines,
} from '../marks/turbine-labels.ts';
import type { Palette } from '../palette.ts';
import { type PlotSize, TITLE_FONT } from './map-scales.ts';

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

/** The point of an engine at the computed engine speed nearest to one; null where it has none. */
export function pointNear({ points }: PlotTurbineEngine, engineSpeedRpm: number): PlotTurbinePoint | null {
  let best: PlotTurbinePoint | null = null;
  for (const point of points) {
    if (point === null) continue;
    const isNearer =
      best === null || Math.abs(point.engineSpeedRpm - engineSpeedRpm) < Math.abs(best.engineSpeedRpm - engineSpeedRpm);
    if (isNearer) best = point;
  }
  return best;
}

/** Share of the exhaust through the gate, in words: 'gate shut', 'gate 12 %'. */
export function gateText({ flow, wholeExhaust }: PlotTurbinePoint): string {
  const share = 1 - flow / wholeExhaust;
  return share < 5e-4 ? 'gate shut' : `gate ${valueText(share * 100, 0, '%')}`;
}

/** 'At 3,500 rpm, A expansion ratio 1.85, 0.043 kg/s, gate 12 %' */
export function turbineText(model: TurbineChartModel, engineSpeedRpm: number): string {
  const { decimals, unit } = model.flowAxis;
  const said = model.engines.flatMap((engine) => {
    const point = pointNear(engine, engineSpeedRpm);
    if (point === null) return [];
    return `${engine.letter} expansion ratio ${valueText(point.expansionRatio, 2, '')}, ${valueText(point.flow, decimals, unit)}, ${gateText(point)}`;
  });
  return [`At ${speedText(engineSpeedRpm)}`, ...said].join(', ');
}

/** Heights beside a stem where its share may stand, best first. */
function besideStem(foot: number, head: number): number[] {
  return [head - 4, (foot + head) / 2, foot + 8, head - 22, foot + 26, foot + 44];
}

/** The engine speed pointed at: its point in full, what goes through the gate as a heavy stem, and its share. */
export function drawTurbinePointed(
  layers: SmallChartLayers,
  model: TurbineChartModel,
  chart: SmallChart,
  palette: Palette,
  around: LabelSurroundings,
): void {
  const { focusRpm } = model;
  const pointed = model.engines.flatMap((engine): { engine: PlotTurbineEngine; at: EnginePixel }[] => {
    const point = focusRpm === null ? null : pointNear(engine, focusRpm);
    const [at] = point === null ? [] : enginePixels({ ...engine, points: [point] }, chart);
    return at ? [{ engine, at }] : [];
  });
  const { top } = chart.frame;
  const paths = pointed.flatMap(({ engine: { style }, at }) => {
    const { colour } = candidateLook(style, palette);
    const x = rounded(at.x);
    const whole = `M${rounded(x - 5)},${rounded(at.wholeY)}h10`;
    // A whole exhaust out of sight has a stem that runs to the edge and does not end there.
    const stem = `M${x},${rounded(at.y)}V${rounded(Math.max(top, at.wholeY))}${at.wholeY < top ? '' : whole}`;
    return [
      { d: at.y - at.wholeY > 1 ? stem : '', stroke: colour, width: 2.2, fill: 'none' },
      { d: candidateMarker(style, at, 5.5), stroke: palette.paper, width: 1.2, fill: colour },
    ].filter(({ d }) => d !== '');
  });
  joinNodes(layers.pointed, 'path', paths)
    .attr('d', (d) => d.d)
    .attr('stroke', (d) => d.stroke)
    .attr('stroke-width', (d) => d.width)
    .attr('fill', (d) => d.fill);
  const labels = placeLabels(
    pointed.map(({ engine, at }) => ({
      key: engine.id,
      text: `${valueText(at.point.engineSpeedRpm, 0, '')}: ${gateText(at.point)}`,
      fontSize: CHART_FONT,
      bold: true,
      spots: besideStem(at.y, Math.max(top, at.wholeY)).flatMap((y, i) =>
        spotsAround({ x: at.x, y }, 9, ['n', 'e', 'w', 's'], 0.2, i),
      ),
    })),
    {
      ...around,
      taken: [...around.taken, ...pointed.map(({ at }) => ({ x: at.x, y: at.y, width: 12, height: 12, angle: 0 }))],
    },
  );
  const styles = new Map(pointed.map(({ engine }) => [engine.id, engine.style]));
  drawLabels(layers.pointed, labels, palette.paper, ({ key }) => ({
    fill: candidateLook(styles.get(key) ?? 'a', palette).colour,
    weight: 600,
  }));
}

/** The engine speed that is pointed at. */
export interface TurbinePointed {
  engineSpeedRpm: number;
  /** 'press' and 'key' mean it; 'pointer' only passes over it. */
  by: 'pointer' | 'press' | 'key';
}

export interface TurbineChartHandlers {
  /** null when the pointer left. The owner answers through the model's focus. */
  onPoint?: ((pointed: TurbinePointed | null) => void) | undefined;
  /** Text for a live region after a key. */
  announce?: ((text: string) => void) | undefined;
}

export type TurbineChartController = HostedChart<TurbineChartModel, TurbineChartHandlers>;

/** Reach of the pointer to a point or to the stem above it, pixels. */
const REACH = 30;

class TurbineChartDrawing extends SmallChartDrawing<TurbineChartModel, TurbineChartHandlers> {
  private drawing: TurbineDrawing | null = null;

  constructor(...args: ConstructorParameters<typeof SmallChartDrawing<TurbineChartModel, TurbineChartHandlers>>) {
    super(...args);
    select(this.svg)
      .on('pointermove.chart pointerdown.chart', (event: PointerEvent) => this.pointed(event))
      .on('pointerleave.chart', () => this.handlers.onPoint?.(null))
      .on('keydown.chart', (event: KeyboardEvent) => this.key(event));
  }

  protected isSameDrawing(before: TurbineChartModel, after: TurbineChartModel): boolean {
    return (['maxRatio', 'flowAxis', 'capacities', 'engines'] as const).every((part) => before[part] === after[part]);
  }

  protected drawWhole(model: TurbineChartModel): SmallChart {
    if (this.drawing?.layers !== this.layers) this.drawing = new TurbineDrawing(this.layers, this.palette);
    return this.drawing.draw(model, this.size);
  }

  protected drawPointed(model: TurbineChartModel, chart: SmallChart): void {
    drawTurbinePointed(this.layers, model, chart, this.palette, {
      frame: chart.frame,
      taken: this.drawing?.labelBoxes ?? [],
      lines: this.drawing?.softLines ?? [],
    });
  }

  private pointed(event: PointerEvent): void {
    if (!this.model || !this.chart) return;
    const [x, y] = pointer(event, this.svg);
    const rpm = this.speedNear({ x, y });
    const by = event.type === 'pointerdown' ? 'press' : 'pointer';
    if (rpm === this.model.focusRpm && by === 'pointer') return;
    this.handlers.onPoint?.(rpm === null ? null : { engineSpeedRpm: rpm, by });
  }

  private speedNear(pixel: PixelPoint): number | null {
    let best: number | null = null;
    let least = REACH;
    for (const engine of this.model!.engines) {
      for (const at of enginePixels(engine, this.chart!)) {
        if (at === null) continue;
        const y = Math.min(at.y, Math.max(at.wholeY, pixel.y));
        const away = Math.hypot(at.x - pixel.x, y - pixel.y);
        if (away >= least) continue;
        least = away;
        best = at.point.engineSpeedRpm;
      }
    }
    return best;
  }

  private key(event: KeyboardEvent): void {
    const { model } = this;
    if (!model || event.ctrlKey || event.metaKey || event.altKey) return;
    if (event.key === 'Escape' && model.focusRpm !== null) this.handlers.onPoint?.(null);
    const speeds = speedsOf(model);
    const target = steppedSpeed(event, speeds, model.focusRpm);
    if (target === undefined) return;
    event.preventDefault();
    this.handlers.onPoint?.({ engineSpeedRpm: target, by: 'key' });
    this.handlers.announce?.(turbineText(model, target));
  }
}

/** Engine speeds that have a point, rising, each once. */
function speedsOf({ engines }: TurbineChartModel): number[] {
  const speeds = engines.flatMap(({ points }) => points.flatMap((point) => point?.engineSpeedRpm ?? []));
  return [...new Set(speeds)].sort((a, b) => a - b);
}

function steppedSpeed(event: KeyboardEvent, speeds: readonly number[], focus: number | null): number | undefined {
  const last = speeds.length - 1;
  const step = event.shiftKey ? 5 : 1;
  const nearest = speeds.reduce(
    (best, rpm, i) => (Math.abs(rpm - focus!) < Math.abs((speeds[best] ?? 0) - focus!) ? i : best),
    0,
  );
  const targets: Readonly<Record<string, number>> = {
    ArrowLeft: focus === null ? last : Math.max(0, nearest - step),
    ArrowRight: focus === null ? 0 : Math.min(last, nearest + step),
    Home: 0,
    End: last,
  };
  return speeds[targets[event.key] ?? -1];
}

let instances = 0;

/** A live turbine chart in an SVG element that the caller owns. */
export function createTurbineChart(
  svg: SVGSVGElement,
  palette: Palette,
  handlers: TurbineChartHandlers,
  size: PlotSize,
  idPrefix = `turbine-chart-${++instances}`,
): TurbineChartController {
  return new TurbineChartDrawing(svg, palette, handlers, size, idPrefix);
}

export interface TurbineChartProps {
  model: TurbineChartModel;
  palette: Palette;
  handlers?: TurbineChartHandlers;
  /** Left out: fills the parent, which must have a height. */
  size?: PlotSize;
  /** 'Turbine of candidate A'. Keys are added to it. */
  label: string;
}

const KEYS = 'Left and right arrow read engine speed by engine speed.';
const NO_HANDLERS: TurbineChartHandlers = {};

const create = (svg: SVGSVGElement, palette: Palette, size: PlotSize) => createTurbineChart(svg, palette, {}, size);

/** The turbine chart in React. */
export function TurbineChart({ model, palette, handlers = NO_HANDLERS, size, label }: TurbineChartProps) {
  return (
    <ChartHost
      create={create}
      model={model}
      palette={palette}
      handlers={handlers}
      size={size}
      kind="turbine chart"
      label={`${label}. ${KEYS}`}
    />
  );
}
