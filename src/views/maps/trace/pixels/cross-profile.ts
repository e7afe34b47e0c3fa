import type { Ink } from './ink.ts';

/** What a cut across a stroke shows. */
export interface CrossCut {
  /** Of the intensity-weighted centre from the middle of the cut, pixels, to the left of the direction turned to +y (see below). */
  offset: number;
  /** Highest ink in the stroke's part of the cut, over the paper beside it. */
  peak: number;
  /** Edges of that part at the threshold, as offsets, and the width between them, pixels. */
  left: number;
  right: number;
  width: number;
  /** Ink summed across it, pixels: its width times its ink. */
  area: number;
  /** True where it reaches the end of the cut: a crossing stroke, or a blot. */
  open: boolean;
}

const SPACING = 0.5;
const MOST_SAMPLES = 161;
const profile = new Float64Array(MOST_SAMPLES);
const sorted = new Float64Array(MOST_SAMPLES);

/**
 * Cut across a stroke at a place. Offsets count along the normal (-sin, cos) of the direction. The part of the profile above the threshold
 * that lies nearest to the middle is the stroke; its centre is weighted by its ink, which finds the middle of an anti-aliased line to a
 * tenth of a pixel. Averaged over one pixel along the stroke, both ways, against noise.
 * @param threshold ink over the paper beside, below which there is no stroke.
 * @returns null where no ink reaches the threshold within `reach` of the middle.
 */
export function crossCut(
  ink: Ink,
  x: number,
  y: number,
  direction: number,
  half: number,
  reach: number,
  threshold: number,
): CrossCut | null {
  const side = Math.min(Math.ceil(half / SPACING), (MOST_SAMPLES - 1) / 2);
  const count = 2 * side + 1;
  takeProfile(ink, x, y, direction, side);
  const base = baseline(count);
  const top = (i: number) => profile[i]! - base;
  const at = nearestAbove(side, Math.min(side, Math.floor(reach / SPACING)), base + threshold);
  if (at === null) return null;
  let left = at;
  while (left > 0 && top(left - 1) >= threshold) left--;
  let right = at;
  while (right < count - 1 && top(right + 1) >= threshold) right++;
  let peak = 0;
  for (let i = left; i <= right; i++) peak = Math.max(peak, top(i));
  // The flanks below the threshold belong to the stroke as long as they fall.
  const open = left === 0 || right === count - 1;
  let from = left;
  while (from > 0 && top(from - 1) > 0 && top(from - 1) < top(from)) from--;
  let to = right;
  while (to < count - 1 && top(to + 1) > 0 && top(to + 1) < top(to)) to++;
  let sum = 0;
  let moment = 0;
  for (let i = from; i <= to; i++) {
    sum += top(i);
    moment += top(i) * (i - side);
  }
  if (!(sum > 0)) return null;
  const edges = edgesOf(left, right, count, base, threshold);
  const middle = side * SPACING;
  return {
    offset: (moment / sum) * SPACING,
    peak,
    left: edges.left - middle,
    right: edges.right - middle,
    width: edges.right - edges.left,
    area: sum * SPACING,
    open,
  };
}

function takeProfile(ink: Ink, x: number, y: number, direction: number, side: number): void {
  const cos = Math.cos(direction);
  const sin = Math.sin(direction);
  for (let i = -side; i <= side; i++) {
    const t = i * SPACING;
    const px = x - t * sin;
    const py = y + t * cos;
    profile[i + side] = (ink.at(px, py) * 2 + ink.at(px - cos, py - sin) + ink.at(px + cos, py + sin)) / 4;
  }
}

/** The paper beside the stroke, in ink: the lower quarter of the profile, so that uneven light does not count as ink. */
function baseline(count: number): number {
  for (let i = 0; i < count; i++) sorted[i] = profile[i]!;
  const part = sorted.subarray(0, count).sort();
  return Math.min(0.4, Math.max(-0.4, part[count >> 2]!));
}

function nearestAbove(middle: number, reach: number, level: number): number | null {
  for (let d = 0; d <= reach; d++) {
    const right = profile[middle + d]! >= level;
    const left = profile[middle - d]! >= level;
    if (right && left) return profile[middle + d]! >= profile[middle - d]! ? middle + d : middle - d;
    if (right) return middle + d;
    if (left) return middle - d;
  }
  return null;
}

/** The places where the profile passes the threshold, found between samples, pixels from the first sample. */
function edgesOf(
  left: number,
  right: number,
  count: number,
  base: number,
  threshold: number,
): { left: number; right: number } {
  const level = base + threshold;
  const share = (inside: number, outside: number) => {
    const fall = profile[inside]! - profile[outside]!;
    return fall > 0 ? (profile[inside]! - level) / fall : 0;
  };
  return {
    left: (left - (left > 0 ? share(left, left - 1) : 0)) * SPACING,
    right: (right + (right < count - 1 ? share(right, right + 1) : 0)) * SPACING,
  };
}
