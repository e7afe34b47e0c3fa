import type { Page } from 'playwright-core';
import type { DrawnPlace, DrawnSheet } from '../machines/sheet-drawing.ts';

/** A way of taking a picture of a printed sheet. */
export interface Shooting {
  name: string;
  /** Where the four corners of the sheet come to lie: left top, right top, right bottom, left bottom. */
  corners(width: number, height: number): readonly [DrawnPlace, DrawnPlace, DrawnPlace, DrawnPlace];
  type: 'image/png' | 'image/jpeg';
  quality: number;
}

export interface SheetPicture {
  name: string;
  mimeType: string;
  buffer: Buffer;
  /** Exact place of a sheet place in the picture. */
  placeOf(sheetPlace: DrawnPlace): DrawnPlace;
}

/** Plain homography from the sheet to the picture, as eight numbers (h8 = 1). */
type Plane = readonly number[];

/** Draws the sheet in the browser as it would lie in a scan or a photo. `blank` is any page without a policy of its own. */
export async function shootSheet(
  blank: Page,
  sheet: Pick<DrawnSheet, 'svg' | 'width' | 'height'>,
  shooting: Shooting,
): Promise<SheetPicture> {
  const { width, height } = sheet;
  const corners = shooting.corners(width, height);
  const forward = planeOf(
    [
      { x: 0, y: 0 },
      { x: width, y: 0 },
      { x: width, y: height },
      { x: 0, y: height },
    ],
    corners,
  );
  const back = planeOf(corners, [
    { x: 0, y: 0 },
    { x: width, y: 0 },
    { x: width, y: height },
    { x: 0, y: height },
  ]);
  const data = await blank.evaluate(draw, {
    svg: sheet.svg,
    width,
    height,
    back,
    type: shooting.type,
    quality: shooting.quality,
  });
  const extension = shooting.type === 'image/png' ? 'png' : 'jpg';
  return {
    name: `${shooting.name}.${extension}`,
    mimeType: shooting.type,
    buffer: Buffer.from(data, 'base64'),
    placeOf: (place) => onPlane(forward, place),
  };
}

/** In the page: the drawing three times as large, sampled four times a pixel through the plane's inverse. */
async function draw(job: {
  svg: string;
  width: number;
  height: number;
  back: Plane;
  type: string;
  quality: number;
}): Promise<string> {
  const { width, height, back: h } = job;
  const fine = 3;
  const image = new Image();
  image.src = `data:image/svg+xml;base64,${btoa(unescape(encodeURIComponent(job.svg)))}`;
  await image.decode();
  const source = new OffscreenCanvas(width * fine, height * fine).getContext('2d')!;
  source.drawImage(image, 0, 0, width * fine, height * fine);
  const from = source.getImageData(0, 0, width * fine, height * fine);
  const canvas = new OffscreenCanvas(width, height);
  const context = canvas.getContext('2d')!;
  const to = context.createImageData(width, height);
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      const sum = [0, 0, 0];
      for (let s = 0; s < 9; s++) {
        const px = x + ((s % 3) + 0.5) / 3;
        const py = y + (Math.floor(s / 3) + 0.5) / 3;
        const w = h[6]! * px + h[7]! * py + 1;
        const sx = Math.floor(((h[0]! * px + h[1]! * py + h[2]!) / w) * fine);
        const sy = Math.floor(((h[3]! * px + h[4]! * py + h[5]!) / w) * fine);
        const isOn = sx >= 0 && sy >= 0 && sx < from.width && sy < from.height;
        // Beside the sheet: the table that it lies on.
        for (let c = 0; c < 3; c++) sum[c]! += isOn ? from.data[4 * (sy * from.width + sx) + c]! : 205;
      }
      for (let c = 0; c < 3; c++) to.data[4 * (y * width + x) + c] = sum[c]! / 9;
      to.data[4 * (y * width + x) + 3] = 255;
    }
  }
  context.putImageData(to, 0, 0);
  const blob = await canvas.convertToBlob({ type: job.type, quality: job.quality });
  const bytes = new Uint8Array(await blob.arrayBuffer());
  let text = '';
  for (let i = 0; i < bytes.length; i += 8192) text += String.fromCharCode(...bytes.subarray(i, i + 8192));
  return btoa(text);
}

function onPlane(h: Plane, { x, y }: DrawnPlace): DrawnPlace {
  const w = h[6]! * x + h[7]! * y + 1;
  return { x: (h[0]! * x + h[1]! * y + h[2]!) / w, y: (h[3]! * x + h[4]! * y + h[5]!) / w };
}

/** The homography through four pairs, by elimination. Source: Hartley & Zisserman, Multiple View Geometry, sec. 2.3, example 2.12. */
function planeOf(from: readonly DrawnPlace[], to: readonly DrawnPlace[]): Plane {
  const rows = from.flatMap(({ x, y }, i) => {
    const { x: u, y: v } = to[i]!;
    return [
      [x, y, 1, 0, 0, 0, -u * x, -u * y, u],
      [0, 0, 0, x, y, 1, -v * x, -v * y, v],
    ];
  });
  for (let k = 0; k < 8; k++) {
    const best = rows.slice(k).reduce((a, r, i) => (Math.abs(r[k]!) > Math.abs(rows[k + a]![k]!) ? i : a), 0) + k;
    [rows[k], rows[best]] = [rows[best]!, rows[k]!];
    for (let r = 0; r < 8; r++) {
      if (r === k) continue;
      const factor = rows[r]![k]! / rows[k]![k]!;
      for (let c = k; c < 9; c++) rows[r]![c]! -= factor * rows[k]![c]!;
    }
  }
  return rows.map((row, k) => row[8]! / row[k]!);
}
