import type { PicturePlace } from './calibration-types.ts';

/** A place on the sheet in shares of the calibrated ranges: a of flow, b of pressure ratio. */
export interface SharePlace {
  a: number;
  b: number;
}

/**
 * The map from the sheet's plane to the picture's: x = (h0 a + h1 b + h2) / w, y = (h3 a + h4 b + h5) / w, w = h6 a + h7 b + 1.
 * h6 = h7 = 0 is affine. Source: Hartley & Zisserman, Multiple View Geometry, 2nd ed., sec. 2.3 and 2.4.
 */
export type PlaneMap = readonly number[];

/** @returns null on or beyond the horizon (w not above zero). */
export function planeToPicture(h: PlaneMap, { a, b }: SharePlace): PicturePlace | null {
  const w = h[6]! * a + h[7]! * b + 1;
  if (!(w > 1e-9)) return null;
  return { x: (h[0]! * a + h[1]! * b + h[2]!) / w, y: (h[3]! * a + h[4]! * b + h[5]!) / w };
}

/** The inverse. @returns null where no place of the visible side of the sheet is seen there. */
export function pictureToPlane(h: PlaneMap, { x, y }: PicturePlace): SharePlace | null {
  // (h0 - x h6) a + (h1 - x h7) b = x - h2, and the same in y.
  const m00 = h[0]! - x * h[6]!;
  const m01 = h[1]! - x * h[7]!;
  const m10 = h[3]! - y * h[6]!;
  const m11 = h[4]! - y * h[7]!;
  const det = m00 * m11 - m01 * m10;
  const a = ((x - h[2]!) * m11 - (y - h[5]!) * m01) / det;
  const b = ((y - h[5]!) * m00 - (x - h[2]!) * m10) / det;
  const visible = Number.isFinite(a) && Number.isFinite(b) && h[6]! * a + h[7]! * b + 1 > 1e-9;
  return visible ? { a, b } : null;
}

/** Derivatives of the picture place at a sheet place: by the eight numbers of the map, and by a and b. */
export function planeDerivatives(
  h: PlaneMap,
  { a, b }: SharePlace,
): { byMap: [number[], number[]]; byShare: [[number, number], [number, number]] } {
  const w = h[6]! * a + h[7]! * b + 1;
  const x = (h[0]! * a + h[1]! * b + h[2]!) / w;
  const y = (h[3]! * a + h[4]! * b + h[5]!) / w;
  return {
    byMap: [
      [a / w, b / w, 1 / w, 0, 0, 0, (-x * a) / w, (-x * b) / w],
      [0, 0, 0, a / w, b / w, 1 / w, (-y * a) / w, (-y * b) / w],
    ],
    byShare: [
      [(h[0]! - x * h[6]!) / w, (h[1]! - x * h[7]!) / w],
      [(h[3]! - y * h[6]!) / w, (h[4]! - y * h[7]!) / w],
    ],
  };
}
