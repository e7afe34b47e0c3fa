/** A piece of the sheet that is never split between pages. */
export interface MeasuredBand {
  key: string;
  heightPx: number;
  /** May stand before its turn where it fills a page that the next band no longer fits on. */
  mayMoveUp?: boolean | undefined;
}

export interface PageOfBands {
  keys: readonly string[];
  /** What is left below its last band. */
  freePx: number;
}

/**
 * Puts bands on pages in their order, each whole on one page; one that may move up fills room that would stay empty. A band higher than a
 * page has a page to itself and its `freePx` is negative, so that whoever asks can see that it does not fit.
 *
 * @param gapPx between two bands of a page
 */
export function paginate(bands: readonly MeasuredBand[], pagePx: number, gapPx: number): PageOfBands[] {
  const pages: PageOfBands[] = [];
  let left = [...bands];
  while (left.length > 0) {
    const page = fill(left, pagePx, gapPx);
    pages.push(page);
    left = left.filter(({ key }) => !page.keys.includes(key));
  }
  return pages;
}

function fill(bands: readonly MeasuredBand[], pagePx: number, gapPx: number): PageOfBands {
  const keys: string[] = [];
  let freePx = pagePx;
  let isFull = false;
  for (const { key, heightPx, mayMoveUp } of bands) {
    const needed = heightPx + (keys.length === 0 ? 0 : gapPx);
    if (keys.length > 0 && (needed > freePx || (isFull && mayMoveUp !== true))) {
      isFull = true;
      continue;
    }
    keys.push(key);
    freePx -= needed;
  }
  return { keys, freePx };
}
