import type { FlowAndRatio, MapPolyline } from '../../compressor/types.ts';
import { type MapChart, type MapScales, type MapStage, toPixel } from '../charts/map-model.ts';
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
import { DASH, mixColour, type Palette } from '../frame/looks.ts';
import type { DrawnLabel, Mark, Shape } from '../frame/mark.ts';
import {
  cutByBox,
  LABEL_FONT,
  type LabelBox,
  linePath,
  type PixelPoint,
  pixelRuns,
  rounded,
  textWidth,
} from '../frame/pixels.ts';

type Runs = PixelPoint[][];

type ChartLabelRole = 'speed' | 'island' | 'surge' | 'choke' | 'rated';

interface ChartLabel extends PlacedLabel {
  role: ChartLabelRole;
}

/** The lines of the map in pixels, each broken where a point is missing. */
interface ChartRuns {
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
  return { key: `speed:${index}`, text: label, bold: isRated, spots };
}

/** Lines that labels keep off where there is room, the heavy ones most. */
function softLinesOf(runs: ChartRuns): SoftLine[] {
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
  return { key: along.key, text: along.text, bold: true, spots };
}

function islandRequest(index: number, text: string, runs: Runs, scales: MapScales): LabelRequest {
  const width = textWidth(text, LABEL_FONT) + 4;
  const spots = runs.flatMap((run) =>
    spotsAlong(run, scales.frame, { width, offset: 0, liked: 0.5, count: 24 }).map((spot) => ({
      ...spot,
      cost: spot.cost * 0.6,
    })),
  );
  return { key: `island:${index}`, text, spots };
}

function speedRequests(chart: MapChart, runs: ChartRuns, kind: 'entered' | 'extended'): LabelRequest[] {
  return chart.speedLines.flatMap((line, index) =>
    line.kind === kind && line.label !== ''
      ? [speedLabel(index, line.label, longest(runs.speedLines[index]!), line.isRated)]
      : [],
  );
}

/** Labels of the map's lines, most important first; `alsoAvoid` are lines of other layers, `taken` boxes of labels drawn before. */
function chartLabels(
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

interface IslandGeometry {
  line: string;
  /** Closed rings only: where an open contour would close outside the map is not known. */
  fill: string;
  /** 0 for the lowest efficiency on the map, 1 for the highest. */
  share: number;
}

interface StrokeGeometry {
  d: string;
  extended: boolean;
  isRated: boolean;
}

/** The layers that do not move with the engine, in pixels. */
interface ChartGeometry {
  islands: readonly IslandGeometry[];
  speedLines: readonly StrokeGeometry[];
  surge: readonly StrokeGeometry[];
  choke: readonly StrokeGeometry[];
  rated: readonly StrokeGeometry[];
  sheetPoints: readonly PixelPoint[];
  labels: readonly ChartLabel[];
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

function runsOfMap(chart: MapChart, runsOf: (points: readonly FlowAndRatio[]) => Runs): ChartRuns {
  return {
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
}

/** Heavy lines that labels of the other marks should keep off. */
export function heavyLines(chart: MapChart, scales: MapScales): SoftLine[] {
  const bare = { ...chart, islands: [], speedLines: [] };
  return softLinesOf(runsOfMap(bare, (points) => pixelRuns(points, (point) => toPixel(scales, point))));
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
  const runs = runsOfMap(chart, runsOf);
  const sheetPoints = runsOf(chart.sheetPoints).flat();
  const crosses = sheetPoints.map(({ x, y }) => ({
    points: [
      { x: x - 3, y },
      { x: x + 3, y },
    ],
    weight: 3,
  }));
  const labels = chartLabels(chart, runs, scales, [...alsoAvoid, ...crosses], taken);
  const piecesOf = (pieces: MapChart['surgeLine']): StrokeGeometry[] =>
    pieces.map((piece) => ({ d: linePath(runsOf(piece.points)), extended: piece.extended, isRated: false }));
  return {
    islands: islandGeometry(chart, runs, labels),
    speedLines: chart.speedLines.map((line, index) => ({
      d: linePath(runs.speedLines[index]!),
      extended: line.kind === 'extended',
      isRated: line.isRated,
    })),
    surge: piecesOf(chart.surgeLine),
    choke: piecesOf(chart.chokeEnd),
    rated: piecesOf(chart.ratedSpeedLine?.pieces ?? []),
    sheetPoints,
    labels,
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

function areAlike<T>(a: readonly T[], b: readonly T[], parts: readonly (keyof T)[]): boolean {
  return a.length === b.length && a.every((item, i) => parts.every((part) => item[part] === b[i]![part]));
}

function isSameButSpeedLabels(a: MapChart, b: MapChart): boolean {
  const parts = ['letter', 'speedLabelNote', 'islandLabelNote', 'surgeLine', 'chokeEnd'] as const;
  return (
    areAlike([a], [b], parts) &&
    areAlike([a.flowAxis], [b.flowAxis], ['title', 'unit', 'perKgPerS']) &&
    areAlike([a.ratioAxis], [b.ratioAxis], ['title']) &&
    areAlike([a.extent], [b.extent], ['minFlowKgPerS', 'maxFlowKgPerS', 'minPressureRatio', 'maxPressureRatio']) &&
    (a.sheetPoints === b.sheetPoints || a.sheetPoints.length + b.sheetPoints.length === 0) &&
    (a.ratedSpeedLine === b.ratedSpeedLine ||
      (a.ratedSpeedLine !== null &&
        b.ratedSpeedLine !== null &&
        areAlike([a.ratedSpeedLine], [b.ratedSpeedLine], ['pieces', 'label']))) &&
    areAlike(a.speedLines, b.speedLines, ['points', 'kind', 'isRated']) &&
    areAlike(a.islands, b.islands, ['contour', 'label'])
  );
}

function strokesOf(strokes: readonly StrokeGeometry[], look: (stroke: StrokeGeometry) => Omit<Shape, 'd'>): Shape[] {
  return strokes.map((stroke) => ({ d: stroke.d, dash: stroke.extended ? DASH.extended : null, ...look(stroke) }));
}

function labelLook({ role }: ChartLabel, palette: Palette): Pick<DrawnLabel, 'fill' | 'weight'> {
  if (role === 'rated') return { fill: palette.rated, weight: 600 };
  if (role === 'surge') return { fill: palette.surge, weight: 600 };
  if (role === 'island') return { fill: palette.islandLine[1], weight: 600 };
  return { fill: palette.inkSoft, weight: 400 };
}

function crossAt(at: PixelPoint): string {
  const [x, y] = [rounded(at.x), rounded(at.y)];
  return `M${rounded(x - 3)},${y}H${rounded(x + 3)}M${x},${rounded(y - 3)}V${rounded(y + 3)}`;
}

/** The map itself: islands, speed lines, surge line, choke end, rated speed, points as entered. */
export const mapSurface: Mark<{ chart: MapChart }, MapStage> = {
  claims: ({ chart }, scales) => ({ lines: heavyLines(chart, scales) }),
  render({ chart }, scales, { palette, over }) {
    const geometry = chartGeometry(chart, scales, over.lines, over.room);
    const ramp = ([low, high]: readonly [string, string], share: number) => mixColour(low, high, share);
    return {
      shapes: {
        'surface/island-fills': geometry.islands.map(({ fill, share }) => ({
          d: fill,
          fill: ramp(palette.islandFill, share),
        })),
        'surface/island-lines': geometry.islands.map(({ line, share }) => ({
          d: line,
          stroke: ramp(palette.islandLine, share),
          width: rounded(0.8 + 0.5 * share),
        })),
        'surface/speed-lines': strokesOf(geometry.speedLines, ({ isRated }) => ({
          stroke: palette.speedLine,
          width: isRated ? 1.8 : 1.2,
        })),
        'surface/surge': strokesOf(geometry.surge, ({ extended }) => ({
          stroke: palette.surge,
          width: extended ? 1.6 : 2.6,
        })),
        'surface/choke': strokesOf(geometry.choke, ({ extended }) => ({
          stroke: palette.inkSoft,
          width: 1,
          dash: extended ? DASH.extended : DASH.choke,
        })),
        'surface/rated': strokesOf(geometry.rated, () => ({ stroke: palette.rated, width: 1.8, dash: DASH.rated })),
        'surface/sheet-points': geometry.sheetPoints.map((at) => ({ d: crossAt(at), stroke: palette.ink, width: 1 })),
      },
      labels: { 'chart-labels': geometry.labels.map((label) => ({ ...label, ...labelLook(label, palette) })) },
    };
  },
  patch(before, after, layer) {
    const changes = speedLabelChanges(before.chart, after.chart);
    if (changes === null) return false;
    layer('chart-labels')
      .selectAll<SVGTextElement, unknown>('text')
      .filter((_, i, nodes) => changes.has(nodes[i]!.textContent ?? ''))
      .text((_, i, nodes) => changes.get(nodes[i]!.textContent ?? '') ?? '');
    return true;
  },
};

/** Thin lines of a candidate's map stand back behind its operating line. */
const PALE = 0.62;

/**
 * The second candidate's map over the first: every line in its own dash and colour, without islands; two families of islands in one
 * drawing could not be read.
 */
export const secondMap: Mark<{ second: MapChart | undefined }, MapStage> = {
  render({ second }, scales, { palette, under }) {
    const geometry = second && chartGeometry({ ...second, islands: [] }, scales, under.lines, under.room);
    const dashed = (strokes: readonly StrokeGeometry[] = [], stroke: string, width: number, dash: string) =>
      strokesOf(strokes, ({ extended }) => ({ stroke, width, dash: extended ? DASH.extended : dash }));
    const thin = mixColour(palette.paper, palette.candidateB, PALE);
    return {
      shapes: {
        'second-surface/speed-lines': dashed(geometry?.speedLines, thin, 1.2, DASH.candidateB),
        'second-surface/surge': dashed(geometry?.surge, palette.candidateB, 2.6, DASH.candidateB),
        'second-surface/choke': dashed(geometry?.choke, palette.candidateB, 1, DASH.choke),
        'second-surface/rated': dashed(geometry?.rated, palette.rated, 1.8, DASH.rated),
      },
      labels: {
        'second-labels': (geometry?.labels ?? []).map((label) => ({
          ...label,
          fill: label.role === 'rated' ? palette.rated : palette.candidateB,
          weight: label.role === 'rated' || label.role === 'surge' ? 600 : 400,
        })),
      },
    };
  },
};
