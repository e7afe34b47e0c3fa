import { memory } from '../../numerics/index.ts';
import { formatNumber } from '../../units/index.ts';
import {
  type MapScales,
  type MapStage,
  type PlotOperatingLine,
  type PlotOperatingPoint,
  toPixel,
} from '../charts/map-model.ts';
import {
  type Compass,
  doubtCost,
  type LabelRequest,
  leaderTo,
  neighboursOf,
  type PlacedLabel,
  placeLabels,
  type SoftLine,
  spotsAround,
} from '../frame/labels.ts';
import {
  type CandidateStyle,
  CREEP_BEAD,
  CREEP_LINE,
  candidateLook,
  candidateMarker,
  DASH,
  HOLLOW,
  HOLLOW_CORE,
  mixColour,
  type Palette,
  severityOutline,
} from '../frame/looks.ts';
import { type DrawnLabel, inked, type Mark, type Shape } from '../frame/mark.ts';
import { boxAbout, type LabelBox, linePath, type PixelFrame, type PixelPoint, rounded } from '../frame/pixels.ts';
import {
  footOf,
  NAMED_PARTS,
  type OperatingStrokes,
  operatingStrokes,
  type PlacedPoint,
  partRequests,
} from './operating-parts.ts';

interface MarkerGeometry extends PixelPoint {
  engineSpeedRpm: number;
  severity: 'stop' | 'caution' | null;
}

interface OperatingGeometry extends OperatingStrokes {
  id: string;
  style: CandidateStyle;
  markers: readonly MarkerGeometry[];
  /** Demands without an operating point. */
  unmet: readonly PixelPoint[];
  /** Marked points outside the axes: triangles on the frame's edge that point to them. */
  beyond: string;
  labels: readonly PlacedLabel[];
  /** From a label that had to stand off to its marker. */
  leaders: string;
  isFaint: boolean;
  /** Bars of the spread. */
  spread: string;
}

const ABOVE: readonly Compass[] = ['n', 'nw', 'w', 'se', 'e', 's', 'ne', 'sw'];
const BELOW: readonly Compass[] = ['s', 'se', 'e', 'nw', 'w', 'n', 'sw', 'ne'];
/** A stands above and left of its line, B below and right, so that two close lines share the room. */
const ORDER: Readonly<Record<CandidateStyle, readonly Compass[]>> = { a: ABOVE, b: BELOW, c: ABOVE, d: BELOW };

const known = memory<PlotOperatingLine, readonly (PlacedPoint | null)[]>();

/** Asked for by each part of one drawing. */
function placeable(line: PlotOperatingLine, scales: MapScales): readonly (PlacedPoint | null)[] {
  return known(line, [scales], () =>
    line.points.map((point) => {
      if (!point) return null;
      const pixel = toPixel(scales, point);
      return Number.isFinite(pixel.x) && Number.isFinite(pixel.y) ? { point, pixel } : null;
    }),
  );
}

function isWithin(pixel: PixelPoint, frame: PixelFrame): boolean {
  return pixel.x >= frame.left && pixel.x <= frame.right && pixel.y >= frame.top && pixel.y <= frame.bottom;
}

/** Half the width of a marker, with its ring if it has one. */
function reachOf(point: PlotOperatingPoint): number {
  return point.severity ? 9 : 4.5;
}

/** A label stays on its side of the marker until another side is better by this much: labels must not hop while an input moves. */
const STAY = 4.5;

function labelKey(line: PlotOperatingLine, point: PlotOperatingPoint): string {
  return `${line.id}:${point.engineSpeedRpm}`;
}

function requestOf(
  line: PlotOperatingLine,
  { point, pixel }: PlacedPoint,
  neighbours: readonly PixelPoint[],
  held: number | undefined,
  letter: string,
): LabelRequest {
  const reach = reachOf(point);
  const text = `${letter}${formatNumber(point.engineSpeedRpm, 0)}`;
  return {
    key: labelKey(line, point),
    text,
    bold: true,
    spots: [
      ...spotsAround(pixel, reach + 6, ORDER[line.style], 0.3),
      ...spotsAround(pixel, reach + 18, ORDER[line.style], 0.3, 4),
      ...spotsAround(pixel, reach + 30, ORDER[line.style], 0.3, 8),
    ].map((spot, index) => {
      const stay = index === held ? STAY : 0;
      const leader = leaderTo(spot, pixel);
      const cost = spot.cost - stay + doubtCost(spot, text, pixel, neighbours, leader !== null);
      return leader === null ? { ...spot, cost } : { ...spot, cost, leader };
    }),
  };
}

/** Every point that stands at least a cross's width from the one kept before. */
function thinned(points: readonly PixelPoint[]): PixelPoint[] {
  const kept: PixelPoint[] = [];
  for (const point of points) {
    const last = kept.at(-1);
    if (!last || Math.hypot(point.x - last.x, point.y - last.y) >= 10) kept.push(point);
  }
  return kept;
}

/** Triangles on the edge of the frame, each pointing to a point outside it; near ones are drawn once. */
function beyondPath(points: readonly PlacedPoint[], frame: PixelFrame): string {
  let d = '';
  const drawn: PixelPoint[] = [];
  for (const { pixel } of points) {
    if (isWithin(pixel, frame)) continue;
    const x = Math.min(frame.right - 9, Math.max(frame.left + 9, pixel.x));
    const y = Math.min(frame.bottom - 9, Math.max(frame.top + 9, pixel.y));
    if (drawn.some((other) => Math.hypot(other.x - x, other.y - y) < 14)) continue;
    drawn.push({ x, y });
    const length = Math.hypot(pixel.x - x, pixel.y - y) || 1;
    const u = (pixel.x - x) / length;
    const v = (pixel.y - y) / length;
    const tip = { x: x + 7 * u, y: y + 7 * v };
    const corners = [-1, 1].map((side) => ({ x: x - 4 * u - side * 5 * v, y: y - 4 * v + side * 5 * u }));
    d += linePath([[tip, ...corners]], true);
  }
  return d;
}

/** A faint line has no marks: its name stands at its end. */
function nameRequest(line: PlotOperatingLine, points: readonly PlacedPoint[], frame: PixelFrame): LabelRequest[] {
  const end = points.findLast(({ point, pixel }) => !point.unmet && isWithin(pixel, frame));
  if (!line.faint || end === undefined) return [];
  const spots = [6, 16, 28].flatMap((reach, far) =>
    spotsAround(end.pixel, reach, ['e', 'ne', 'se', 'n', 's'], 0.3, far * 3),
  );
  return [{ key: `${line.id}:name`, text: line.name, spots }];
}

/** A bar along each axis with ticks at its ends. */
function spreadPath(line: PlotOperatingLine, scales: MapScales): string {
  let d = '';
  for (const { correctedMassFlowKgPerS: flow, pressureRatio: ratio } of line.spread ?? []) {
    const at = (x: number, y: number) => toPixel(scales, { correctedMassFlowKgPerS: x, pressureRatio: y });
    const [left, right] = [at(flow.low, ratio.middle), at(flow.high, ratio.middle)];
    const [bottom, top] = [at(flow.middle, ratio.low), at(flow.middle, ratio.high)];
    if (![left.x, right.x, left.y, bottom.y, top.y, bottom.x].every(Number.isFinite)) continue;
    const tick = (p: PixelPoint, x: number, y: number) => [
      { x: p.x - x, y: p.y - y },
      { x: p.x + x, y: p.y + y },
    ];
    d += linePath([
      [left, right],
      [bottom, top],
      tick(left, 0, 3),
      tick(right, 0, 3),
      tick(bottom, 3, 0),
      tick(top, 3, 0),
    ]);
  }
  return d;
}

interface OperatingSurroundings {
  /** Boxes of labels drawn before: never overlapped. */
  taken?: readonly LabelBox[];
  /** Lines that labels keep off where there is room. */
  softLines?: readonly SoftLine[];
  /** Nothing is zoomed: points outside the axes are pointed to. */
  isWhole?: boolean;
  /** Spots that the labels had in the drawing before, by label key. */
  held?: ReadonlyMap<string, number>;
}

/** The operating lines as lines that labels keep off. */
function operatingSoftLines(lines: readonly PlotOperatingLine[], scales: MapScales): SoftLine[] {
  return lines.map((line) => ({
    points: placeable(line, scales)
      .filter((p): p is PlacedPoint => p !== null && !p.point.unmet)
      .map((p) => p.pixel),
    weight: 5,
  }));
}

/** Room for the labels of a line's two ends, which say where it runs: above the first, right of the last. The map's labels leave it free. */
function endLabelRoom(lines: readonly PlotOperatingLine[], scales: MapScales): LabelBox[] {
  return lines.flatMap((line) => {
    const marked = placeable(line, scales).filter((p) => p?.point.marked && !p.point.unmet);
    const [first, last] = line.faint ? [] : [marked[0], marked.at(-1)];
    const room = { width: 34, height: 14, angle: 0 };
    return [
      ...(first ? [{ x: first.pixel.x, y: first.pixel.y - 1.5 * (reachOf(first.point) + 6), ...room }] : []),
      ...(last ? [{ x: last.pixel.x + reachOf(last.point) + 23, y: last.pixel.y, ...room }] : []),
    ];
  });
}

/**
 * Geometry of the operating lines. Labels keep clear of each other, of every marker and of the labels in `taken`; the soft lines
 * and the operating lines themselves are kept off where there is room.
 */
export function operatingGeometry(
  lines: readonly PlotOperatingLine[],
  scales: MapScales,
  { taken = [], softLines = [], isWhole = true, held }: OperatingSurroundings = {},
): OperatingGeometry[] {
  const all = lines.map((line) => ({ line, points: placeable(line, scales) }));
  const shown = all.map(({ points }) => points.filter((p): p is PlacedPoint => p !== null));
  const marked = shown.map((points) =>
    points.filter(({ point, pixel }) => point.marked && !point.unmet && isWithin(pixel, scales.frame)),
  );
  const markerBoxes = marked.flat().map(({ point, pixel }) => {
    return boxAbout(pixel, 2 * reachOf(point));
  });
  const markers = marked.map((points) => points.map(({ pixel }) => pixel));
  const requests: LabelRequest[] = [];
  // In turn from each line, so that neither candidate takes all the room; the ends first, they say where the line runs.
  const inOrder = marked.map((points) => [...points.slice(-1), ...points.slice(0, -1)]);
  for (let i = 0; i < Math.max(0, ...marked.map((points) => points.length)); i++) {
    all.forEach(({ line }, index) => {
      const point = inOrder[index]![i];
      if (!point) return;
      const neighbours = neighboursOf(point.pixel, markers[index]!);
      // The end of a line says whose it is.
      const letter = i === 0 && line.letter !== undefined ? `${line.letter} ` : '';
      requests.push(requestOf(line, point, neighbours, held?.get(labelKey(line, point.point)), letter));
    });
  }
  all.forEach(({ line }, index) => {
    requests.push(...nameRequest(line, shown[index] ?? [], scales.frame));
  });
  const strokes = all.map(({ points }, index) =>
    operatingStrokes(
      points,
      marked[index]!.map(({ point, pixel }) => ({ ...pixel, reach: reachOf(point) })),
    ),
  );
  const isShared = lines.filter((line) => !line.faint).length > 1;
  all.forEach(({ line }, index) => {
    requests.push(...partRequests(line, strokes[index]!, scales.frame, isShared, held));
  });
  const labels = placeLabels(requests, {
    frame: scales.frame,
    taken: [...taken, ...markerBoxes],
    lines: [...operatingSoftLines(lines, scales), ...softLines],
  });
  return all.map(({ line }, index) => {
    const mine = labels.filter((label) => label.key.slice(0, label.key.lastIndexOf(':')) === line.id);
    const markerOf = new Map(marked[index]!.map((p) => [labelKey(line, p.point), p.pixel]));
    for (const part of NAMED_PARTS) {
      const label = mine.find(({ key }) => key === `${line.id}:${part}`);
      const foot = label && footOf(label, strokes[index]!.runs[part]);
      if (label && foot) markerOf.set(label.key, foot);
    }
    return {
      id: line.id,
      style: line.style,
      ...strokes[index]!,
      markers: marked[index]!.map(({ point, pixel }) => ({
        ...pixel,
        engineSpeedRpm: point.engineSpeedRpm,
        severity: point.severity ?? null,
      })),
      unmet: thinned(shown[index]!.filter((p) => p.point.unmet && isWithin(p.pixel, scales.frame)).map((p) => p.pixel)),
      beyond: isWhole && !line.faint ? beyondPath(shown[index]!, scales.frame) : '',
      labels: mine,
      leaders: mine
        .map((label) => {
          const marker = markerOf.get(label.key);
          const leader = marker === undefined ? null : leaderTo(label, marker);
          return leader === null ? '' : linePath([leader]);
        })
        .join(''),
      isFaint: line.faint === true,
      spread: spreadPath(line, scales),
    };
  });
}

function crossAt(at: PixelPoint, arm: number): string {
  const [left, right] = [rounded(at.x - arm), rounded(at.x + arm)];
  const [top, bottom] = [rounded(at.y - arm), rounded(at.y + arm)];
  return `M${left},${top}L${right},${bottom}M${left},${bottom}L${right},${top}`;
}

function shapesOf(line: OperatingGeometry, palette: Palette): Shape[] {
  const { colour, dash } = candidateLook(line.style, palette);
  const { paper } = palette;
  const stroke = (d: string, shade: string, width: number, dashes: string | null = null, fill = 'none'): Shape => ({
    d,
    stroke: shade,
    width,
    dash: dashes,
    fill,
  });
  if (line.isFaint) {
    // Thin and pale, but not dotted: dots say that the map is extended.
    const pale = mixColour(paper, colour, 0.62);
    return [stroke(line.line + line.creep, pale, 1.2, dash), stroke(line.extendedLine, pale, 1.2, DASH.extended)];
  }
  const markers = (of: readonly MarkerGeometry[]) => of.map((at) => candidateMarker(line.style, at)).join('');
  return [
    stroke(line.line, colour, 2.4, dash),
    stroke(line.extendedLine, colour, 2, DASH.extended),
    // Two thin lines in place of one: wide strokes with paper down their middle, so that the dash of the candidate stays.
    stroke(line.hollow, colour, HOLLOW, dash),
    stroke(line.hollowExtended, colour, HOLLOW, DASH.extended),
    stroke(line.hollow + line.hollowExtended, paper, HOLLOW_CORE),
    // Beads on a thin line: what is between them shows whose it is.
    stroke(line.creep, colour, CREEP_LINE, dash),
    stroke(line.creep, colour, CREEP_BEAD, DASH.creep),
    stroke(line.ticks, colour, 1.3),
    stroke(line.leaders, colour, 0.8),
    stroke(markers(line.markers), colour, 1.8, null, paper),
    stroke(line.unmet.map((at) => crossAt(at, 4)).join(''), colour, 1.6),
    stroke(line.spread, paper, 3),
    stroke(line.spread, colour, 1.2),
    stroke(line.beyond, paper, 1, null, colour),
    ...(['stop', 'caution'] as const).flatMap((severity) => {
      const hit = line.markers.filter((at) => at.severity === severity);
      const rings = stroke(hit.map((at) => severityOutline(severity, at)).join(''), palette[severity], 1.6);
      // A limit crossed fills the marker as well: readable without colour.
      return severity === 'stop' ? [rings, stroke(markers(hit), palette.stop, 1.8, null, palette.stop)] : [rings];
    }),
  ];
}

/** Paper around the lines, under all of them: where two lines run together the solid one must show between the dashes of the other. */
function casing(line: OperatingGeometry, { paper }: Palette): Shape[] {
  if (line.isFaint) return [];
  return [
    { d: line.line, stroke: paper, width: 5, fill: 'none' },
    { d: line.creep, stroke: paper, width: CREEP_BEAD + 2.5, fill: 'none' },
    { d: line.hollow, stroke: paper, width: HOLLOW + 2.5, fill: 'none' },
  ];
}

/** The operating lines with their marks and labels: what follows every keystroke. */
export const operatingLines: Mark<{ operatingLines: readonly PlotOperatingLine[] }, MapStage> = {
  claims: ({ operatingLines: all }, scales) => ({
    lines: operatingSoftLines(all, scales),
    room: endLabelRoom(all, scales),
  }),
  render({ operatingLines: all }, scales, { palette, taken, under, held }) {
    const lines = operatingGeometry(all, scales, { taken, softLines: under.lines, held, isWhole: scales.isWhole });
    const labels = lines.flatMap((line) =>
      line.labels.map(
        (label): DrawnLabel => ({
          ...label,
          fill: candidateLook(line.style, palette).colour,
          weight: line.isFaint ? 400 : 600,
        }),
      ),
    );
    const shapes = [
      ...lines.flatMap((line) => casing(line, palette)),
      ...lines.flatMap((line) => shapesOf(line, palette)),
    ];
    return { shapes: { 'operating-lines': inked(shapes) }, labels: { 'operating-labels': labels } };
  },
};
