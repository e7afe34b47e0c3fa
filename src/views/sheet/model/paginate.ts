/** A piece of the sheet that is never split between pages. */
export interface MeasuredBand {
  key: string;
  heightPx: number;
  /** Begins a new page when it would otherwise stand alone at the foot of one, together with the next. */
  keepWithNext?: boolean | undefined;
}

export interface PageOfBands {
  keys: readonly string[];
  /** What is left below its last band. */
  freePx: number;
}

/**
 * Puts bands on pages in their order, each whole on one page. A band higher than a page has a page to itself and its `freePx` is
 * negative, so that whoever asks can see that it does not fit.
 *
 * @param gapPx between two bands of a page
 */
export function paginate(bands: readonly MeasuredBand[], pagePx: number, gapPx: number): PageOfBands[] {
  const pages: { keys: string[]; freePx: number }[] = [];
  bands.forEach((band, i) => {
    const page = pages.at(-1);
    const next = band.keepWithNext ? bands[i + 1] : undefined;
    const needed = band.heightPx + (next === undefined ? 0 : gapPx + next.heightPx);
    if (page !== undefined && page.keys.length > 0 && gapPx + needed <= page.freePx) {
      page.keys.push(band.key);
      page.freePx -= gapPx + band.heightPx;
    } else {
      pages.push({ keys: [band.key], freePx: pagePx - band.heightPx });
    }
  });
  return pages;
}
