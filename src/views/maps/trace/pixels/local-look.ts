import { colourDistance, pixelColour } from './colour.ts';
import type { PixelImage, PixelPlace, Rgb } from './types.ts';

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
