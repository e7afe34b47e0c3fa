/** A picture's pixels as a canvas gives them: RGBA, row by row. ImageData fits. */
export interface PixelImage {
  readonly width: number;
  readonly height: number;
  readonly data: Uint8ClampedArray;
}

/** A place in pixels; the top left corner of the picture is (0, 0), the centre of the first pixel (0.5, 0.5). */
export interface PixelPlace {
  x: number;
  y: number;
}

/** 0..255 each. */
export interface Rgb {
  r: number;
  g: number;
  b: number;
}

/** What a stroke looks like at one place. */
interface StrokeLook {
  /** Colour of its core. */
  colour: Rgb;
  /** Colour of the paper beside it. */
  paper: Rgb;
  /** Full width at half darkness, pixels. */
  widthPx: number;
}

export interface SnappedPlace extends StrokeLook {
  /** Sub-pixel centre of the stroke. */
  place: PixelPlace;
  /** Direction of the stroke, radians from +x towards +y; the opposite is as good. */
  direction: number;
}

/** Why following stopped in one direction. */
export type StrokeEnd = 'end' | 'gap' | 'edge' | 'limit' | 'closed';

export interface FollowOptions {
  /** Where to look for the stroke around the click, pixels. Default 8. */
  searchRadiusPx?: number;
  /** How far a thinned polyline may lie off the followed centre line, pixels. Default 0.35. */
  thinTolerancePx?: number;
  /** Most points that are proposed. Default 24. */
  mostPoints?: number;
}

export type FollowedStroke =
  | {
      ok: true;
      /** Proposed points in order along the stroke, ends included, closer where it bends. */
      points: readonly PixelPlace[];
      /** The whole followed centre line, about two pixels apart. */
      path: readonly PixelPlace[];
      look: StrokeLook;
      lengthPx: number;
      /** At the first and at the last point. */
      ends: readonly [StrokeEnd, StrokeEnd];
    }
  | { ok: false; reason: 'outside-picture' | 'no-stroke'; message: string };

/** Distance of two colours, 0..1: black to white is 1. Euclidean in RGB: enough to tell strokes apart, and fast. */
function colourDistance(one: Rgb, other: Rgb): number {
  return Math.hypot(one.r - other.r, one.g - other.g, one.b - other.b) / (255 * Math.sqrt(3));
}

/** Colour of one pixel, laid on white where it is transparent; null outside the picture. */
function pixelColour(image: PixelImage, column: number, row: number): Rgb | null {
  if (!(column >= 0 && row >= 0 && column < image.width && row < image.height)) return null;
  const at = 4 * (Math.floor(row) * image.width + Math.floor(column));
  const alpha = image.data[at + 3]! / 255;
  const onWhite = (value: number) => 255 + alpha * (value - 255);
  return { r: onWhite(image.data[at]!), g: onWhite(image.data[at + 1]!), b: onWhite(image.data[at + 2]!) };
}

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

/** A stroke must differ from its paper by this share of black on white. */
const LEAST_CONTRAST = 0.08;

/**
 * The paper around a place: the median of each channel in a window. Strokes are thin, so that most of any window is paper, light or dark.
 * @returns null where the window lies outside the picture.
 */
export function localPaper(image: PixelImage, place: PixelPlace, reach: number): Rgb | null {
  const channels: [number[], number[], number[]] = [[], [], []];
  forWindow(image, place, reach, (colour) => {
    channels[0].push(colour.r);
    channels[1].push(colour.g);
    channels[2].push(colour.b);
  });
  if (channels[0].length === 0) return null;
  const [r, g, b] = channels.map((values) => {
    values.sort((a, b) => a - b);
    return values[values.length >> 1]!;
  }) as [number, number, number];
  return { r, g, b };
}

/** The pixel that most looks like the stroke that was meant: unlike the paper, and near. */
export function nearestInk(
  image: PixelImage,
  place: PixelPlace,
  radius: number,
  paper: Rgb,
): { place: PixelPlace; colour: Rgb } | null {
  let best: { place: PixelPlace; colour: Rgb } | null = null;
  let bestScore = 0;
  forWindow(image, place, radius, (colour, column, row) => {
    const contrast = colourDistance(colour, paper);
    const distance = Math.hypot(column + 0.5 - place.x, row + 0.5 - place.y);
    if (contrast < LEAST_CONTRAST || distance > radius) return;
    const score = contrast * Math.exp(-2 * (distance / radius) ** 2);
    if (score <= bestScore) return;
    bestScore = score;
    best = { place: { x: column + 0.5, y: row + 0.5 }, colour };
  });
  return best;
}

function forWindow(
  image: PixelImage,
  place: PixelPlace,
  reach: number,
  visit: (colour: Rgb, column: number, row: number) => void,
): void {
  const from = (centre: number) => Math.max(0, Math.floor(centre - reach));
  const to = (centre: number, size: number) => Math.min(size - 1, Math.floor(centre + reach));
  for (let row = from(place.y); row <= to(place.y, image.height); row++) {
    for (let column = from(place.x); column <= to(place.x, image.width); column++) {
      const colour = pixelColour(image, column, row);
      if (colour) visit(colour, column, row);
    }
  }
}
