import { useEffect, useState } from 'react';
import type { SheetPicture } from '../../../../build/index.ts';
import { useLugline } from '../../../../store/index.ts';
import { loadLevels, type PictureLevels } from './pictureLevels.ts';
import { openPixels, type PixelReader } from './pixelReader.ts';

export interface LoadedPicture {
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
