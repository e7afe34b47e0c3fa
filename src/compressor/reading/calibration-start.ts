import { solveLinear } from '../../numerics/index.ts';
import type { KnownPlace, PlaneFit } from './calibration-fit.ts';
import type { PicturePlace } from './calibration-types.ts';

/**
 * A first affine map by linear regressions: one picture vector a unit of flow along the flow axis, one a unit of pressure ratio along its
 * axis, and the origin where the axes (or the grid points) put it.
 * @returns null where the points do not fix it: the problems have been named before.
 */
export function startAffine(points: readonly KnownPlace[]): PlaneFit | null {
  const onFlowAxis = points.filter((p) => p.b === null);
  const onRatioAxis = points.filter((p) => p.a === null);
  const grid = points.filter((p): p is Grid => p.a !== null && p.b !== null);
  let u = regression(onFlowAxis.map((p) => ({ t: p.a ?? 0, place: p.place })));
  let v = regression(onRatioAxis.map((p) => ({ t: p.b ?? 0, place: p.place })));
  if (!u && !v) return fromGrid(grid);
  u ??= v && regression(grid.map((p) => ({ t: p.a, place: less(p.place, v!.slope, p.b) })));
  v ??= u && regression(grid.map((p) => ({ t: p.b, place: less(p.place, u!.slope, p.a) })));
  if (!u || !v) return null;
  const [du, dv] = [u.slope, v.slope];
  if (onFlowAxis.length > 0 && onRatioAxis.length > 0 && grid.length === 0) {
    // Flow axis u.at + a du, ratio axis v.at + b dv; both are origin + a du + b dv with a common b and a common a.
    const cross = du.x * dv.y - du.y * dv.x;
    const d = { x: v.at.x - u.at.x, y: v.at.y - u.at.y };
    const axisA = (d.x * dv.y - d.y * dv.x) / cross;
    const axisB = (d.x * du.y - d.y * du.x) / cross;
    if (!Number.isFinite(axisA) || !Number.isFinite(axisB)) return null;
    return fitFrom(less(u.at, dv, axisB), du, dv, axisA, axisB);
  }
  const origin = mean(grid.map((p) => less(less(p.place, du, p.a), dv, p.b)));
  const spot = (axis: readonly KnownPlace[], along: PicturePlace, t: (p: KnownPlace) => number) =>
    mean(axis.map((p) => less(less(p.place, along, t(p)), origin, 1)));
  const onto = (d: PicturePlace, e: PicturePlace) => (d.x * e.x + d.y * e.y) / (e.x * e.x + e.y * e.y);
  const axisB =
    onFlowAxis.length > 0
      ? onto(
          spot(onFlowAxis, du, (p) => p.a ?? 0),
          dv,
        )
      : 0;
  const axisA =
    onRatioAxis.length > 0
      ? onto(
          spot(onRatioAxis, dv, (p) => p.b ?? 0),
          du,
        )
      : 0;
  return fitFrom(origin, du, dv, axisA, axisB);
}

interface Grid extends KnownPlace {
  a: number;
  b: number;
}

function fitFrom(o: PicturePlace, u: PicturePlace, v: PicturePlace, axisA: number, axisB: number): PlaneFit {
  return { h: [u.x, v.x, o.x, u.y, v.y, o.y, 0, 0], axisA, axisB };
}

function less(place: PicturePlace, along: PicturePlace, by: number): PicturePlace {
  return { x: place.x - by * along.x, y: place.y - by * along.y };
}

function mean(places: readonly PicturePlace[]): PicturePlace {
  const n = places.length;
  return { x: places.reduce((s, p) => s + p.x, 0) / n, y: places.reduce((s, p) => s + p.y, 0) / n };
}

/** Place over value; null with fewer than two different values. */
function regression(
  rows: readonly { t: number; place: PicturePlace }[],
): { slope: PicturePlace; at: PicturePlace } | null {
  if (rows.length < 2) return null;
  const t = rows.reduce((s, r) => s + r.t, 0) / rows.length;
  const centre = mean(rows.map((r) => r.place));
  const square = rows.reduce((s, r) => s + (r.t - t) ** 2, 0);
  if (!(square > 0)) return null;
  const along = (of: (p: PicturePlace) => number, middle: number) =>
    rows.reduce((s, r) => s + (r.t - t) * (of(r.place) - middle), 0) / square;
  const slope = { x: along((p) => p.x, centre.x), y: along((p) => p.y, centre.y) };
  return { slope, at: less(centre, slope, t) };
}

function fromGrid(grid: readonly Grid[]): PlaneFit | null {
  if (grid.length < 3) return null;
  const rows = grid.map((p) => [p.a, p.b, 1]);
  const normal = [0, 1, 2].map((i) => [0, 1, 2].map((j) => rows.reduce((s, r) => s + r[i]! * r[j]!, 0)));
  const solve = (of: (p: PicturePlace) => number) =>
    solveLinear(
      normal,
      [0, 1, 2].map((i) => rows.reduce((s, r, k) => s + r[i]! * of(grid[k]!.place), 0)),
    );
  const x = solve((p) => p.x);
  const y = solve((p) => p.y);
  return x && y ? { h: [...x, ...y, 0, 0], axisA: 0, axisB: 0 } : null;
}
