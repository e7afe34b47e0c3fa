import type { PixelImage, Rgb } from './types.ts';

/** Luma of a colour, 0..255 (weights of ITU-R BT.601, which JPEG uses). */
export function luminance({ r, g, b }: Rgb): number {
  return 0.299 * r + 0.587 * g + 0.114 * b;
}

/** Distance of two colours, 0..1: black to white is 1. Euclidean in RGB: enough to tell strokes apart, and fast. */
export function colourDistance(one: Rgb, other: Rgb): number {
  return Math.hypot(one.r - other.r, one.g - other.g, one.b - other.b) / (255 * Math.sqrt(3));
}

/** Colour of one pixel, laid on white where it is transparent; null outside the picture. */
export function pixelColour(image: PixelImage, column: number, row: number): Rgb | null {
  if (!(column >= 0 && row >= 0 && column < image.width && row < image.height)) return null;
  const at = 4 * (Math.floor(row) * image.width + Math.floor(column));
  const alpha = image.data[at + 3]! / 255;
  const onWhite = (value: number) => 255 + alpha * (value - 255);
  return { r: onWhite(image.data[at]!), g: onWhite(image.data[at + 1]!), b: onWhite(image.data[at + 2]!) };
}
