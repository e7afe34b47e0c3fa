import { candidateLook, candidateMarker } from './candidate-look.ts';
import { DASH } from './dashes.ts';
import { type Group, joinNodes } from './drawing.ts';
import { HATCH_TILE, hatchLines } from './field-hatches.ts';
import { mixColour } from './mix-colour.ts';
import type { Palette } from './palette.ts';
import { linePath, pixelRuns, rounded } from './pixel-path.ts';
import type { PixelPoint } from './pixel-point.ts';
import type { SmallChart } from './small-chart.ts';
import type { SmallChartLayers } from './small-chart-layers.ts';
import { bandPixels, type CurvePixels, type EnginePixel, pixelOf } from './turbine-chart-geometry.ts';
import type { PlotCapacity, PlotTurbineEngine } from './turbine-chart-model.ts';

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
