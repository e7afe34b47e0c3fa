import type { PicturePlace } from './index.ts';

/**
 * Where in a line a new point belongs: where it makes the drawn way longest by the least; before the first or behind the last where it
 * lies beyond an end. Rows without a place keep their position.
 * @param count rows in the table
 * @param closed the last row joins the first
 */
export function insertionRow(
  placed: readonly { row: number; place: PicturePlace }[],
  at: PicturePlace,
  count: number,
  closed: boolean,
): number {
  const last = placed.at(-1);
  const first = placed[0];
  if (first === undefined || last === undefined) return count;
  const distance = (a: PicturePlace, b: PicturePlace) => Math.hypot(a.x - b.x, a.y - b.y);
  let best = { row: count, detour: distance(last.place, at) };
  const toFirst = distance(first.place, at);
  if (placed.length === 1) return best.row;
  if (closed) best = { row: count, detour: best.detour + toFirst - distance(last.place, first.place) };
  else if (toFirst < best.detour) best = { row: first.row, detour: toFirst };
  for (let i = 1; i < placed.length; i++) {
    const [a, b] = [placed[i - 1]!, placed[i]!];
    const detour = distance(a.place, at) + distance(at, b.place) - distance(a.place, b.place);
    // Between two only where it really lies between: a point just beyond an end is nearly as near to the last piece.
    if (detour < best.detour && liesBetween(a.place, b.place, at)) best = { row: b.row, detour };
  }
  return best.row;
}

function liesBetween(a: PicturePlace, b: PicturePlace, at: PicturePlace): boolean {
  const dx = b.x - a.x;
  const dy = b.y - a.y;
  const along = ((at.x - a.x) * dx + (at.y - a.y) * dy) / (dx * dx + dy * dy || 1);
  return along > 0 && along < 1;
}
