import type { LabelBox } from './label-box.ts';
import { type LabelRequest, type PlacedLabel, placeLabels, type SoftLine } from './label-placement.ts';
import { type AlongOptions, type Compass, spotsAlong, spotsAround } from './label-spots.ts';
import type { MapChart } from './map-plot-model.ts';
import { LABEL_FONT, type MapScales } from './map-scales.ts';
import type { PixelPoint } from './pixel-point.ts';
import { textWidth } from './text-width.ts';

type Runs = PixelPoint[][];

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
