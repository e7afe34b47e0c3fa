import { formatNumber } from './format.ts';

/*
 * One limit for what is pasted, typed and opened: what could be made here must open again, and the page must not stall.
 */

/** Points of a map, and rows of any table. */
export const MOST_ROWS = 5_000;
/** A table of so many rows is shorter than this; nothing longer is looked at. */
const MOST_CHARACTERS = 500_000;

const many = (count: number) => formatNumber(count, 0);

/** Why a pasted text is not looked at, or null. */
export function pasteTooLong(text: string): string | null {
  if (text.length <= MOST_CHARACTERS) return null;
  return `The clipboard holds ${many(text.length)} characters; at most ${many(MOST_CHARACTERS)} are read as a table. Nothing is pasted: copy less of it.`;
}

/** Why a table of so many rows is not taken, or null. */
export function tableTooLong(rows: number): string | null {
  if (rows <= MOST_ROWS) return null;
  return `That would be ${many(rows)} rows; a table holds at most ${many(MOST_ROWS)}. Nothing is taken: thin it out.`;
}
