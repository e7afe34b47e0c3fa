import type { PixelImage } from '../../../src/reading/pixels/index.ts';

/** Quantisation tables of ITU-T T.81, annex K (luminance, chrominance), from memory. */
const LUMA = [
  16, 11, 10, 16, 24, 40, 51, 61, 12, 12, 14, 19, 26, 58, 60, 55, 14, 13, 16, 24, 40, 57, 69, 56, 14, 17, 22, 29, 51,
  87, 80, 62, 18, 22, 37, 56, 68, 109, 103, 77, 24, 35, 55, 64, 81, 104, 113, 92, 49, 64, 78, 87, 103, 121, 120, 101,
  72, 92, 95, 98, 112, 100, 103, 99,
];
const CHROMA = [
  17, 18, 24, 47, 99, 99, 99, 99, 18, 21, 26, 66, 99, 99, 99, 99, 24, 26, 56, 99, 99, 99, 99, 99, 47, 66, 99, 99, 99,
  99, 99, 99, 99, 99, 99, 99, 99, 99, 99, 99, 99, 99, 99, 99, 99, 99, 99, 99, 99, 99, 99, 99, 99, 99, 99, 99, 99, 99,
  99, 99, 99, 99, 99, 99,
];
const cosine = (u: number, x: number) =>
  (u === 0 ? Math.SQRT1_2 : 1) * 0.5 * Math.cos(((2 * x + 1) * u * Math.PI) / 16);
/** Weights of the transform and of its inverse, by row. */
const FORTH = Float64Array.from({ length: 64 }, (_, i) => cosine(i >> 3, i & 7));
const BACK = Float64Array.from({ length: 64 }, (_, i) => cosine(i & 7, i >> 3));

/** What JPEG of a quality does to a picture: luma and halved chroma in 8 by 8 blocks, transformed, quantised and turned back. */
export function jpegLoss(image: PixelImage, quality: number): PixelImage {
  const { width, height } = image;
  const y = new Float64Array(width * height);
  const cb = new Float64Array(width * height);
  const cr = new Float64Array(width * height);
  for (let i = 0; i < width * height; i++) {
    const r = image.data[4 * i]!;
    const g = image.data[4 * i + 1]!;
    const b = image.data[4 * i + 2]!;
    y[i] = 0.299 * r + 0.587 * g + 0.114 * b - 128;
    cb[i] = -0.168736 * r - 0.331264 * g + 0.5 * b;
    cr[i] = 0.5 * r - 0.418688 * g - 0.081312 * b;
  }
  const scale = (quality < 50 ? 5000 / quality : 200 - 2 * quality) / 100;
  quantise(y, width, height, LUMA, scale);
  for (const plane of [cb, cr]) {
    const half = halved(plane, width, height);
    quantise(half.data, half.width, half.height, CHROMA, scale);
    for (let row = 0; row < height; row++)
      for (let column = 0; column < width; column++)
        plane[row * width + column] = half.data[(row >> 1) * half.width + (column >> 1)]!;
  }
  const data = new Uint8ClampedArray(image.data.length);
  for (let i = 0; i < width * height; i++) {
    const luma = y[i]! + 128;
    data[4 * i] = luma + 1.402 * cr[i]!;
    data[4 * i + 1] = luma - 0.344136 * cb[i]! - 0.714136 * cr[i]!;
    data[4 * i + 2] = luma + 1.772 * cb[i]!;
    data[4 * i + 3] = 255;
  }
  return { width, height, data };
}

function halved(plane: Float64Array, width: number, height: number) {
  const w = (width + 1) >> 1;
  const h = (height + 1) >> 1;
  const data = new Float64Array(w * h);
  for (let row = 0; row < h; row++) {
    for (let column = 0; column < w; column++) {
      const x = Math.min(2 * column + 1, width - 1);
      const y = Math.min(2 * row + 1, height - 1);
      const at = (r: number, c: number) => plane[r * width + c]!;
      data[row * w + column] = (at(2 * row, 2 * column) + at(2 * row, x) + at(y, 2 * column) + at(y, x)) / 4;
    }
  }
  return { data, width: w, height: h };
}

function quantise(plane: Float64Array, width: number, height: number, table: readonly number[], scale: number): void {
  const block = new Float64Array(64);
  const steps = table.map((value) => Math.min(255, Math.max(1, Math.round(value * scale))));
  for (let row = 0; row < height; row += 8) {
    for (let column = 0; column < width; column += 8) {
      const at = (i: number) => Math.min(row + (i >> 3), height - 1) * width + Math.min(column + (i & 7), width - 1);
      let flat = true;
      for (let i = 0; i < 64; i++) {
        block[i] = plane[at(i)]!;
        if (block[i] !== block[0]) flat = false;
      }
      // An even block comes back as it was, but for rounding.
      if (flat) continue;
      transform(block, false);
      for (let i = 0; i < 64; i++) block[i] = Math.round(block[i]! / steps[i]!) * steps[i]!;
      transform(block, true);
      for (let i = 0; i < 64; i++) {
        if (row + (i >> 3) < height && column + (i & 7) < width) plane[at(i)] = block[i]!;
      }
    }
  }
}

const half = new Float64Array(64);

/** Cosine transform of a block in place, or its inverse; rows, then columns. */
function transform(block: Float64Array, inverse: boolean): void {
  const weights = inverse ? BACK : FORTH;
  for (let row = 0; row < 8; row++)
    for (let u = 0; u < 8; u++) {
      let sum = 0;
      for (let x = 0; x < 8; x++) sum += weights[8 * u + x]! * block[8 * row + x]!;
      half[8 * row + u] = sum;
    }
  for (let column = 0; column < 8; column++)
    for (let u = 0; u < 8; u++) {
      let sum = 0;
      for (let x = 0; x < 8; x++) sum += weights[8 * u + x]! * half[8 * x + column]!;
      block[8 * u + column] = sum;
    }
}
