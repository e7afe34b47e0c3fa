import type { Build } from '../../../build/index.ts';

/** Size of a sheet of paper and what is kept free around the text, mm. */
export interface Paper {
  name: string;
  /** For the page rule of the browser's print. */
  cssName: 'A4' | 'letter';
  widthMm: number;
  heightMm: number;
  sideMm: number;
  topMm: number;
  bottomMm: number;
}

/** ISO 216 and ANSI/ASME Y14.1. The margins are wider than what office printers leave blank. */
export const PAPERS: Readonly<Record<Build['sheet']['paper'], Paper>> = {
  a4: { name: 'A4', cssName: 'A4', widthMm: 210, heightMm: 297, sideMm: 13, topMm: 10, bottomMm: 8 },
  letter: {
    name: 'US Letter',
    cssName: 'letter',
    widthMm: 215.9,
    heightMm: 279.4,
    sideMm: 13,
    topMm: 9,
    bottomMm: 7.5,
  },
};

/** CSS pixels a millimetre: 96 to the inch. */
export const PX_PER_MM = 96 / 25.4;

/** Foot line of every page, mm. */
export const FOOT_MM = 5;

/** How much is printed of what can be left out: the sheet takes the fullest that keeps it on two pages. */
export interface Density {
  /** Engine speeds in the table of points, at the most. */
  pointRows: number;
  /** Engine speeds in the calibration tables, at the most. */
  calibrationRows: number;
  /** 0: the usual type, 1 and 2: smaller. */
  type: 0 | 1 | 2;
  /** Areas of the wheels are left out: they follow from the diameters, and stand on the candidate's card. */
  withoutAreas?: boolean;
  /** Findings of a candidate in full, at the least its stops; the others are counted. */
  findings?: number;
}

export const DENSITIES: readonly Density[] = [
  { pointRows: 30, calibrationRows: 24, type: 0 },
  { pointRows: 20, calibrationRows: 20, type: 0 },
  { pointRows: 20, calibrationRows: 14, type: 1 },
  { pointRows: 14, calibrationRows: 12, type: 0 },
  { pointRows: 12, calibrationRows: 10, type: 1 },
  { pointRows: 12, calibrationRows: 10, type: 2 },
  { pointRows: 12, calibrationRows: 7, type: 1 },
  { pointRows: 10, calibrationRows: 7, type: 2 },
  { pointRows: 7, calibrationRows: 7, type: 1 },
  { pointRows: 7, calibrationRows: 6, type: 2 },
  { pointRows: 6, calibrationRows: 6, type: 2, withoutAreas: true },
  { pointRows: 6, calibrationRows: 5, type: 2, withoutAreas: true },
  { pointRows: 6, calibrationRows: 3, type: 2, withoutAreas: true },
  { pointRows: 6, calibrationRows: 3, type: 2, withoutAreas: true, findings: 5 },
  { pointRows: 4, calibrationRows: 3, type: 2, withoutAreas: true, findings: 3 },
  { pointRows: 3, calibrationRows: 2, type: 2, withoutAreas: true, findings: 3 },
];

/** A sheet is one or two pages. */
export const MOST_PAGES = 2;

/** Steps that a reader can continue in his head, rpm. */
const STEPS = [250, 500, 1000, 2000, 5000];

/**
 * Indices of engine speeds for a table with room for `most` rows: all of them, else those at the finest round step that fits, with both
 * ends. Never fewer than both ends.
 *
 * @param speeds rising, rpm
 */
export function spacedRows(speeds: readonly number[], most: number): number[] {
  const all = speeds.map((_, i) => i);
  if (speeds.length <= most) return all;
  const last = speeds.length - 1;
  for (const step of STEPS) {
    const picked = all.filter((i) => i === 0 || i === last || isRound(speeds[i] ?? 0, step));
    if (picked.length <= most && picked.length > most / 3) return picked;
  }
  const count = Math.max(2, Math.min(most, speeds.length));
  return [...new Set(Array.from({ length: count }, (_, k) => Math.round((k * last) / (count - 1))))];
}

function isRound(speed: number, step: number): boolean {
  const rest = speed % step;
  return Math.min(rest, step - rest) < 1e-6;
}

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
