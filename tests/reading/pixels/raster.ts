import type { PixelImage, PixelPlace, Rgb } from '../../../src/reading/pixels/index.ts';

/** A picture drawn by the test itself: every line's true centre is known exactly. */
export class Raster implements PixelImage {
  readonly width: number;
  readonly height: number;
  readonly data: Uint8ClampedArray;

  constructor(width: number, height: number, paper: Rgb = { r: 255, g: 255, b: 255 }) {
    this.width = width;
    this.height = height;
    this.data = new Uint8ClampedArray(4 * width * height);
    const [pixel] = new Uint32Array(Uint8Array.of(paper.r, paper.g, paper.b, 255).buffer);
    new Uint32Array(this.data.buffer).fill(pixel!);
  }

  /**
   * A polyline of round joints with butt ends, anti-aliased by coverage: 1 inside, falling to 0 over one pixel at the edge.
   * @param dash lengths of dash and gap, pixels.
   */
  stroke(points: readonly PixelPlace[], widthPx: number, colour: Rgb, dash?: readonly [number, number]): this {
    const cover = new Map<number, number>();
    let s = 0;
    for (let i = 0; i + 1 < points.length; i++) {
      const a = points[i]!;
      const b = points[i + 1]!;
      const length = Math.hypot(b.x - a.x, b.y - a.y);
      const joints = { from: i > 0, to: i + 2 < points.length };
      this.coverSegment(cover, a, b, length, widthPx, joints, (t) => !dash || (s + t) % (dash[0] + dash[1]) < dash[0]);
      s += length;
    }
    this.cutEnds(cover, points, widthPx);
    for (const [at, share] of cover) {
      const mix = (k: number, value: number) => {
        this.data[4 * at + k] = this.data[4 * at + k]! * (1 - share) + value * share;
      };
      mix(0, colour.r);
      mix(1, colour.g);
      mix(2, colour.b);
    }
    return this;
  }

  /** Round joints near an end would reach beyond it. */
  private cutEnds(cover: Map<number, number>, points: readonly PixelPlace[], widthPx: number): void {
    const cut = (end: PixelPlace, before: PixelPlace): void => {
      for (const at of cover.keys()) {
        const dx = (at % this.width) + 0.5 - end.x;
        const dy = Math.floor(at / this.width) + 0.5 - end.y;
        const beyond = dx * (end.x - before.x) + dy * (end.y - before.y) > 0;
        if (beyond && Math.hypot(dx, dy) < widthPx + 1) cover.delete(at);
      }
    };
    const closed = Math.hypot(points[0]!.x - points.at(-1)!.x, points[0]!.y - points.at(-1)!.y) < 1e-6;
    if (closed) return;
    cut(points[0]!, points[1]!);
    cut(points.at(-1)!, points.at(-2)!);
  }

  private coverSegment(
    cover: Map<number, number>,
    a: PixelPlace,
    b: PixelPlace,
    length: number,
    widthPx: number,
    joints: { from: boolean; to: boolean },
    inked: (t: number) => boolean,
  ): void {
    if (length === 0) return;
    const half = widthPx / 2;
    const ux = (b.x - a.x) / length;
    const uy = (b.y - a.y) / length;
    const reach = half + 1;
    const xFrom = Math.max(0, Math.floor(Math.min(a.x, b.x) - reach));
    const xTo = Math.min(this.width - 1, Math.ceil(Math.max(a.x, b.x) + reach));
    const yFrom = Math.max(0, Math.floor(Math.min(a.y, b.y) - reach));
    const yTo = Math.min(this.height - 1, Math.ceil(Math.max(a.y, b.y) + reach));
    for (let row = yFrom; row <= yTo; row++) {
      for (let column = xFrom; column <= xTo; column++) {
        const dx = column + 0.5 - a.x;
        const dy = row + 0.5 - a.y;
        const t = dx * ux + dy * uy;
        if ((t < 0 && !joints.from) || (t > length && !joints.to)) continue;
        const on = Math.min(length, Math.max(0, t));
        if (!inked(on)) continue;
        const share = half + 0.5 - Math.hypot(dx - on * ux, dy - on * uy);
        if (share <= 0) continue;
        const at = row * this.width + column;
        // A line thinner than a pixel never covers more than its width.
        cover.set(at, Math.max(cover.get(at) ?? 0, Math.min(share, 1, widthPx)));
      }
    }
  }

  /** Upright grid lines every so many pixels. */
  grid(step: number, colour: Rgb, place: (x: number, y: number) => PixelPlace = (x, y) => ({ x, y })): this {
    for (let x = step; x < this.width; x += step) this.stroke([place(x, 0), place(x, this.height)], 1, colour);
    for (let y = step; y < this.height; y += step) this.stroke([place(0, y), place(this.width, y)], 1, colour);
    return this;
  }
}

export const BLACK: Rgb = { r: 20, g: 20, b: 20 };
export const RED: Rgb = { r: 200, g: 30, b: 40 };
export const BLUE: Rgb = { r: 30, g: 70, b: 190 };
export const LIGHT: Rgb = { r: 205, g: 208, b: 212 };

/** Largest and root-mean-square distance of places from a polyline. */
export function distancesFrom(
  path: readonly PixelPlace[],
  places: readonly PixelPlace[],
): { most: number; rms: number } {
  const distances = places.map((p) => distanceFrom(path, p));
  return { most: Math.max(...distances), rms: Math.hypot(...distances) / Math.sqrt(distances.length) };
}

export function distanceFrom(path: readonly PixelPlace[], p: PixelPlace): number {
  let best = Number.POSITIVE_INFINITY;
  for (let i = 0; i + 1 < path.length; i++) {
    const a = path[i]!;
    const b = path[i + 1]!;
    const length2 = (b.x - a.x) ** 2 + (b.y - a.y) ** 2;
    const t = length2 > 0 ? ((p.x - a.x) * (b.x - a.x) + (p.y - a.y) * (b.y - a.y)) / length2 : 0;
    const on = Math.min(1, Math.max(0, t));
    best = Math.min(best, Math.hypot(p.x - a.x - on * (b.x - a.x), p.y - a.y - on * (b.y - a.y)));
  }
  return best;
}

/** A curve sampled finely enough that its chords lie within a thousandth of a pixel. */
export function curve(count: number, at: (t: number) => PixelPlace): PixelPlace[] {
  return Array.from({ length: count + 1 }, (_, i) => at(i / count));
}
