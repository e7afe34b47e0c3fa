import type { CandidateStyle } from '../charts/map-model.ts';
import type { SmallChart } from '../frame/axes.ts';
import { type Group, joinNodes } from '../frame/drawing.ts';
import { linePath, type PixelPoint, pixelRuns, rounded } from '../frame/pixels.ts';
import type { SmallChartLayers } from '../frame/small-chart.ts';
import { mixColour, type Palette } from '../palette.ts';
import { candidateLook, candidateMarker, DASH, HATCH_TILE, hatchLines } from './looks.ts';
import type { LineAxis } from './series.ts';

/**
 * Swallowing capacity over expansion ratio with the engine on it. Flows stand in the unit of the axis. Lists are compared by identity:
 * keep `capacities` the same while the turbines are.
 */
export interface TurbineChartModel {
  /** The ratio runs from 1 to `maxRatio`; the flow from 0, so that a gap is seen as a share. */
  maxRatio: number;
  flowAxis: LineAxis;
  capacities: readonly PlotCapacity[];
  engines: readonly PlotTurbineEngine[];
  /** Engine speed pointed at, here or elsewhere. */
  focusRpm: number | null;
}

export interface RatioAndFlow {
  expansionRatio: number;
  flow: number;
}

/** What one turbine swallows. */
export interface PlotCapacity {
  id: string;
  /** Stands beside its curves: 'A swallows'. */
  name: string;
  style: CandidateStyle;
  /** One for each line of the sheet, one for an estimate, in rising expansion ratio. */
  curves: readonly PlotCapacityCurve[];
  /** As entered on the sheet: small crosses. */
  entered: readonly RatioAndFlow[];
  /** What an estimate may be off, on both sides of its curve; none for a sheet. */
  band: { points: readonly { expansionRatio: number; low: number; high: number }[]; label: string } | null;
}

export interface PlotCapacityCurve {
  points: readonly (RatioAndFlow & { extended: boolean })[];
  /** From here on more expansion brings no more flow; null: not in sight. */
  chokesAt: RatioAndFlow | null;
}

/** The engine on its turbine. */
export interface PlotTurbineEngine {
  id: string;
  /** 'A' */
  letter: string;
  style: CandidateStyle;
  /** In rising engine speed; null where an engine speed has no operating point. */
  points: readonly (PlotTurbinePoint | null)[];
}

export interface PlotTurbinePoint extends RatioAndFlow {
  engineSpeedRpm: number;
  /** The whole exhaust at the same expansion ratio: what is above `flow` goes through the gate. */
  wholeExhaust: number;
  /** Gets a marker and an engine speed. */
  marked: boolean;
  severity?: 'stop' | 'caution' | undefined;
}

/** An engine point in pixels, with the place of the whole exhaust above it. */
export interface EnginePixel extends PixelPoint {
  point: PlotTurbinePoint;
  wholeY: number;
}

export interface CurvePixels {
  line: string;
  extendedLine: string;
  /** All of it, for labels beside it. */
  run: readonly PixelPoint[];
  chokesAt: PixelPoint | null;
}

export function pixelOf(chart: SmallChart, { expansionRatio, flow }: RatioAndFlow): PixelPoint {
  return { x: chart.x(expansionRatio), y: chart.y(flow) };
}

function isFinitePixel({ x, y }: PixelPoint): boolean {
  return Number.isFinite(x) && Number.isFinite(y);
}

/** The curves of a turbine in pixels. A segment is extended where either end is. */
export function curvePixels({ curves }: PlotCapacity, chart: SmallChart): CurvePixels[] {
  return curves.map(({ points, chokesAt }) => {
    const runs: { entered: PixelPoint[][]; extended: PixelPoint[][] } = { entered: [], extended: [] };
    let before: { at: PixelPoint; extended: boolean } | null = null;
    let kind: 'entered' | 'extended' | null = null;
    for (const point of points) {
      const at = pixelOf(chart, point);
      if (!isFinitePixel(at)) {
        before = null;
        kind = null;
        continue;
      }
      if (before !== null) {
        const here: 'entered' | 'extended' = before.extended || point.extended ? 'extended' : 'entered';
        if (here !== kind) runs[here].push([before.at]);
        runs[here].at(-1)?.push(at);
        kind = here;
      }
      before = { at, extended: point.extended };
    }
    return {
      line: linePath(runs.entered),
      extendedLine: linePath(runs.extended),
      run: points.map((point) => pixelOf(chart, point)).filter(isFinitePixel),
      chokesAt: chokesAt === null ? null : pixelOf(chart, chokesAt),
    };
  });
}

/** The band of an estimate: out along its upper edge and back along its lower, and the edges alone. */
export function bandPixels({ band }: PlotCapacity, chart: SmallChart): { fill: string; edges: string } {
  const edge = (side: 'low' | 'high') =>
    pixelRuns(band?.points ?? [], (p) => pixelOf(chart, { expansionRatio: p.expansionRatio, flow: p[side] }));
  const [low, high] = [edge('low'), edge('high')];
  return {
    fill: high.map((run, i) => linePath([[...run, ...(low[i] ?? []).toReversed()]], true)).join(''),
    edges: linePath([...low, ...high]),
  };
}

/** The engine's points in pixels; null where there is none. */
export function enginePixels({ points }: PlotTurbineEngine, chart: SmallChart): (EnginePixel | null)[] {
  return points.map((point) => {
    if (point === null) return null;
    const at = { ...pixelOf(chart, point), wholeY: chart.y(point.wholeExhaust), point };
    return isFinitePixel(at) && Number.isFinite(at.wholeY) ? at : null;
  });
}

interface Mark {
  d: string;
  stroke: string;
  width: number;
  dash: string | null;
  fill: string;
}

function drawMarks(group: Group, marks: readonly Mark[]): void {
  joinNodes(
    group,
    'path',
    marks.filter(({ d }) => d !== ''),
  )
    .attr('d', (d) => d.d)
    .attr('stroke', (d) => d.stroke)
    .attr('stroke-width', (d) => d.width)
    .attr('stroke-dasharray', (d) => d.dash)
    .attr('fill', (d) => d.fill);
}

/** What an estimate may be off, hatched: rising for A, falling for B. */
export function drawBands(
  layers: SmallChartLayers,
  capacities: readonly PlotCapacity[],
  chart: SmallChart,
  palette: Palette,
): void {
  const banded = capacities.filter(({ band }) => band !== null);
  // The clip path's id is unique on the page; the hatches take theirs from it.
  const clip = layers.root.select('clipPath').attr('id');
  const idOf = ({ style }: PlotCapacity) => `${clip}-band-${style}`;
  const hatchOf = ({ style }: PlotCapacity) => hatchLines(style === 'a' ? 'rising' : 'falling');
  layers.root
    .select('defs')
    .selectAll<SVGPatternElement, PlotCapacity>('pattern')
    .data(banded)
    .join((enter) => {
      const pattern = enter.append('pattern').attr('patternUnits', 'userSpaceOnUse');
      pattern.append('path').attr('fill', 'none');
      return pattern.attr('width', HATCH_TILE).attr('height', HATCH_TILE);
    })
    .attr('id', idOf)
    .select('path')
    .attr('d', (capacity) => hatchOf(capacity).d)
    .attr('stroke-width', 0.8)
    .attr('stroke', ({ style }) => mixColour(palette.paper, candidateLook(style, palette).colour, 0.4));
  const marks = banded.flatMap((capacity): Mark[] => {
    const { fill, edges } = bandPixels(capacity, chart);
    const { colour } = candidateLook(capacity.style, palette);
    return [
      { d: fill, stroke: 'none', width: 0, dash: null, fill: `url(#${idOf(capacity)})` },
      { d: edges, stroke: colour, width: 0.8, dash: '2 2', fill: 'none' },
    ];
  });
  drawMarks(layers.ground, marks);
}

function cross(at: PixelPoint, arm: number): string {
  const [x, y] = [rounded(at.x), rounded(at.y)];
  return `M${rounded(x - arm)},${y}H${rounded(x + arm)}M${x},${rounded(y - arm)}V${rounded(y + arm)}`;
}

/** The curves, where they choke, and the points as entered. */
export function drawCurves(
  group: Group,
  capacities: readonly PlotCapacity[],
  curves: readonly (readonly CurvePixels[])[],
  chart: SmallChart,
  palette: Palette,
): void {
  const marks = capacities.flatMap(({ style, entered }, index): Mark[] => {
    const { colour, dash } = candidateLook(style, palette);
    const mine = curves[index]!;
    const chokes = mine.flatMap(({ chokesAt: at }) =>
      at === null ? [] : `M${rounded(at.x)},${rounded(at.y - 6)}V${rounded(at.y + 6)}`,
    );
    // Several curves of one sheet run close: thinner, or they would be one.
    const width = mine.length > 1 ? 1.3 : 2;
    const all = (pick: (curve: CurvePixels) => string) => mine.map(pick).join('');
    const crosses = entered.map((at) => cross(pixelOf(chart, at), 3)).join('');
    return [
      { d: all(({ line }) => line), stroke: colour, width, dash, fill: 'none' },
      {
        d: all(({ extendedLine }) => extendedLine),
        stroke: colour,
        width: width - 0.1,
        dash: DASH.extended,
        fill: 'none',
      },
      { d: chokes.join(''), stroke: colour, width: 1.6, dash: null, fill: 'none' },
      { d: crosses, stroke: palette.ink, width: 1, dash: null, fill: 'none' },
    ];
  });
  drawMarks(group, marks);
}

/** Faintly the whole exhaust, and at each marked engine speed what of it goes through the gate. */
export function drawWholeExhaust(
  group: Group,
  engines: readonly PlotTurbineEngine[],
  pixels: readonly (readonly (EnginePixel | null)[])[],
  palette: Palette,
): void {
  const marks = engines.flatMap(({ style }, index): Mark[] => {
    const { colour, dash } = candidateLook(style, palette);
    const pale = mixColour(palette.paper, colour, 0.6);
    const line = pixelRuns(pixels[index]!, (at) => ({ x: at.x, y: at.wholeY }));
    const stems = pixels[index]!.map((at) =>
      at?.point.marked && at.y - at.wholeY > 1 ? `M${rounded(at.x)},${rounded(at.y)}V${rounded(at.wholeY)}` : '',
    );
    return [
      { d: linePath(line), stroke: pale, width: 1.2, dash, fill: 'none' },
      { d: stems.join(''), stroke: pale, width: 0.8, dash: null, fill: 'none' },
    ];
  });
  drawMarks(group, marks);
}

/** The marked engine speeds with the markers and rings that they have on the map, a dot for each of the others. */
export function drawEngines(
  layers: SmallChartLayers,
  engines: readonly PlotTurbineEngine[],
  pixels: readonly (readonly (EnginePixel | null)[])[],
  palette: Palette,
): void {
  const marks = engines.flatMap(({ style }, index): Mark[] => {
    const { colour } = candidateLook(style, palette);
    const shown = pixels[index]!.filter((at) => at !== null);
    const marked = shown.filter(({ point }) => point.marked);
    const of = (severity: 'stop' | 'caution') => marked.filter(({ point }) => point.severity === severity);
    const path = (some: readonly EnginePixel[], draw: (at: EnginePixel) => string) => some.map(draw).join('');
    const dot = (at: EnginePixel) => candidateMarker('a', at, 1.4);
    const marker = (at: EnginePixel) => candidateMarker(style, at);
    const ring = (at: EnginePixel) => candidateMarker('a', at, 8);
    return [
      {
        d: path(
          shown.filter(({ point }) => !point.marked),
          dot,
        ),
        stroke: 'none',
        width: 0,
        dash: null,
        fill: colour,
      },
      { d: path(marked, marker), stroke: colour, width: 1.8, dash: null, fill: palette.paper },
      { d: path(of('caution'), ring), stroke: palette.caution, width: 1.6, dash: null, fill: 'none' },
      { d: path(of('stop'), ring), stroke: palette.stop, width: 1.6, dash: null, fill: 'none' },
      { d: path(of('stop'), marker), stroke: palette.stop, width: 1.8, dash: null, fill: palette.stop },
    ];
  });
  drawMarks(layers.points, marks);
}
