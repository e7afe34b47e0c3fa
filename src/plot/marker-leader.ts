import { type LabelBox, nearestDistance } from './label-box.ts';
import { boxAt, type LabelSpot } from './label-placement.ts';
import { LABEL_FONT } from './map-scales.ts';
import type { PixelPoint } from './pixel-point.ts';

/** A label nearer than this stands beside its marker and needs no line to it. */
const BESIDE = 22;

/** From a marker to the label that had to stand off from it; null where it stands beside it. */
export function leaderTo(
  label: PixelPoint & Pick<LabelSpot, 'anchor'>,
  marker: PixelPoint,
): readonly [PixelPoint, PixelPoint] | null {
  const distance = Math.hypot(label.x - marker.x, label.y - marker.y);
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
  const box: LabelBox = boxAt(spot, text, LABEL_FONT, true);
  const own = nearestDistance(box, marker);
  let other = Number.POSITIVE_INFINITY;
  for (const neighbour of neighbours) other = Math.min(other, nearestDistance(box, neighbour));
  if (other >= own + CLEARER) return 0;
  if (other < own) return Number.POSITIVE_INFINITY;
  return hasLeader ? 3 : 9;
}
