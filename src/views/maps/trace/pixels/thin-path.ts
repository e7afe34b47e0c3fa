import { localCurve, type TrackPoint } from './local-curve.ts';
import type { PixelPlace } from './types.ts';

/** Smoothing of the followed centre line, pixels of arc length. */
const SMOOTHING = 5;
const FEWEST = 5;

/** The followed centre line without the noise of single cuts: a local quadratic at each of its points. */
export function smoothTrack(track: readonly TrackPoint[]): TrackPoint[] {
  return track.map((p, i) => {
    const curve = localCurve(track, ...around(track, i, 3 * SMOOTHING), p.s, SMOOTHING);
    return curve ? { ...p, x: curve.x, y: curve.y } : p;
  });
}

function around(track: readonly TrackPoint[], at: number, reach: number): [number, number] {
  const s = track[at]!.s;
  let from = at;
  while (from > 0 && s - track[from - 1]!.s <= reach) from--;
  let to = at + 1;
  while (to < track.length && track[to]!.s - s <= reach) to++;
  return [Math.max(0, Math.min(from, at - 3)), Math.min(track.length, Math.max(to, at + 4))];
}

/**
 * A sensible number of points of a centre line: both ends, and between them closer where it bends, so that a straight piece between
 * two of them lies about `tolerance` off (a chord of length h over curvature k lies k h² / 8 off: so the density goes with the root of k).
 * @returns at least the ends; at most `most`.
 */
export function thinPath(track: readonly TrackPoint[], tolerance: number, most: number): PixelPlace[] {
  const length = track.length > 0 ? track[track.length - 1]!.s - track[0]!.s : 0;
  if (track.length <= 2 || !(length > 0)) return track.map(({ x, y }) => ({ x, y }));
  const reach = Math.max(10, length / 25);
  const density = track.map((p, i) => {
    const curve = localCurve(track, ...around(track, i, 2.5 * reach), p.s, reach);
    const bend = curve ? Math.abs(curve.dx * curve.ddy - curve.dy * curve.ddx) : 0;
    // Straight pieces get points as well: a reader wants to see what they say.
    return Math.hypot(Math.sqrt(bend / (8 * tolerance)), (FEWEST - 1) / length);
  });
  const sum = [0];
  for (let i = 1; i < track.length; i++) {
    sum.push(sum[i - 1]! + 0.5 * (density[i]! + density[i - 1]!) * (track[i]!.s - track[i - 1]!.s));
  }
  const total = sum[sum.length - 1]!;
  const pieces = Math.min(most - 1, Math.max(Math.min(FEWEST - 1, track.length - 1), Math.round(total)));
  const points: PixelPlace[] = [];
  let i = 0;
  for (let k = 0; k <= pieces; k++) {
    const wanted = (total * k) / pieces;
    while (i < track.length - 2 && sum[i + 1]! < wanted) i++;
    const t = (wanted - sum[i]!) / (sum[i + 1]! - sum[i]! || 1);
    const [a, b] = [track[i]!, track[i + 1]!];
    points.push({ x: a.x + t * (b.x - a.x), y: a.y + t * (b.y - a.y) });
  }
  return points;
}
