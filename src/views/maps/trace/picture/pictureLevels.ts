/** A picture ready for drawing: full size first, then halved again and again, so that drawing it small costs little. */
export interface PictureLevels {
  width: number;
  height: number;
  /** Level 0 is full size; level k is 2^k times smaller. More may come while it is looked at. */
  levels: readonly ImageBitmap[];
  close(): void;
}

/** Once a level is as small as a screen, smaller ones gain nothing. */
const SMALL_ENOUGH = 1600;

/**
 * Decodes a kept picture. `onMore` is called with the levels that there are, the first time as soon as it can be drawn. Rejects where
 * the browser cannot decode it (no memory).
 */
export async function loadLevels(bytes: Blob, onMore: (picture: PictureLevels) => void): Promise<PictureLevels> {
  const full = await createImageBitmap(bytes);
  const made: ImageBitmap[] = [full];
  let isClosed = false;
  const picture = (): PictureLevels => ({
    width: full.width,
    height: full.height,
    levels: [...made],
    close: () => {
      isClosed = true;
      for (const level of made) level.close();
    },
  });
  onMore(picture());
  while (Math.max(made.at(-1)!.width, made.at(-1)!.height) > SMALL_ENOUGH) {
    const last = made.at(-1)!;
    const half = {
      resizeWidth: Math.max(1, last.width >> 1),
      resizeHeight: Math.max(1, last.height >> 1),
      resizeQuality: 'medium' as const,
    };
    const next = await createImageBitmap(last, half);
    if (isClosed) {
      next.close();
      break;
    }
    made.push(next);
    onMore(picture());
  }
  return picture();
}

/** The smallest level that still has a pixel for every device pixel. */
export function levelFor(levels: readonly ImageBitmap[], deviceScale: number): number {
  const wanted = Math.floor(Math.log2(1 / Math.max(deviceScale, 1e-6)));
  return Math.min(levels.length - 1, Math.max(0, wanted));
}
