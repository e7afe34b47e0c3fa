import type { FlowAndRatio, MapPolyline } from '../../compressor/types.ts';
import type { MapChart, PlotIsland, PlotSpeedLine } from '../charts/map-model.ts';
import { acrossTicks, LABEL_FONT, type MapScales, type Tick, toPixel, upTicks } from '../charts/map-scales.ts';
import {
  type AlongOptions,
  type Compass,
  type LabelRequest,
  type PlacedLabel,
  placeLabels,
  type SoftLine,
  spotsAlong,
  spotsAround,
} from '../frame/labels.ts';
import { cutByBox, type LabelBox, linePath, type PixelPoint, pixelRuns } from '../frame/pixels.ts';
import { textWidth } from '../frame/text.ts';

/** Layers of the map itself, from the back to the front. */
export const SURFACE_LAYERS = [
  'island-fills',
  'island-lines',
  'speed-lines',
  'surge',
  'choke',
  'rated',
  'sheet-points',
] as const;

export type SurfaceLayer = (typeof SURFACE_LAYERS)[number];

export type Runs = PixelPoint[][];

export type ChartLabelRole = 'speed' | 'island' | 'surge' | 'choke' | 'rated';

export interface ChartLabel extends PlacedLabel {
  role: ChartLabelRole;
}

/** The lines of the map in pixels, each broken where a point is missing. */
export interface ChartRuns {
  islands: PixelPoint[][][];
  speedLines: PixelPoint[][][];
  surge: PixelPoint[];
  choke: PixelPoint[];
  /** Without their extended parts: where their names stand. */
  surgeEntered: PixelPoint[];
  chokeEntered: PixelPoint[];
  rated: PixelPoint[];
}

const SPEED_ORDER: readonly Compass[] = ['e', 'se', 's', 'ne'];
const SURGE_ORDER: readonly Compass[] = ['w', 'nw', 'sw'];

function longest(runs: Runs): PixelPoint[] {
  return runs.reduce((best, run) => (run.length > best.length ? run : best), [] as PixelPoint[]);
}

function speedLabel(index: number, label: string, run: readonly PixelPoint[], isRated: boolean): LabelRequest {
  const spots = [];
  const last = run.at(-1);
  const first = run[0];
  if (last) spots.push(...spotsAround(last, 6, SPEED_ORDER, 0.4), ...spotsAround(last, 14, SPEED_ORDER, 0.4, 1.5));
  for (const share of [0.93, 0.85, 0.75, 0.6, 0.4]) {
    const at = run[Math.round(share * (run.length - 1))];
    if (at) spots.push(...spotsAround(at, 6, ['e', 'ne'], 0.4, 3 + (1 - share) * 4));
  }
  if (first) spots.push(...spotsAround(first, 8, SURGE_ORDER, 0.4, 5));
  for (const share of [0.7, 0.5, 0.3]) {
    const at = run[Math.round(share * (run.length - 1))];
    if (at) spots.push({ x: at.x, y: at.y, anchor: 'middle' as const, angle: 0, cost: 8 });
  }
  return { key: `speed:${index}`, text: label, fontSize: LABEL_FONT, bold: isRated, spots };
}

/** Lines that labels keep off where there is room, the heavy ones most. */
export function softLinesOf(runs: ChartRuns): SoftLine[] {
  return [
    { points: runs.surge, weight: 6 },
    { points: runs.rated, weight: 4 },
    { points: runs.choke, weight: 2 },
    ...runs.speedLines.flat().map((points) => ({ points, weight: 1.5 })),
    ...runs.islands.flat().map((points) => ({ points, weight: 0.8 })),
  ].filter((line) => line.points.length > 1);
}

type Along = Omit<AlongOptions, 'width'> & { key: string; text: string };

/** Beside the line on the side of `offset`, on the other side only for want of room. */
function alongRequest(along: Along, run: PixelPoint[], scales: MapScales): LabelRequest {
  const width = textWidth(along.text, LABEL_FONT, true);
  const spots = [along.offset, -along.offset].flatMap((offset, index) =>
    spotsAlong(run, scales.frame, { ...along, width, offset }).map((spot) => ({
      ...spot,
      cost: spot.cost + index * 3,
    })),
  );
  return { key: along.key, text: along.text, fontSize: LABEL_FONT, bold: true, spots };
}

function islandRequest(index: number, text: string, runs: Runs, scales: MapScales): LabelRequest {
  const width = textWidth(text, LABEL_FONT) + 4;
  const spots = runs.flatMap((run) =>
    spotsAlong(run, scales.frame, { width, offset: 0, liked: 0.5, count: 24 }).map((spot) => ({
      ...spot,
      cost: spot.cost * 0.6,
    })),
  );
  return { key: `island:${index}`, text, fontSize: LABEL_FONT, spots };
}

function speedRequests(chart: MapChart, runs: ChartRuns, kind: 'entered' | 'extended'): LabelRequest[] {
  return chart.speedLines.flatMap((line, index) =>
    line.kind === kind && line.label !== ''
      ? [speedLabel(index, line.label, longest(runs.speedLines[index]!), line.isRated)]
      : [],
  );
}

/** Labels of the map's lines, most important first; `alsoAvoid` are lines of other layers, `taken` boxes of labels drawn before. */
export function chartLabels(
  chart: MapChart,
  runs: ChartRuns,
  scales: MapScales,
  alsoAvoid: readonly SoftLine[],
  taken: readonly LabelBox[],
): ChartLabel[] {
  const requests: LabelRequest[] = [];
  const whose = chart.letter === undefined ? '' : ` ${chart.letter}`;
  if (chart.ratedSpeedLine) {
    const along = { key: 'rated', text: chart.ratedSpeedLine.label, offset: 10, liked: 0.15, likedWeight: 8 };
    requests.push(alongRequest(along, runs.rated, scales));
  }
  requests.push(
    alongRequest({ key: 'surge', text: `surge line${whose}`, offset: 10, liked: 0.6 }, runs.surgeEntered, scales),
  );
  requests.push(...speedRequests(chart, runs, 'entered'));
  requests.push(
    alongRequest({ key: 'choke', text: `choke end${whose}`, offset: -10, liked: 0.5 }, runs.chokeEntered, scales),
  );
  chart.islands.forEach((island, index) => {
    requests.push(islandRequest(index, island.label, runs.islands[index]!, scales));
  });
  requests.push(...speedRequests(chart, runs, 'extended'));
  const lines = [...softLinesOf(runs), ...alsoAvoid];
  const placed = placeLabels(requests, { frame: scales.frame, taken, lines });
  return placed.map((label) => ({ ...label, role: label.key.split(':')[0] as ChartLabelRole }));
}

export interface IslandGeometry {
  line: string;
  /** Closed rings only: where an open contour would close outside the map is not known. */
  fill: string;
  /** 0 for the lowest efficiency on the map, 1 for the highest. */
  share: number;
}

export interface StrokeGeometry {
  d: string;
  extended: boolean;
  isRated: boolean;
}

/** The layers that do not move with the engine, in pixels. */
export interface ChartGeometry {
  xTicks: readonly Tick[];
  yTicks: readonly Tick[];
  islands: readonly IslandGeometry[];
  speedLines: readonly StrokeGeometry[];
  surge: readonly StrokeGeometry[];
  choke: readonly StrokeGeometry[];
  rated: readonly StrokeGeometry[];
  sheetPoints: readonly PixelPoint[];
  labels: readonly ChartLabel[];
  /** Heavy lines that later labels should keep off. */
  softLines: readonly SoftLine[];
}

function isEntered(piece: MapPolyline): boolean {
  return !piece.extended;
}

function joined(pieces: readonly { points: readonly FlowAndRatio[] }[], runsOf: (p: readonly FlowAndRatio[]) => Runs) {
  // Entered and extended parts of one line meet end to end; its label may stand across the seam.
  const flat: PixelPoint[] = [];
  for (const piece of pieces) for (const run of runsOf(piece.points)) flat.push(...run);
  return flat;
}

function islandGeometry(chart: MapChart, runs: ChartRuns, labels: readonly ChartLabel[]): IslandGeometry[] {
  const values = chart.islands.map((island) => island.contour.efficiency).filter(Number.isFinite);
  const low = Math.min(...values);
  const high = Math.max(...values);
  const drawn = chart.islands.map((island, index) => {
    const label = labels.find((candidate) => candidate.key === `island:${index}`);
    const closedRuns = runs.islands[index]!;
    const gap = label && { ...label.box, width: label.box.width + 4 };
    const pieces = gap ? closedRuns.flatMap((run) => cutByBox(run, gap)) : closedRuns;
    const fillRuns = closedRuns.filter((run) => run.length > 2 && run[0] === run.at(-1));
    const share = high > low ? (island.contour.efficiency - low) / (high - low) : 1;
    return { line: linePath(pieces), fill: linePath(fillRuns, true), share: Number.isFinite(share) ? share : 0 };
  });
  // Nested contours: the widest is painted first.
  return drawn.sort((a, b) => a.share - b.share);
}

/** Geometry of everything that does not move with the engine, at these scales. Points that are not finite break their line. `alsoAvoid`: lines
 * of other layers that labels keep off. */
export function chartGeometry(
  chart: MapChart,
  scales: MapScales,
  alsoAvoid: readonly SoftLine[] = [],
  taken: readonly LabelBox[] = [],
): ChartGeometry {
  const runsOf = (points: readonly FlowAndRatio[]) => pixelRuns(points, (point) => toPixel(scales, point));
  const runs: ChartRuns = {
    islands: chart.islands.map((island) =>
      island.contour.rings.flatMap((ring) =>
        // A closed ring ends on the very point it began with; the same object marks it as closed.
        runsOf(ring.points).map((run) => (ring.closed && run.length === ring.points.length ? [...run, run[0]!] : run)),
      ),
    ),
    speedLines: chart.speedLines.map((line) => runsOf(line.points)),
    surge: joined(chart.surgeLine, runsOf),
    surgeEntered: joined(chart.surgeLine.filter(isEntered), runsOf),
    choke: joined(chart.chokeEnd, runsOf),
    chokeEntered: joined(chart.chokeEnd.filter(isEntered), runsOf),
    rated: joined(chart.ratedSpeedLine?.pieces ?? [], runsOf),
  };
  const labels = chartLabels(chart, runs, scales, alsoAvoid, taken);
  const strokesOf = (pieces: MapChart['surgeLine']): StrokeGeometry[] =>
    pieces.map((piece) => ({ d: linePath(runsOf(piece.points)), extended: piece.extended, isRated: false }));
  return {
    xTicks: acrossTicks(scales, chart.flowAxis.perKgPerS),
    yTicks: upTicks(scales, chart.flowAxis.perKgPerS),
    islands: islandGeometry(chart, runs, labels),
    speedLines: chart.speedLines.map((line, index) => ({
      d: linePath(runs.speedLines[index]!),
      extended: line.kind === 'extended',
      isRated: line.isRated,
    })),
    surge: strokesOf(chart.surgeLine),
    choke: strokesOf(chart.chokeEnd),
    rated: strokesOf(chart.ratedSpeedLine?.pieces ?? []),
    sheetPoints: runsOf(chart.sheetPoints).flat(),
    labels,
    softLines: softLinesOf({ ...runs, speedLines: [], islands: [] }),
  };
}

/**
 * When the day's air changes a little, all that changes on a map is a digit of a speed label here and there: 'new text for old', so that
 * the texts alone are set and nothing is placed or drawn anew.
 * @returns null when anything else differs, when a label needs another width, or when two lines share a label.
 */
export function speedLabelChanges(before: MapChart, after: MapChart): ReadonlyMap<string, string> | null {
  if (!isSameButSpeedLabels(before, after)) return null;
  const changes = new Map<string, string>();
  const known = new Set<string>();
  for (const [index, { label }] of before.speedLines.entries()) {
    const next = after.speedLines[index]!.label;
    if (known.has(label) || next.length !== label.length) return null;
    known.add(label);
    if (next !== label) changes.set(label, next);
  }
  return changes;
}

function isSameButSpeedLabels(a: MapChart, b: MapChart): boolean {
  const rated = a.ratedSpeedLine;
  const ratedNow = b.ratedSpeedLine;
  return (
    a.letter === b.letter &&
    a.flowAxis.title === b.flowAxis.title &&
    a.flowAxis.unit === b.flowAxis.unit &&
    a.flowAxis.perKgPerS === b.flowAxis.perKgPerS &&
    a.ratioAxis.title === b.ratioAxis.title &&
    a.extent.minFlowKgPerS === b.extent.minFlowKgPerS &&
    a.extent.maxFlowKgPerS === b.extent.maxFlowKgPerS &&
    a.extent.minPressureRatio === b.extent.minPressureRatio &&
    a.extent.maxPressureRatio === b.extent.maxPressureRatio &&
    a.speedLabelNote === b.speedLabelNote &&
    a.islandLabelNote === b.islandLabelNote &&
    a.surgeLine === b.surgeLine &&
    a.chokeEnd === b.chokeEnd &&
    (a.sheetPoints === b.sheetPoints || a.sheetPoints.length + b.sheetPoints.length === 0) &&
    (rated === ratedNow || (rated?.pieces === ratedNow?.pieces && rated?.label === ratedNow?.label)) &&
    areAlike(a.speedLines, b.speedLines, isSameLine) &&
    areAlike(a.islands, b.islands, isSameIsland)
  );
}

function areAlike<T>(a: readonly T[], b: readonly T[], isSame: (x: T, y: T) => boolean): boolean {
  return a.length === b.length && a.every((item, index) => isSame(item, b[index]!));
}

function isSameLine(a: PlotSpeedLine, b: PlotSpeedLine): boolean {
  return a.points === b.points && a.kind === b.kind && a.isRated === b.isRated;
}

function isSameIsland(a: PlotIsland, b: PlotIsland): boolean {
  return a.contour === b.contour && a.label === b.label;
}
