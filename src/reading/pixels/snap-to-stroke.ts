import { Ink, localPaper, nearestInk, type PixelImage, type PixelPlace, type SnappedPlace } from './ink.ts';

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

const DIRECTIONS = 36;
/** Straight piece along which a stroke's direction is looked for, pixels each way. */
const DIRECTION_REACH = 7;
/** Share of its ink at which a stroke's edge is taken. */
export const EDGE_SHARE = 0.45;
/** Widest stroke that is taken for a line, pixels. */
const WIDEST = 12;

/** A stroke found under a click, with what following it needs. */
export interface FoundStroke extends SnappedPlace {
  ink: Ink;
  /** Ink of its middle as a cut sees it. */
  peak: number;
  /** Its width as a cut at the threshold sees it, pixels. */
  cutWidthPx: number;
}

/**
 * The centre of the stroke nearest to a click, to a fraction of a pixel: dark, light or coloured, 1 to 6 px wide and somewhat more.
 * @param radius pixels around the click in which to look.
 * @returns null where nothing within the radius stands out from its paper, or what does is no line.
 */
export function snapToStroke(image: PixelImage, place: PixelPlace, radius: number): SnappedPlace | null {
  const found = findStroke(image, place, radius);
  if (found === null) return null;
  const { ink: _ink, peak: _peak, cutWidthPx: _cut, ...snapped } = found;
  return snapped;
}

/** As snapToStroke, with the ink to follow. */
export function findStroke(image: PixelImage, place: PixelPlace, radius: number): FoundStroke | null {
  const paper = localPaper(image, place, Math.max(12, 2 * radius));
  const near = paper && nearestInk(image, place, radius, paper);
  if (!paper || !near) return null;
  const first = new Ink(image, paper, near.colour);
  const towards = bestDirection(first, near.place);
  // The core's colour is where there is most of it along the stroke: thin lines reach it only here and there.
  const core = darkestAlong(image, first, near.place, towards) ?? near.colour;
  const ink = new Ink(image, paper, core);
  let at = near.place;
  let direction = bestDirection(ink, at);
  let cut = null;
  for (let i = 0; i < 3; i++) {
    const level = Math.max(0.12, EDGE_SHARE * ink.along(at.x, at.y, direction, -3, 3));
    cut = crossCut(ink, at.x, at.y, direction, WIDEST, 3, level);
    if (!cut) return null;
    const { offset } = cut;
    at = { x: at.x - offset * Math.sin(direction), y: at.y + offset * Math.cos(direction) };
    direction = directionBetweenCuts(ink, at, direction, cut.width, level) ?? direction;
  }
  if (!cut || cut.open || cut.width > WIDEST) return null;
  if (Math.hypot(at.x - place.x, at.y - place.y) > radius + cut.width) return null;
  return {
    place: at,
    direction,
    colour: core,
    paper,
    widthPx: cut.area / Math.max(cut.peak, 0.5),
    ink,
    peak: cut.peak,
    cutWidthPx: cut.width,
  };
}

/** Direction in which there is most ink both ways. */
function bestDirection(ink: Ink, at: PixelPlace): number {
  let best = 0;
  let most = -1;
  const consider = (angle: number) => {
    const score = ink.along(at.x, at.y, angle, -DIRECTION_REACH, DIRECTION_REACH);
    if (score <= most) return;
    most = score;
    best = angle;
  };
  for (let i = 0; i < DIRECTIONS; i++) consider((i * Math.PI) / DIRECTIONS);
  const around = best;
  for (let i = -4; i <= 4; i++) consider(around + (i * Math.PI) / (DIRECTIONS * 5));
  return best;
}

/** Direction from the stroke's centre on one side to that on the other: finer than where there is most ink, above all on wide strokes. */
function directionBetweenCuts(
  ink: Ink,
  at: PixelPlace,
  direction: number,
  width: number,
  level: number,
): number | null {
  const ends = [-6, 6].map((t) => {
    const x = at.x + t * Math.cos(direction);
    const y = at.y + t * Math.sin(direction);
    const cut = crossCut(ink, x, y, direction, WIDEST, 4, level);
    if (!cut || cut.open || cut.width > 1.5 * width + 1) return null;
    return { x: x - cut.offset * Math.sin(direction), y: y + cut.offset * Math.cos(direction) };
  });
  const [from, to] = ends;
  return from && to ? Math.atan2(to.y - from.y, to.x - from.x) : null;
}

function darkestAlong(image: PixelImage, ink: Ink, at: PixelPlace, direction: number) {
  let most = 0;
  let colour = null;
  for (let t = -5; t <= 5; t++) {
    for (let n = -1; n <= 1; n++) {
      const x = at.x + t * Math.cos(direction) - n * Math.sin(direction);
      const y = at.y + t * Math.sin(direction) + n * Math.cos(direction);
      const column = Math.floor(x);
      const row = Math.floor(y);
      if (column < 0 || row < 0 || column >= image.width || row >= image.height) continue;
      const share = ink.at(column + 0.5, row + 0.5);
      // More than the ink that was clicked on, but not the core of a darker stroke that crosses here.
      if (share <= most || share > 1.25) continue;
      most = share;
      colour = nearestInk(image, { x: column + 0.5, y: row + 0.5 }, 0.6, ink.paper)?.colour ?? null;
    }
  }
  return colour;
}
