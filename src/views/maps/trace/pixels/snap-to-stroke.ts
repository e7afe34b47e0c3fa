import { crossCut } from './cross-profile.ts';
import { Ink } from './ink.ts';
import { localPaper, nearestInk } from './local-look.ts';
import type { PixelImage, PixelPlace, SnappedPlace } from './types.ts';

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
  return (
    found && {
      place: found.place,
      direction: found.direction,
      colour: found.colour,
      paper: found.paper,
      widthPx: found.widthPx,
    }
  );
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
