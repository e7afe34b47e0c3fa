import type { SheetPoint } from '../compressor/index.ts';
import type { DataPlace } from './calibrate.ts';

import type { PicturePlace } from './index.ts';

/** A reading within this share of full scale of a point or a line belongs to it. */
const NEAR = 0.012;

export type EfficiencyReading = DataPlace & { efficiency: number };

/** Single readings put on the lines that they lie on, and those that lie off every line. */
export function placeOnLines(
  lines: readonly (readonly SheetPoint[])[],
  readings: readonly EfficiencyReading[],
  scale: DataPlace,
): { lines: SheetPoint[][]; onLines: number; apart: EfficiencyReading[] } {
  const placed = lines.map((points) => [...points]);
  const apart: EfficiencyReading[] = [];
  for (const reading of readings) {
    const at = nearest(placed, reading, scale);
    if (!at || at.distance > NEAR) {
      apart.push(reading);
      continue;
    }
    const points = placed[at.line]!;
    const point = points[at.point]!;
    if (at.onPoint && point.efficiency === undefined) points[at.point] = { ...point, efficiency: reading.efficiency };
    else if (!at.onPoint) points.splice(at.point, 0, { ...at.place, efficiency: reading.efficiency });
    // A second reading at a point that has one already: kept, as a point of its own.
    else points.splice(at.point + 1, 0, reading);
  }
  return { lines: placed, onLines: readings.length - apart.length, apart };
}

interface Nearest {
  line: number;
  /** The point itself, or the index before which a new one belongs. */
  point: number;
  onPoint: boolean;
  place: DataPlace;
  distance: number;
}

function nearest(lines: readonly (readonly SheetPoint[])[], reading: DataPlace, scale: DataPlace): Nearest | null {
  const away = (p: DataPlace) =>
    Math.hypot((p.flow - reading.flow) / scale.flow, (p.pressureRatio - reading.pressureRatio) / scale.pressureRatio);
  let best: Nearest | null = null;
  const consider = (found: Nearest) => {
    if (!best || found.distance < best.distance) best = found;
  };
  lines.forEach((points, line) => {
    points.forEach((p, point) => {
      // A point of the line is preferred to a new one beside it.
      const distance = away(p);
      if (distance <= NEAR / 2) consider({ line, point, onPoint: true, place: p, distance: distance / 4 });
    });
    for (let i = 0; i + 1 < points.length; i++) {
      const on = footOn(points[i]!, points[i + 1]!, reading, scale);
      consider({ line, point: i + 1, onPoint: false, place: on, distance: away(on) });
    }
  });
  return best;
}

function footOn(a: DataPlace, b: DataPlace, p: DataPlace, scale: DataPlace): DataPlace {
  const dx = (b.flow - a.flow) / scale.flow;
  const dy = (b.pressureRatio - a.pressureRatio) / scale.pressureRatio;
  const square = dx * dx + dy * dy;
  const along =
    ((p.flow - a.flow) / scale.flow) * dx + ((p.pressureRatio - a.pressureRatio) / scale.pressureRatio) * dy;
  const t = square > 0 ? Math.min(1, Math.max(0, along / square)) : 0;
  return {
    flow: a.flow + t * (b.flow - a.flow),
    pressureRatio: a.pressureRatio + t * (b.pressureRatio - a.pressureRatio),
  };
}

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
