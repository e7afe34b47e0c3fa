import type { PixelImage, Rgb } from './types.ts';

/** How far a colour may lie off the line from paper to stroke, as a share of that line, before it counts as another stroke's. */
const OTHER_COLOUR = 0.45;

/**
 * How much of one stroke's ink lies at a place: 0 paper, 1 the stroke's core. A pixel is read as a mixture of paper and stroke (what
 * anti-aliasing makes of an edge); what is no such mixture is another colour and counts less.
 */
export class Ink {
  readonly image: PixelImage;
  readonly paper: Rgb;
  private readonly toward: Rgb;
  private readonly inverse: number;

  constructor(image: PixelImage, paper: Rgb, core: Rgb) {
    this.image = image;
    this.paper = paper;
    this.toward = { r: paper.r - core.r, g: paper.g - core.g, b: paper.b - core.b };
    const square = this.toward.r ** 2 + this.toward.g ** 2 + this.toward.b ** 2;
    this.inverse = square > 0 ? 1 / square : 0;
  }

  /** Bilinear between pixel centres; the picture's border is carried outwards. */
  at(x: number, y: number): number {
    const { width, height, data } = this.image;
    const px = Math.min(Math.max(x - 0.5, 0), width - 1);
    const py = Math.min(Math.max(y - 0.5, 0), height - 1);
    const column = Math.min(Math.floor(px), Math.max(0, width - 2));
    const row = Math.min(Math.floor(py), Math.max(0, height - 2));
    const fx = px - column;
    const fy = py - row;
    const at = 4 * (row * width + column);
    const right = width > 1 ? 4 : 0;
    const below = height > 1 ? 4 * width : 0;
    const w00 = (1 - fx) * (1 - fy);
    const w10 = fx * (1 - fy);
    const w01 = (1 - fx) * fy;
    const w11 = fx * fy;
    const channel = (c: number): number =>
      w00 * data[at + c]! +
      w10 * data[at + right + c]! +
      w01 * data[at + below + c]! +
      w11 * data[at + right + below + c]!;
    const alpha = channel(3) / 255;
    // Laid on white where transparent.
    const r = this.paper.r - (255 + alpha * (channel(0) - 255));
    const g = this.paper.g - (255 + alpha * (channel(1) - 255));
    const b = this.paper.b - (255 + alpha * (channel(2) - 255));
    const share = (r * this.toward.r + g * this.toward.g + b * this.toward.b) * this.inverse;
    const off2 =
      ((r - share * this.toward.r) ** 2 + (g - share * this.toward.g) ** 2 + (b - share * this.toward.b) ** 2) *
      this.inverse;
    const same = 1 - off2 / OTHER_COLOUR ** 2;
    return same > 0 ? Math.min(share, 1.3) * same : 0;
  }

  /** Mean ink along a straight piece from a place, both ways or one way. */
  along(x: number, y: number, direction: number, from: number, to: number): number {
    const cos = Math.cos(direction);
    const sin = Math.sin(direction);
    const count = Math.max(2, Math.round((to - from) / 0.7) + 1);
    let sum = 0;
    for (let i = 0; i < count; i++) {
      const t = from + ((to - from) * i) / (count - 1);
      sum += this.at(x + t * cos, y + t * sin);
    }
    return sum / count;
  }
}
