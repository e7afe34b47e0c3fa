import type { PixelImage } from '../../../src/reading/pixels/index.ts';

/** A place on the stroke of `largePicture`. */
export const ON_STROKE = { x: 3700, y: 2098 };

/** 40 megapixels, white but for one stroke 1,500 pixels long. */
export function largePicture(): PixelImage {
  const width = 8000;
  const height = 5000;
  const data = new Uint8ClampedArray(4 * width * height).fill(255);
  for (let x = 3000; x < 4500; x++) {
    const middle = 2000 + 0.0002 * (x - 3000) ** 2;
    for (let y = Math.floor(middle) - 3; y <= middle + 3; y++) {
      const cover = Math.min(1, Math.max(0, 1.5 - Math.abs(y + 0.5 - middle)));
      data.fill(255 - 235 * cover, 4 * (y * width + x), 4 * (y * width + x) + 3);
    }
  }
  return { width, height, data };
}
