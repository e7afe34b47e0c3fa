import { type Axes, type LineAxis, SPEED_AXIS, valueText } from '../frame/axes.ts';
import { type Compass, spotsAlong, spotsAround } from '../frame/labels.ts';
import { type CandidateStyle, candidateLook, candidateMarker, DASH, HATCHES, mixColour } from '../frame/looks.ts';
import { fillOf, inked, type Mark, placed, type Shape, type StyledRequest } from '../frame/mark.ts';
import {
  boxAbout,
  LABEL_FONT,
  type LabelBox,
  linePath,
  type PixelPoint,
  pixelRuns,
  rounded,
  textWidth,
} from '../frame/pixels.ts';
import { bandPaths } from './series.ts';

export interface RatioAndFlow {
  expansionRatio: number;
  flow: number;
}

/** The flow capacity of one turbine. */
export interface PlotCapacity {
  id: string;
  /** Stands beside its curves: 'A capacity'. */
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

interface PlotTurbinePoint extends RatioAndFlow {
  engineSpeedRpm: number;
  /** The whole exhaust at the same expansion ratio: what is above `flow` goes through the wastegate. */
  wholeExhaust: number;
  /** Gets a marker and an engine speed. */
  marked: boolean;
  severity?: 'stop' | 'caution' | undefined;
}

function pixelOf({ x, y }: Axes, { expansionRatio, flow }: RatioAndFlow): PixelPoint {
  return { x: x(expansionRatio), y: y(flow) };
}

function isFinitePixel({ x, y }: PixelPoint): boolean {
  return Number.isFinite(x) && Number.isFinite(y);
}

/** All of a curve, for labels beside it. */
function runOf({ points }: PlotCapacityCurve, axes: Axes): PixelPoint[] {
  return points.map((point) => pixelOf(axes, point)).filter(isFinitePixel);
}

/** Paths of a curve. A segment is extended where either end is. */
function curvePaths({ points }: PlotCapacityCurve, axes: Axes): { entered: string; extended: string } {
  const runs: { entered: PixelPoint[][]; extended: PixelPoint[][] } = { entered: [], extended: [] };
  let kind: 'entered' | 'extended' | null = null;
  points.forEach((point, i) => {
    const before = points[i - 1];
    const [from, at] = [before && pixelOf(axes, before), pixelOf(axes, point)];
    if (!before || !from || !isFinitePixel(from) || !isFinitePixel(at)) {
      kind = null;
      return;
    }
    const here = before.extended || point.extended ? 'extended' : 'entered';
    if (here !== kind) runs[here].push([from]);
    runs[here].at(-1)?.push(at);
    kind = here;
  });
  return { entered: linePath(runs.entered), extended: linePath(runs.extended) };
}

type BesideOptions = { liked: number; sides: readonly number[] };

function beside(run: readonly PixelPoint[], text: string, { frame }: Axes, { liked, sides }: BesideOptions) {
  const width = textWidth(text, LABEL_FONT, true);
  return sides.flatMap((offset, i) =>
    spotsAlong(run, frame, { width, offset, liked, likedWeight: 3, count: 12 }).map((spot) => ({
      ...spot,
      cost: spot.cost + i,
    })),
  );
}

function capacityNames({ id, name, style, curves, band }: PlotCapacity, axes: Axes, fill: string): StyledRequest[] {
  const top = curves.at(-1);
  const chokes = curves.find(({ chokesAt }) => chokesAt !== null)?.chokesAt ?? null;
  const request = (key: string, text: string, spots: StyledRequest['spots']): StyledRequest[] =>
    text === '' || spots.length === 0
      ? []
      : [{ key: `${style}:${id}:${key}`, text, bold: true, spots, fill, weight: 600 }];
  const edge = (side: 'low' | 'high') =>
    band?.points.map((p) => ({ x: axes.x(p.expansionRatio), y: axes.y(p[side]) })) ?? [];
  const text = band?.label ?? '';
  return [
    ...request(
      'name',
      name,
      top ? beside(runOf(top, axes), name, axes, { liked: 0.75, sides: [13, 26, -26, 40] }) : [],
    ),
    ...request(
      'chokes',
      'chokes',
      chokes
        ? [13, 30].flatMap((reach, far) =>
            spotsAround(pixelOf(axes, chokes), reach, ['s', 'n', 'se', 'ne', 'e'], 0.5, 3 * far),
          )
        : [],
    ),
    ...request('band', text, [
      ...beside(edge('low'), text, axes, { liked: 0.7, sides: [-10, -22, -36] }),
      ...beside(edge('high'), text, axes, { liked: 0.7, sides: [10, 22, 36] }),
    ]),
  ];
}

function cross(at: PixelPoint, arm: number): string {
  const [x, y] = [rounded(at.x), rounded(at.y)];
  return `M${rounded(x - arm)},${y}H${rounded(x + arm)}M${x},${rounded(y - arm)}V${rounded(y + arm)}`;
}

function capacityShapes({ curves, entered }: PlotCapacity, axes: Axes, colour: string, dash: string | null) {
  // Several curves of one sheet run close: thinner, or they would be one.
  const width = curves.length > 1 ? 1.3 : 2;
  const paths = curves.map((curve) => curvePaths(curve, axes));
  const chokes = curves.flatMap(({ chokesAt }) => {
    if (chokesAt === null) return [];
    const at = pixelOf(axes, chokesAt);
    return `M${rounded(at.x)},${rounded(at.y - 6)}V${rounded(at.y + 6)}`;
  });
  const line = (d: string, stroke: string, strokeWidth: number, strokeDash: string | null = null): Shape => ({
    d,
    stroke,
    width: strokeWidth,
    dash: strokeDash,
    fill: 'none',
  });
  return {
    lines: [
      line(paths.map((path) => path.entered).join(''), colour, width, dash),
      line(paths.map((path) => path.extended).join(''), colour, width - 0.1, DASH.extended),
      line(chokes.join(''), colour, 1.6),
    ],
    crosses: entered.map((at) => cross(pixelOf(axes, at), 3)).join(''),
  };
}

/**
 * Capacity curves, where they choke, the points as entered, and what an estimate may be off, hatched: rising for A, falling for B. The
 * names stay put while the engine moves, unless a mark comes to stand on one.
 */
export const capacityCurves: Mark<{ capacities: readonly PlotCapacity[] }, Axes> = {
  yields: true,
  hasPatterns: true,
  claims: ({ capacities }, axes) => ({
    lines: capacities
      .flatMap(({ curves }) => curves.map((curve) => ({ points: runOf(curve, axes), weight: 4 })))
      .filter(({ points }) => points.length > 1),
  }),
  render({ capacities }, axes, context) {
    const { palette } = context;
    const looks = capacities.map((capacity) => ({ capacity, ...candidateLook(capacity.style, palette) }));
    const banded = looks.flatMap(({ capacity: { style, band }, colour }) => (band ? [{ style, band, colour }] : []));
    return {
      patterns: banded.map(({ style, colour }) => ({
        key: `band-${style}`,
        d: HATCHES[style === 'a' ? 'rising' : 'falling'].d,
        stroke: mixColour(palette.paper, colour, 0.4),
        width: 0.8,
      })),
      shapes: {
        ground: inked(
          banded.flatMap(({ style, band, colour }): Shape[] => {
            const points = band.points.map((p) => ({ x: p.expansionRatio, low: p.low, high: p.high }));
            const { fill, edges } = bandPaths(points, axes);
            return [
              { d: fill, stroke: 'none', width: 0, fill: fillOf(context, `band-${style}`) },
              { d: edges, stroke: colour, width: 0.8, dash: '2 2', fill: 'none' },
            ];
          }),
        ),
        'lines/swallowed': inked(
          looks.flatMap(({ capacity, colour, dash }) => {
            const { lines, crosses } = capacityShapes(capacity, axes, colour, dash);
            return [...lines, { d: crosses, stroke: palette.ink, width: 1, fill: 'none' }];
          }),
        ),
      },
      labels: {
        'labels/names': placed(
          looks.flatMap(({ capacity, colour }) => capacityNames(capacity, axes, colour)),
          axes.frame,
          { ...context, held: new Map() },
        ),
      },
    };
  },
};

interface EnginePixel extends PixelPoint {
  point: PlotTurbinePoint;
  /** The place of the whole exhaust above it. */
  wholeY: number;
}

/** The engine's points in pixels; null where there is none. */
export function enginePixels({ points }: Pick<PlotTurbineEngine, 'points'>, axes: Axes): (EnginePixel | null)[] {
  return points.map((point) => {
    if (point === null) return null;
    const at = { ...pixelOf(axes, point), wholeY: axes.y(point.wholeExhaust), point };
    return isFinitePixel(at) && Number.isFinite(at.wholeY) ? at : null;
  });
}

/** A's numbers stand below its curve, B's above: over both the gaps to the whole exhaust need their room. */
const LOWER: readonly Compass[] = ['se', 's', 'e', 'sw', 'nw', 'n'];
const UPPER: readonly Compass[] = ['nw', 'n', 'w', 'ne', 'se', 's'];
const ORDER: Readonly<Record<CandidateStyle, readonly Compass[]>> = { a: LOWER, b: UPPER, c: LOWER, d: UPPER };

type PlacedEngine = PlotTurbineEngine & { pixels: readonly EnginePixel[]; runs: readonly (EnginePixel | null)[] };

function placedEngines(engines: readonly PlotTurbineEngine[], axes: Axes): PlacedEngine[] {
  return engines.map((engine) => {
    const runs = enginePixels(engine, axes);
    return { ...engine, runs, pixels: runs.filter((at) => at !== null) };
  });
}

function speedNames({ id, style, pixels }: PlacedEngine, fill: string): StyledRequest[] {
  const marked = pixels.filter(({ point }) => point.marked);
  // The ends first: they say where the engine runs.
  return [...marked.slice(-1), ...marked.slice(0, -1)].map((at) => ({
    key: `${style}:${id}:${at.point.engineSpeedRpm}`,
    text: valueText(at.point.engineSpeedRpm, { decimals: 0, unit: '' }),
    bold: true,
    spots: [at.point.severity ? 14 : 10, 17].flatMap((reach, far) =>
      spotsAround(at, reach, ORDER[style], 0.3, far * 7),
    ),
    fill,
    weight: 600,
  }));
}

function wholeName({ id, style, letter, pixels }: PlacedEngine, axes: Axes, fill: string): StyledRequest[] {
  const run = pixels.flatMap((at) => (at.y - at.wholeY > 4 ? [{ x: at.x, y: at.wholeY }] : []));
  const end = run.at(-1);
  if (end === undefined) return [];
  const text = `${letter} whole exhaust`;
  const rising = run.toSorted((p, q) => p.x - q.x);
  const spots = [
    ...beside(rising, text, axes, { liked: 0.6, sides: [11, 22] }),
    ...[8, 18].flatMap((reach, far) => spotsAround(end, reach, ['n', 'ne', 'nw', 'e', 'w'], 0.4, 3 + far)),
  ];
  return [{ key: `${style}:${id}:whole`, text, spots, fill, weight: 400 }];
}

function markerBoxes(engines: readonly PlacedEngine[]): LabelBox[] {
  return engines
    .flatMap(({ pixels }) => pixels)
    .flatMap((at) => (at.point.marked ? [boxAbout(at, at.point.severity ? 17 : 9)] : []));
}

/** Faintly the whole exhaust and at each marked engine speed what of it goes through the wastegate; markers and rings as on the map. */
export const turbineEngines: Mark<{ engines: readonly PlotTurbineEngine[] }, Axes> = {
  isSteady: true,
  claims({ engines }, axes) {
    const all = placedEngines(engines, axes);
    const whole = ({ x, wholeY }: EnginePixel) => ({ x, y: wholeY });
    const lines = [
      ...all.map(({ pixels }) => ({ points: pixels.map(whole), weight: 2 })),
      ...all.flatMap(({ pixels }) =>
        pixels.flatMap((at) => (at.point.marked ? [{ points: [at, whole(at)], weight: 1 }] : [])),
      ),
    ];
    return { lines: lines.filter(({ points }) => points.length > 1), room: markerBoxes(all) };
  },
  render({ engines }, axes, context) {
    const { palette } = context;
    const all = placedEngines(engines, axes).map((engine) => ({ engine, ...candidateLook(engine.style, palette) }));
    const wholes = all.flatMap(({ engine: { pixels, runs }, colour, dash }): Shape[] => {
      const stroke = mixColour(palette.paper, colour, 0.6);
      const line = pixelRuns(runs, (at) => ({ x: at.x, y: at.wholeY }));
      const stems = pixels.map((at) =>
        at.point.marked && at.y - at.wholeY > 1 ? `M${rounded(at.x)},${rounded(at.y)}V${rounded(at.wholeY)}` : '',
      );
      return [
        { d: linePath(line), stroke, width: 1.2, dash, fill: 'none' },
        { d: stems.join(''), stroke, width: 0.8, fill: 'none' },
      ];
    });
    const points = all.flatMap(({ engine: { style, pixels }, colour }): Shape[] => {
      const draw = (wanted: (point: PlotTurbinePoint) => boolean, marker: CandidateStyle, size?: number) =>
        pixels
          .filter(({ point }) => wanted(point))
          .map((at) => candidateMarker(marker, at, size))
          .join('');
      const isMarked = (point: PlotTurbinePoint) => point.marked;
      const isStop = (point: PlotTurbinePoint) => point.marked && point.severity === 'stop';
      const isCaution = (point: PlotTurbinePoint) => point.marked && point.severity === 'caution';
      return [
        { d: draw((point) => !point.marked, 'a', 1.4), stroke: 'none', width: 0, fill: colour },
        { d: draw(isMarked, style), stroke: colour, width: 1.8, fill: palette.paper },
        { d: draw(isCaution, 'a', 8), stroke: palette.caution, width: 1.6, fill: 'none' },
        { d: draw(isStop, 'a', 8), stroke: palette.stop, width: 1.6, fill: 'none' },
        { d: draw(isStop, style), stroke: palette.stop, width: 1.8, fill: palette.stop },
      ];
    });
    const requests = [
      ...all.flatMap(({ engine, colour }) => speedNames(engine, colour)),
      ...all.flatMap(({ engine, colour }) => wholeName(engine, axes, colour)),
    ];
    const taken = [...context.taken, ...markerBoxes(all.map(({ engine }) => engine))];
    return {
      shapes: { 'lines/whole': inked(wholes), points: inked(points) },
      labels: { 'labels/speeds': placed(requests, axes.frame, { ...context, taken }) },
    };
  },
};

/** The point of an engine at the computed engine speed nearest to one; null where it has none. */
function pointNear({ points }: PlotTurbineEngine, engineSpeedRpm: number): PlotTurbinePoint | null {
  const away = (point: PlotTurbinePoint) => Math.abs(point.engineSpeedRpm - engineSpeedRpm);
  return points.reduce(
    (best, point) => (point !== null && (best === null || away(point) < away(best)) ? point : best),
    null,
  );
}

/** Share of the exhaust through the wastegate, in words: 'gate shut', 'gate 12 %'. */
function gateText({ flow, wholeExhaust }: PlotTurbinePoint): string {
  const share = 1 - flow / wholeExhaust;
  return share < 5e-4 ? 'gate shut' : `gate ${valueText(share * 100, { decimals: 0, unit: '%' })}`;
}

/** 'At 3,500 rpm, A expansion ratio 1.85, 0.043 kg/s, gate 12 %' */
export function turbineText(engines: readonly PlotTurbineEngine[], flowAxis: LineAxis, engineSpeedRpm: number): string {
  const values = engines.flatMap((engine) => {
    const point = pointNear(engine, engineSpeedRpm);
    if (point === null) return [];
    const ratio = valueText(point.expansionRatio, { decimals: 2, unit: '' });
    return `${engine.letter} expansion ratio ${ratio}, ${valueText(point.flow, flowAxis)}, ${gateText(point)}`;
  });
  return [`At ${valueText(engineSpeedRpm, SPEED_AXIS)}`, ...values].join(', ');
}

/** The engine speed pointed at: its point in full, what goes through the wastegate as a heavy stem, and its share. */
export const turbinePointed: Mark<{ engines: readonly PlotTurbineEngine[]; focusRpm: number | null }, Axes> = {
  render({ engines, focusRpm }, axes, context) {
    const { palette } = context;
    const { top } = axes.frame;
    const all = engines.flatMap((engine) => {
      const point = focusRpm === null ? null : pointNear(engine, focusRpm);
      const [at] = enginePixels({ points: [point] }, axes);
      return at ? [{ engine, at, fill: candidateLook(engine.style, palette).colour }] : [];
    });
    const pointed = all.flatMap(({ engine: { style }, at, fill }): Shape[] => {
      const x = rounded(at.x);
      const whole = `M${rounded(x - 5)},${rounded(at.wholeY)}h10`;
      // A whole exhaust out of sight has a stem that runs to the edge and does not end there.
      const stem = `M${x},${rounded(at.y)}V${rounded(Math.max(top, at.wholeY))}${at.wholeY < top ? '' : whole}`;
      return [
        { d: at.y - at.wholeY > 1 ? stem : '', stroke: fill, width: 2.2, fill: 'none' },
        { d: candidateMarker(style, at, 5.5), stroke: palette.paper, width: 1.2, fill },
      ];
    });
    const requests = all.map(({ engine, at, fill }): StyledRequest => {
      const [foot, head] = [at.y, Math.max(top, at.wholeY)];
      // Heights beside the stem, best first.
      const heights = [head - 4, (foot + head) / 2, foot + 8, head - 22, foot + 26, foot + 44];
      const text = `${valueText(at.point.engineSpeedRpm, { decimals: 0, unit: '' })}: ${gateText(at.point)}`;
      const spots = heights.flatMap((y, i) => spotsAround({ x: at.x, y }, 9, ['n', 'e', 'w', 's'], 0.2, i));
      return { key: engine.id, text, bold: true, spots, fill, weight: 600 };
    });
    const taken = [...context.taken, ...all.map(({ at }) => boxAbout(at, 12))];
    const labels = placed(requests, axes.frame, { taken, lines: context.lines });
    return { shapes: { pointed: inked(pointed) }, labels: { pointed: labels } };
  },
};
