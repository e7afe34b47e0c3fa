import { useEffect, useState } from 'react';
import type { SheetPicture } from '../../../../build/index.ts';
import type { FollowedStroke, PixelPlace, SnappedPlace } from '../../../../reading/pixels/index.ts';
import { useLugline } from '../../../../store/index.ts';

interface LoadedPicture {
  /** null: none, still being decoded, or not to be had (see problem). */
  levels: PictureLevels | null;
  pixels: PixelReader | null;
  problem: string | null;
}

const NONE: LoadedPicture = { levels: null, pixels: null, problem: null };

/** The open map's picture, decoded for drawing, with the worker that reads its pixels. */
export function usePicture(picture: SheetPicture | null): LoadedPicture {
  const shelf = useLugline((state) => state.pictures);
  const [loaded, setLoaded] = useState<LoadedPicture & { id: string | null }>({ ...NONE, id: null });
  const id = picture?.id ?? null;
  useEffect(() => {
    if (id === null) return;
    let isGone = false;
    let open: PictureLevels | null = null;
    let pixels: PixelReader | null = null;
    const show = (levels: PictureLevels) => {
      open = levels;
      if (isGone) levels.close();
      else setLoaded({ id, levels, pixels, problem: null });
    };
    const fail = (problem: string) => !isGone && setLoaded({ ...NONE, id, problem });
    shelf.get(id).then(async (kept) => {
      if (kept === null)
        return fail(
          'The picture is not on this machine: it was left out of the file, or the browser cleared it. Open it again below; axes and points stay.',
        );
      pixels = openPixels(kept.bytes);
      if (isGone) return pixels.close();
      await loadLevels(kept.bytes, show).catch(() => fail('The browser has no memory left for the picture.'));
    });
    return () => {
      isGone = true;
      open?.close();
      pixels?.close();
    };
  }, [id, shelf]);
  return loaded.id === id ? loaded : NONE;
}

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
async function loadLevels(bytes: Blob, onMore: (picture: PictureLevels) => void): Promise<PictureLevels> {
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

/** Looks for strokes in the open picture, away from the page's own thread. */
export interface PixelReader {
  /** The centre of the stroke near a place; null: none near, or the pixels cannot be read. */
  snap(place: PixelPlace, radiusPx: number): Promise<SnappedPlace | null>;
  follow(place: PixelPlace, options: FollowAsk): Promise<FollowedStroke>;
  close(): void;
}

type FollowAsk = { radiusPx: number; thinPx: number; mostPoints: number };

/** Starts the worker with the picture's bytes. */
function openPixels(bytes: Blob): PixelReader {
  const worker = new Worker(new URL('./pixelWorker.ts', import.meta.url), { type: 'module' });
  const waiting = new Map<number, (answer: PixelAnswer) => void>();
  let lastId = 0;
  worker.onmessage = ({ data }: MessageEvent<PixelAnswer>) => {
    waiting.get(data.id)?.(data);
    waiting.delete(data.id);
  };
  worker.onerror = () => {
    for (const [id, done] of waiting) done({ id, ok: false, message: 'The pixels of the picture cannot be read.' });
    waiting.clear();
  };
  const ask = (question: PixelAsk): Promise<PixelAnswer> =>
    new Promise((resolve) => {
      lastId += 1;
      waiting.set(lastId, resolve);
      worker.postMessage({ ...question, id: lastId } satisfies PixelQuestion);
    });
  // Answers come in the order of the questions: what is asked meanwhile waits for the pixels.
  const ready = ask({ ask: 'load', bytes });
  return {
    async snap(place, radiusPx) {
      const loaded = await ready;
      if (!loaded.ok) return null;
      const answer = await ask({ ask: 'snap', place, radiusPx });
      return answer.ok ? (answer.snapped ?? null) : null;
    },
    async follow(place, options) {
      const loaded = await ready;
      const answer = loaded.ok ? await ask({ ask: 'follow', place, ...options }) : loaded;
      if (answer.ok && answer.followed !== undefined) return answer.followed;
      const message = answer.ok ? 'Nothing was found.' : answer.message;
      return { ok: false, reason: 'no-stroke', message };
    },
    close: () => worker.terminate(),
  };
}

/** What the page asks of the worker that holds the pixels. */
type PixelAsk =
  | { ask: 'load'; bytes: Blob }
  | { ask: 'snap'; place: PixelPlace; radiusPx: number }
  | ({ ask: 'follow'; place: PixelPlace } & FollowAsk);
export type PixelQuestion = PixelAsk & { id: number };

export type PixelAnswer =
  | { id: number; ok: true; snapped?: SnappedPlace | null; followed?: FollowedStroke }
  | { id: number; ok: false; message: string };
