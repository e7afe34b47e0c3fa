import {
  boxesOverlap,
  cornersOf,
  grownBox,
  LABEL_FONT,
  type LabelBox,
  lengthOf,
  nearestDistance,
  type PixelFrame,
  type PixelPoint,
  reachOf,
  segmentInBox,
  textWidth,
} from './pixels.ts';

type LabelAnchor = 'start' | 'middle' | 'end';

/** One place where a label could stand: its vertical middle at y, its start, middle or end at x; angle in degrees about (x, y). */
interface LabelSpot extends PixelPoint {
  anchor: LabelAnchor;
  angle: number;
  /** 0 is liked best. */
  cost: number;
  /** The line that will be drawn from what is labelled to here: it crosses no other label and no mark. */
  leader?: readonly [PixelPoint, PixelPoint];
}

export interface LabelRequest {
  key: string;
  text: string;
  bold?: boolean;
  spots: readonly LabelSpot[];
}

export interface PlacedLabel {
  key: string;
  text: string;
  x: number;
  y: number;
  anchor: LabelAnchor;
  angle: number;
  box: LabelBox;
  /** Which of the request's spots it got. */
  spot: number;
}

/** A line that labels would rather not stand on; `weight` is added to a spot's cost when they meet. */
export interface SoftLine {
  points: readonly PixelPoint[];
  weight: number;
}

interface LabelSurroundings {
  /** Labels stay wholly inside. */
  frame: PixelFrame;
  /** Never overlapped. */
  taken: readonly LabelBox[];
  lines: readonly SoftLine[];
}

/** Later labels keep off the leaders of earlier ones where there is room. */
const LEADER_WEIGHT = 5;

/** Clear paper between two labels, pixels. */
const GAP = 3;

/** The box that a text at a spot covers. */
function boxAt(spot: LabelSpot, text: string, bold = false): LabelBox {
  const width = textWidth(text, LABEL_FONT, bold);
  const shift = spot.anchor === 'start' ? width / 2 : spot.anchor === 'end' ? -width / 2 : 0;
  const turn = (spot.angle * Math.PI) / 180;
  return {
    x: spot.x + shift * Math.cos(turn),
    y: spot.y + shift * Math.sin(turn),
    width,
    height: LABEL_FONT * 1.15,
    angle: spot.angle,
  };
}

function isInside(box: LabelBox, frame: PixelFrame): boolean {
  if (box.angle === 0) {
    const { x, y, width, height } = box;
    const isWithin = x - width / 2 >= frame.left && x + width / 2 <= frame.right;
    return isWithin && y - height / 2 >= frame.top && y + height / 2 <= frame.bottom;
  }
  return cornersOf(box).every(
    (corner) => corner.x >= frame.left && corner.x <= frame.right && corner.y >= frame.top && corner.y <= frame.bottom,
  );
}

interface MeasuredLine extends SoftLine {
  frame: PixelFrame;
}

function measured(line: SoftLine): MeasuredLine {
  let left = Infinity;
  let right = -Infinity;
  let top = Infinity;
  let bottom = -Infinity;
  for (const p of line.points) {
    left = Math.min(left, p.x);
    right = Math.max(right, p.x);
    top = Math.min(top, p.y);
    bottom = Math.max(bottom, p.y);
  }
  return { ...line, frame: { left, right, top, bottom } };
}

function crossingCost(box: LabelBox, lines: readonly MeasuredLine[], budget: number): number {
  let cost = 0;
  const reach = reachOf(box);
  for (const { points, weight, frame } of lines) {
    if (frame.left > box.x + reach || frame.right < box.x - reach) continue;
    if (frame.top > box.y + reach || frame.bottom < box.y - reach) continue;
    for (let i = 0; i + 1 < points.length; i++) {
      if (segmentInBox(box, points[i]!, points[i + 1]!)) {
        cost += weight;
        break;
      }
    }
    if (cost >= budget) return cost;
  }
  return cost;
}

/**
 * Gives each label, in the order asked, its cheapest spot that is inside the frame and clear of every label before it. A label that
 * has no such spot is left out (the same value can be read at the pointer): labels never overlap.
 */
export function placeLabels(requests: readonly LabelRequest[], around: LabelSurroundings): PlacedLabel[] {
  const taken = [...around.taken];
  const lines = around.lines.map(measured);
  const isCrossed = ({ leader }: LabelSpot) =>
    leader !== undefined && taken.some((other) => segmentInBox(other, leader[0], leader[1]) !== null);
  const placed: PlacedLabel[] = [];
  for (const request of requests) {
    let best: PlacedLabel | null = null;
    let bestCost = Infinity;
    // Cheapest first: once a found spot costs less than the next one's own cost, nothing better can follow.
    for (const spot of [...request.spots].sort((a, b) => a.cost - b.cost)) {
      if (spot.cost >= bestCost) break;
      const box = boxAt(spot, request.text, request.bold);
      if (!isInside(box, around.frame)) continue;
      const kept = grownBox(box, GAP);
      if (taken.some((other) => boxesOverlap(kept, other)) || isCrossed(spot)) continue;
      const cost = spot.cost + crossingCost(box, lines, bestCost - spot.cost);
      if (cost >= bestCost) continue;
      bestCost = cost;
      best = {
        key: request.key,
        text: request.text,
        x: spot.x,
        y: spot.y,
        anchor: spot.anchor,
        angle: spot.angle,
        box,
        spot: request.spots.indexOf(spot),
      };
    }
    if (best) {
      placed.push(best);
      taken.push(best.box);
      const leader = request.spots[best.spot]?.leader;
      if (leader !== undefined) lines.push(measured({ points: leader, weight: LEADER_WEIGHT }));
    }
  }
  return placed;
}

function isVisible(point: PixelPoint, frame: PixelFrame): boolean {
  return point.x >= frame.left && point.x <= frame.right && point.y >= frame.top && point.y <= frame.bottom;
}

/** The angle of a line read left to right, -90..90 degrees. */
function readableAngle(from: PixelPoint, to: PixelPoint): number {
  const angle = (Math.atan2(to.y - from.y, to.x - from.x) * 180) / Math.PI;
  return angle > 90 ? angle - 180 : angle <= -90 ? angle + 180 : angle;
}

export interface AlongOptions {
  /** Width of the text, pixels. */
  width: number;
  /** Distance of the text's middle from the line: > 0 above it (left of a vertical line), < 0 below, 0 on it. */
  offset: number;
  /** Share of the visible run where the label is liked best. */
  liked: number;
  /** Cost of standing the whole run's length away from there; 2 when left out. */
  likedWeight?: number;
  /** How many places are tried. */
  count?: number;
}

/**
 * Spots along a run of pixels, turned with it. The chord over the text's width gives the angle; the more the line bends away from
 * the chord, and the steeper it is, the dearer the spot.
 */
export function spotsAlong(run: readonly PixelPoint[], frame: PixelFrame, options: AlongOptions): LabelSpot[] {
  const lengths = [0];
  for (let i = 1; i < run.length; i++) {
    lengths.push(lengths[i - 1]! + Math.hypot(run[i]!.x - run[i - 1]!.x, run[i]!.y - run[i - 1]!.y));
  }
  const total = lengths.at(-1) ?? 0;
  if (run.length < 2 || total < options.width * 0.6) return [];
  const visible = run.map((point, i) => (isVisible(point, frame) ? lengths[i]! : -1)).filter((s) => s >= 0);
  if (visible.length < 2) return [];
  const from = visible[0]!;
  const to = visible.at(-1)!;
  const pointAt = (s: number): PixelPoint => {
    let i = 1;
    while (i < run.length - 1 && lengths[i]! < s) i++;
    const a = run[i - 1]!;
    const b = run[i]!;
    const t = (s - lengths[i - 1]!) / (lengths[i]! - lengths[i - 1]! || 1);
    return { x: a.x + (b.x - a.x) * t, y: a.y + (b.y - a.y) * t };
  };
  const count = options.count ?? 24;
  const spots: LabelSpot[] = [];
  for (let k = 0; k < count; k++) {
    const share = (k + 0.5) / count;
    const s = from + share * (to - from);
    const half = options.width / 2;
    const a = pointAt(Math.max(0, s - half));
    const b = pointAt(Math.min(total, s + half));
    const middle = pointAt(s);
    const angle = readableAngle(a, b);
    const turn = (angle * Math.PI) / 180;
    const chord = { x: (a.x + b.x) / 2, y: (a.y + b.y) / 2 };
    const bend = Math.hypot(chord.x - middle.x, chord.y - middle.y);
    const at = options.offset === 0 ? chord : middle;
    spots.push({
      x: at.x + options.offset * Math.sin(turn),
      y: at.y - options.offset * Math.cos(turn),
      anchor: 'middle',
      angle,
      cost:
        Math.abs(share - options.liked) * (options.likedWeight ?? 2) +
        bend * 0.4 +
        (Math.abs(angle) > 75 ? 1.5 : Math.abs(angle) / 90),
    });
  }
  return spots;
}

/** Spots beside a point, level: `order` gives the compass directions from liked best to least. */
export function spotsAround(
  at: PixelPoint,
  distance: number,
  order: readonly Compass[],
  costPerStep: number,
  baseCost = 0,
): LabelSpot[] {
  return order.map((direction, index) => {
    const [u, v, anchor] = COMPASS[direction];
    return {
      x: at.x + u * distance,
      y: at.y + v * distance,
      anchor,
      angle: 0,
      cost: baseCost + index * costPerStep,
    };
  });
}

export type Compass = 'n' | 'ne' | 'e' | 'se' | 's' | 'sw' | 'w' | 'nw';

/** Down the page is +v. Labels above and below stand a little farther off because a text is higher than its middle line. */
const COMPASS: Readonly<Record<Compass, readonly [number, number, 'start' | 'middle' | 'end']>> = {
  n: [0, -1.5, 'middle'],
  ne: [0.7, -0.95, 'start'],
  e: [1, 0, 'start'],
  se: [0.7, 0.95, 'start'],
  s: [0, 1.5, 'middle'],
  sw: [-0.7, 0.95, 'end'],
  w: [-1, 0, 'end'],
  nw: [-0.7, -0.95, 'end'],
};

/** A label nearer than this stands beside its marker and needs no line to it. */
const BESIDE = 22;

/** From a marker to the label that had to stand off from it; null where it stands beside it. */
export function leaderTo(
  label: PixelPoint & Pick<LabelSpot, 'anchor'>,
  marker: PixelPoint,
): readonly [PixelPoint, PixelPoint] | null {
  const distance = lengthOf(label.x - marker.x, label.y - marker.y);
  if (distance < BESIDE) return null;
  const from = 9 / distance;
  const to = (distance - 2) / distance;
  const end = label.anchor === 'middle' ? to - 7 / distance : to;
  const at = (t: number) => ({ x: marker.x + (label.x - marker.x) * t, y: marker.y + (label.y - marker.y) * t });
  return [at(from), at(end)];
}

/** A reader takes a label for the nearest marker's: another must be farther from it by so much. */
const CLEARER = 5;

/** Farther from a marker than this no label of it can be taken for another's: pixels. */
const IN_DOUBT = 110;

/** Of a line's markers those that a label of one could be taken for. */
export function neighboursOf(marker: PixelPoint, all: readonly PixelPoint[]): PixelPoint[] {
  return all.filter(
    (at) => at !== marker && Math.abs(at.x - marker.x) < IN_DOUBT && Math.abs(at.y - marker.y) < IN_DOUBT,
  );
}

/**
 * What it costs that a label could be taken for a neighbour's: out of the question where that one is nearer, little where it has a leader.
 */
export function doubtCost(
  spot: LabelSpot,
  text: string,
  marker: PixelPoint,
  neighbours: readonly PixelPoint[],
  hasLeader: boolean,
): number {
  if (neighbours.length === 0) return 0;
  const box: LabelBox = boxAt(spot, text, true);
  const own = nearestDistance(box, marker);
  let other = Number.POSITIVE_INFINITY;
  for (const neighbour of neighbours) other = Math.min(other, nearestDistance(box, neighbour));
  if (other >= own + CLEARER) return 0;
  if (other < own) return Number.POSITIVE_INFINITY;
  return hasLeader ? 3 : 9;
}
