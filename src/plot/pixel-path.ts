import { type LabelBox, segmentInBox } from './label-box.ts';
import type { PixelPoint } from './pixel-point.ts';

/** One decimal of a pixel is finer than any screen shows and keeps the file small. */
export function rounded(pixels: number): number {
  return Math.round(pixels * 10) / 10;
}

/**
 * Pixel runs of a list of data points. A point that is null or not finite breaks the line: the runs before and after it are separate.
 * `toPixel` must be finite for finite data.
 */
export function pixelRuns<T>(points: readonly (T | null)[], toPixel: (point: T) => PixelPoint): PixelPoint[][] {
  const runs: PixelPoint[][] = [];
  let run: PixelPoint[] = [];
  for (const point of points) {
    const pixel = point === null ? null : toPixel(point);
    if (pixel && Number.isFinite(pixel.x) && Number.isFinite(pixel.y)) {
      run.push(pixel);
    } else if (run.length > 0) {
      runs.push(run);
      run = [];
    }
  }
  if (run.length > 0) runs.push(run);
  return runs;
}

/** The `d` of straight segments through each run; runs of one point draw nothing. Empty string when there is nothing to draw. */
export function linePath(runs: readonly (readonly PixelPoint[])[], closed = false): string {
  let d = '';
  for (const run of runs) {
    if (run.length < 2) continue;
    run.forEach((point, index) => {
      d += `${index === 0 ? 'M' : 'L'}${rounded(point.x)},${rounded(point.y)}`;
    });
    if (closed) d += 'Z';
  }
  return d;
}

/** A run with the part inside the box taken out: the gap in which a label stands. */
export function cutByBox(run: readonly PixelPoint[], box: LabelBox): PixelPoint[][] {
  const pieces: PixelPoint[][] = [];
  let piece: PixelPoint[] = [];
  const between = (p: PixelPoint, q: PixelPoint, t: number) => ({ x: p.x + (q.x - p.x) * t, y: p.y + (q.y - p.y) * t });
  for (let i = 0; i + 1 < run.length; i++) {
    const p = run[i]!;
    const q = run[i + 1]!;
    const inside = segmentInBox(box, p, q);
    if (piece.length === 0 && !(inside && inside[0] === 0)) piece.push(p);
    if (!inside) {
      piece.push(q);
      continue;
    }
    if (inside[0] > 0) piece.push(between(p, q, inside[0]));
    if (piece.length > 1) pieces.push(piece);
    piece = inside[1] < 1 ? [between(p, q, inside[1]), q] : [];
  }
  if (piece.length > 1) pieces.push(piece);
  return pieces;
}
