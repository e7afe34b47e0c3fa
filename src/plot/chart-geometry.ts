import type { FlowAndRatio, MapPolyline } from '../compressor/types.ts';

import { type ChartLabel, type ChartRuns, chartLabels, softLinesOf } from './chart-labels.ts';
import type { LabelBox } from './label-box.ts';
import type { SoftLine } from './label-placement.ts';
import type { MapChart } from './map-plot-model.ts';
import { acrossTicks, type MapScales, type Tick, toPixel, upTicks } from './map-scales.ts';
import { cutByBox, linePath, pixelRuns } from './pixel-path.ts';
import type { PixelPoint } from './pixel-point.ts';

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

type Runs = PixelPoint[][];

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
