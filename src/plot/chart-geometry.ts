import type { FlowAndRatio } from '../compressor/types.ts';
import { type LabelRequest, type PlacedLabel, placeLabels, type SoftLine } from './label-placement.ts';
import { type Compass, spotsAlong, spotsAround } from './label-spots.ts';

import type { MapChart } from './map-plot-model.ts';
import { flowTicks, LABEL_FONT, type MapScales, ratioTicks, type Tick, toPixel } from './map-scales.ts';
import { cutByBox, linePath, pixelRuns } from './pixel-path.ts';
import type { PixelPoint } from './pixel-point.ts';
import { textWidth } from './text-width.ts';

export type ChartLabelRole = 'speed' | 'island' | 'surge' | 'choke' | 'rated';

export interface ChartLabel extends PlacedLabel {
  role: ChartLabelRole;
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
  choke: string;
  rated: readonly StrokeGeometry[];
  sheetPoints: readonly PixelPoint[];
  labels: readonly ChartLabel[];
  /** Heavy lines that later labels should keep off. */
  softLines: readonly SoftLine[];
}

type Runs = PixelPoint[][];

const SPEED_ORDER: readonly Compass[] = ['e', 'se', 's', 'ne'];
const SURGE_ORDER: readonly Compass[] = ['w', 'nw', 'sw'];

function longest(runs: Runs): PixelPoint[] {
  return runs.reduce((best, run) => (run.length > best.length ? run : best), [] as PixelPoint[]);
}

function joined(pieces: readonly { points: readonly FlowAndRatio[] }[], runsOf: (p: readonly FlowAndRatio[]) => Runs) {
  // Entered and extended parts of one line meet end to end; its label may stand across the seam.
  const flat: PixelPoint[] = [];
  for (const piece of pieces) for (const run of runsOf(piece.points)) flat.push(...run);
  return flat;
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

interface ChartRuns {
  islands: Runs[];
  speedLines: Runs[];
  surge: PixelPoint[];
  choke: PixelPoint[];
  rated: PixelPoint[];
}

function softLinesOf(runs: ChartRuns): SoftLine[] {
  return [
    { points: runs.surge, weight: 6 },
    { points: runs.rated, weight: 4 },
    { points: runs.choke, weight: 2 },
    ...runs.speedLines.flat().map((points) => ({ points, weight: 1.5 })),
    ...runs.islands.flat().map((points) => ({ points, weight: 0.8 })),
  ].filter((line) => line.points.length > 1);
}

function alongRequest(key: string, text: string, run: PixelPoint[], scales: MapScales, offset: number, liked: number) {
  const width = textWidth(text, LABEL_FONT);
  const spots = [offset, -offset].flatMap((side, index) =>
    spotsAlong(run, scales.frame, { width, offset: side, liked }).map((spot) => ({
      ...spot,
      cost: spot.cost + index * 3,
    })),
  );
  return { key, text, fontSize: LABEL_FONT, spots };
}

function chartLabels(chart: MapChart, runs: ChartRuns, scales: MapScales): ChartLabel[] {
  const requests: LabelRequest[] = [];
  if (chart.ratedSpeedLine) {
    requests.push(alongRequest('rated', chart.ratedSpeedLine.label, runs.rated, scales, 10, 0.25));
  }
  requests.push(alongRequest('surge', 'surge line', runs.surge, scales, 10, 0.6));
  chart.speedLines.forEach((line, index) => {
    if (line.label !== '') {
      requests.push(speedLabel(index, line.label, longest(runs.speedLines[index]!), line.isRated));
    }
  });
  requests.push(alongRequest('choke', 'choke end', runs.choke, scales, -10, 0.5));
  chart.islands.forEach((island, index) => {
    const width = textWidth(island.label, LABEL_FONT) + 4;
    const spots = runs.islands[index]!.flatMap((run) =>
      spotsAlong(run, scales.frame, { width, offset: 0, liked: 0.5, count: 32 }).map((spot) => ({
        ...spot,
        cost: spot.cost * 0.6,
      })),
    );
    requests.push({ key: `island:${index}`, text: island.label, fontSize: LABEL_FONT, spots });
  });
  const placed = placeLabels(requests, { frame: scales.frame, taken: [], lines: softLinesOf(runs) });
  return placed.map((label) => ({ ...label, role: label.key.split(':')[0] as ChartLabelRole }));
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

/** Geometry of everything that does not move with the engine, at these scales. Points that are not finite break their line. */
export function chartGeometry(chart: MapChart, scales: MapScales): ChartGeometry {
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
    choke: joined(chart.chokeEnd, runsOf),
    rated: joined(chart.ratedSpeedLine?.pieces ?? [], runsOf),
  };
  const labels = chartLabels(chart, runs, scales);
  const strokesOf = (pieces: MapChart['surgeLine']): StrokeGeometry[] =>
    pieces.map((piece) => ({ d: linePath(runsOf(piece.points)), extended: piece.extended, isRated: false }));
  return {
    xTicks: flowTicks(scales, chart.flowAxis.perKgPerS),
    yTicks: ratioTicks(scales),
    islands: islandGeometry(chart, runs, labels),
    speedLines: chart.speedLines.map((line, index) => ({
      d: linePath(runs.speedLines[index]!),
      extended: line.kind === 'extended',
      isRated: line.isRated,
    })),
    surge: strokesOf(chart.surgeLine),
    choke: chart.chokeEnd.map((piece) => linePath(runsOf(piece.points))).join(''),
    rated: strokesOf(chart.ratedSpeedLine?.pieces ?? []),
    sheetPoints: runsOf(chart.sheetPoints).flat(),
    labels,
    softLines: softLinesOf({ ...runs, speedLines: [], islands: [] }),
  };
}
