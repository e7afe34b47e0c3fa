import { boxesOverlap, cornersOf, grownBox, type LabelBox, segmentInBox } from './label-box.ts';
import type { PixelFrame, PixelPoint } from './pixel-point.ts';
import { textWidth } from './text-width.ts';

export type LabelAnchor = 'start' | 'middle' | 'end';

/** One place where a label could stand: its vertical middle at y, its start, middle or end at x; angle in degrees about (x, y). */
export interface LabelSpot extends PixelPoint {
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
  fontSize: number;
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
  fontSize: number;
  box: LabelBox;
  /** Which of the request's spots it got. */
  spot: number;
}

/** A line that labels would rather not stand on; `weight` is added to a spot's cost when they meet. */
export interface SoftLine {
  points: readonly PixelPoint[];
  weight: number;
}

export interface LabelSurroundings {
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
export function boxAt(spot: LabelSpot, text: string, fontSize: number, bold = false): LabelBox {
  const width = textWidth(text, fontSize, bold);
  const shift = spot.anchor === 'start' ? width / 2 : spot.anchor === 'end' ? -width / 2 : 0;
  const turn = (spot.angle * Math.PI) / 180;
  return {
    x: spot.x + shift * Math.cos(turn),
    y: spot.y + shift * Math.sin(turn),
    width,
    height: fontSize * 1.15,
    angle: spot.angle,
  };
}

function isInside(box: LabelBox, frame: PixelFrame): boolean {
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
  const reach = Math.hypot(box.width, box.height) / 2;
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
      const box = boxAt(spot, request.text, request.fontSize, request.bold);
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
        fontSize: request.fontSize,
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
