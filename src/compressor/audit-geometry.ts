/** A place on the map in shares of its size: x of the largest flow, y of the largest pressure ratio over 1. */
export interface Place {
  x: number;
  y: number;
}

/** How far a place lies from a polyline, and on which side of it. */
export interface Offset {
  /** Positive to the left of the direction of travel. Going from surge to choke, left is up and right: the side of higher speed. */
  distance: number;
  /** False where the nearest place is an end of the polyline: then the side means nothing. */
  beside: boolean;
}

/**
 * Signed distance of a place from a polyline of at least two places.
 * @returns distance Infinity, beside false for fewer than two places.
 */
export function offsetFrom(path: readonly Place[], place: Place): Offset {
  let best = Infinity;
  let result: Offset = { distance: Infinity, beside: false };
  for (let i = 0; i + 1 < path.length; i++) {
    const a = path[i]!;
    const b = path[i + 1]!;
    const dx = b.x - a.x;
    const dy = b.y - a.y;
    const length2 = dx * dx + dy * dy;
    if (length2 === 0) continue;
    const t = ((place.x - a.x) * dx + (place.y - a.y) * dy) / length2;
    const s = Math.min(1, Math.max(0, t));
    const ex = place.x - (a.x + s * dx);
    const ey = place.y - (a.y + s * dy);
    const d2 = ex * ex + ey * ey;
    if (d2 >= best) continue;
    best = d2;
    const side = dx * (place.y - a.y) - dy * (place.x - a.x);
    const offEnd = (i === 0 && t < 0) || (i + 2 === path.length && t > 1);
    result = { distance: Math.sqrt(d2) * Math.sign(side), beside: !offEnd };
  }
  return result;
}

/** First place where two polylines cut each other, or null. Touching ends do not count. */
export function firstCut(one: readonly Place[], other: readonly Place[]): Place | null {
  for (let i = 0; i + 1 < one.length; i++) {
    const a = one[i]!;
    const b = one[i + 1]!;
    for (let j = 0; j + 1 < other.length; j++) {
      const c = other[j]!;
      const d = other[j + 1]!;
      if (Math.max(a.x, b.x) < Math.min(c.x, d.x) || Math.max(c.x, d.x) < Math.min(a.x, b.x)) continue;
      if (Math.max(a.y, b.y) < Math.min(c.y, d.y) || Math.max(c.y, d.y) < Math.min(a.y, b.y)) continue;
      const cut = cutOf(a, b, c, d);
      if (cut) return cut;
    }
  }
  return null;
}

function cutOf(a: Place, b: Place, c: Place, d: Place): Place | null {
  const ux = b.x - a.x;
  const uy = b.y - a.y;
  const vx = d.x - c.x;
  const vy = d.y - c.y;
  const cross = ux * vy - uy * vx;
  if (cross === 0) return null;
  const s = ((c.x - a.x) * vy - (c.y - a.y) * vx) / cross;
  const t = ((c.x - a.x) * uy - (c.y - a.y) * ux) / cross;
  if (s <= 0 || s >= 1 || t <= 0 || t >= 1) return null;
  return { x: a.x + s * ux, y: a.y + s * uy };
}

/** Whether a place lies in a polygon (even-odd rule). */
export function isInside(polygon: readonly Place[], place: Place): boolean {
  let inside = false;
  for (let i = 0, j = polygon.length - 1; i < polygon.length; j = i++) {
    const a = polygon[i]!;
    const b = polygon[j]!;
    if (a.y > place.y !== b.y > place.y && place.x < ((b.x - a.x) * (place.y - a.y)) / (b.y - a.y) + a.x) {
      inside = !inside;
    }
  }
  return inside;
}
