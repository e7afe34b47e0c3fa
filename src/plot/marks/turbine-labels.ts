import type { CandidateStyle } from '../charts/map-model.ts';
import { CHART_FONT, type SmallChart, valueText } from '../frame/axes.ts';
import { drawLabels, type Group } from '../frame/drawing.ts';
import {
  type Compass,
  type LabelRequest,
  type LabelSurroundings,
  type PlacedLabel,
  placeLabels,
  type SoftLine,
  spotsAlong,
  spotsAround,
} from '../frame/labels.ts';
import { boxesOverlap, type LabelBox, type PixelPoint } from '../frame/pixels.ts';
import { textWidth } from '../frame/text.ts';
import type { Palette } from '../palette.ts';
import { candidateLook } from './looks.ts';
import type { CurvePixels, EnginePixel, TurbineChartModel } from './turbine.ts';

/** A's numbers stand below its curve, B's above: over both the gaps to the whole exhaust need their room. */
const ORDER: Readonly<Record<CandidateStyle, readonly Compass[]>> = {
  a: ['se', 's', 'e', 'sw', 'nw', 'n'],
  b: ['nw', 'n', 'w', 'ne', 'se', 's'],
};

type StyledRequest = LabelRequest & { style: CandidateStyle };

export type StyledLabel = PlacedLabel & { style: CandidateStyle; bold: boolean };

/** A label stays on its side of its mark until another side is better by this much. */
const STAY = 4.5;

function speedRequests(style: CandidateStyle, id: string, pixels: readonly (EnginePixel | null)[]): StyledRequest[] {
  const marked = pixels.flatMap((at) => (at?.point.marked ? [at] : []));
  // The ends first: they say where the engine runs.
  return [...marked.slice(-1), ...marked.slice(0, -1)].map((at) => ({
    style,
    key: `${id}:${at.point.engineSpeedRpm}`,
    text: valueText(at.point.engineSpeedRpm, 0, ''),
    fontSize: CHART_FONT,
    bold: true,
    spots: [at.point.severity ? 14 : 10, 17].flatMap((reach, far) =>
      spotsAround(at, reach, ORDER[style], 0.3, far * 7),
    ),
  }));
}

function beside(run: readonly PixelPoint[], text: string, chart: SmallChart, liked: number, sides: readonly number[]) {
  const width = textWidth(text, CHART_FONT, true);
  return sides.flatMap((offset, i) =>
    spotsAlong(run, chart.frame, { width, offset, liked, likedWeight: 3, count: 12 }).map((spot) => ({
      ...spot,
      cost: spot.cost + i,
    })),
  );
}

function capacityRequests(
  { capacities }: TurbineChartModel,
  curves: readonly (readonly CurvePixels[])[],
  chart: SmallChart,
): StyledRequest[] {
  return capacities.flatMap(({ id, name, style, band }, index) => {
    const mine = curves[index]!;
    const top = mine.at(-1);
    const chokes = mine.find(({ chokesAt }) => chokesAt !== null)?.chokesAt ?? null;
    const of = (key: string, text: string, spots: LabelRequest['spots']): StyledRequest[] =>
      text === '' || spots.length === 0
        ? []
        : [{ style, key: `${id}:${key}`, text, fontSize: CHART_FONT, bold: true, spots }];
    const edge = (side: 'low' | 'high') =>
      band?.points.map((p) => ({ x: chart.x(p.expansionRatio), y: chart.y(p[side]) })) ?? [];
    const bandText = band?.label ?? '';
    const bandSpots = [
      ...beside(edge('low'), bandText, chart, 0.7, [-10, -22, -36]),
      ...beside(edge('high'), bandText, chart, 0.7, [10, 22, 36]),
    ];
    return [
      ...of('name', name, top === undefined ? [] : beside(top.run, name, chart, 0.75, [13, 26, -26, 40])),
      ...of('chokes', 'chokes', chokes === null ? [] : spotsAround(chokes, 13, ['s', 'n', 'se', 'ne', 'e'], 0.5)),
      ...of('band', bandText, bandSpots),
    ];
  });
}

function wholeRequests(
  { engines }: TurbineChartModel,
  pixels: readonly (readonly (EnginePixel | null)[])[],
  chart: SmallChart,
): StyledRequest[] {
  return engines.flatMap(({ id, style, letter }, index) => {
    const run = pixels[index]!.flatMap((at) =>
      at !== null && at.y - at.wholeY > 4 ? [{ x: at.x, y: at.wholeY }] : [],
    );
    const end = run.at(-1);
    if (end === undefined) return [];
    const text = `${letter} whole exhaust`;
    const spots = [
      ...beside(
        run.toSorted((p, q) => p.x - q.x),
        text,
        chart,
        0.6,
        [11, 22],
      ),
      ...[8, 18].flatMap((reach, far) => spotsAround(end, reach, ['n', 'ne', 'nw', 'e', 'w'], 0.4, 3 + far)),
    ];
    return [{ style, key: `${id}:whole`, text, fontSize: CHART_FONT, spots }];
  });
}

function boxesOf(pixels: readonly (readonly (EnginePixel | null)[])[]): LabelBox[] {
  return pixels.flat().flatMap((at) => {
    if (at === null || !at.point.marked) return [];
    const across = at.point.severity ? 17 : 9;
    return [{ x: at.x, y: at.y, width: across, height: across, angle: 0 }];
  });
}

/** What labels keep off: the curves, the whole exhaust, the stems. */
export function softLines(
  curves: readonly (readonly CurvePixels[])[],
  pixels: readonly (readonly (EnginePixel | null)[])[],
): SoftLine[] {
  return [
    ...curves.flat().map(({ run }) => ({ points: run, weight: 4 })),
    ...pixels.map((run) => ({ points: run.flatMap((at) => (at ? [{ x: at.x, y: at.wholeY }] : [])), weight: 2 })),
    ...pixels
      .flat()
      .flatMap((at) => (at?.point.marked ? [{ points: [at, { x: at.x, y: at.wholeY }], weight: 1 }] : [])),
  ].filter(({ points }) => points.length > 1);
}

/** The names of curves and where they choke: they stay put while the engine moves, unless a mark comes to stand on one. */
export function placeCapacityNames(
  model: TurbineChartModel,
  curves: readonly (readonly CurvePixels[])[],
  pixels: readonly (readonly (EnginePixel | null)[])[],
  chart: SmallChart,
): readonly StyledLabel[] {
  return placed(capacityRequests(model, curves, chart), {
    frame: chart.frame,
    taken: boxesOf(pixels),
    lines: softLines(curves, pixels),
  });
}

/** Whether a mark of the engine stands on one of the labels. */
export function isMarkedOver(
  labels: readonly PlacedLabel[],
  pixels: readonly (readonly (EnginePixel | null)[])[],
): boolean {
  return boxesOf(pixels).some((box) => labels.some((label) => boxesOverlap(box, label.box)));
}

/** Engine speeds and the name of the whole exhaust, clear of the names; each stays on its side of its mark while it can. */
export function placeEngineLabels(
  model: TurbineChartModel,
  curves: readonly (readonly CurvePixels[])[],
  pixels: readonly (readonly (EnginePixel | null)[])[],
  chart: SmallChart,
  names: readonly PlacedLabel[],
  held: ReadonlyMap<string, number>,
): readonly StyledLabel[] {
  const requests = [
    ...model.engines.flatMap(({ id, style }, index) => speedRequests(style, id, pixels[index]!)),
    ...wholeRequests(model, pixels, chart),
  ].map((request) => ({
    ...request,
    spots: request.spots.map((spot, i) => (i === held.get(request.key) ? { ...spot, cost: spot.cost - STAY } : spot)),
  }));
  return placed(requests, {
    frame: chart.frame,
    taken: [...names.map(({ box }) => box), ...boxesOf(pixels)],
    lines: softLines(curves, pixels),
  });
}

function placed(requests: readonly StyledRequest[], around: LabelSurroundings): readonly StyledLabel[] {
  const requestOf = new Map(requests.map((request) => [request.key, request]));
  return placeLabels(requests, around).map((label) => {
    const { style = 'a', bold = false } = requestOf.get(label.key) ?? {};
    return { ...label, style, bold };
  });
}

export function drawStyledLabels(group: Group, labels: readonly StyledLabel[], palette: Palette): void {
  drawLabels(group, labels, palette.paper, ({ style, bold }) => ({
    fill: candidateLook(style, palette).colour,
    weight: bold ? 600 : 400,
  }));
}
