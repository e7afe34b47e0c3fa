import { parseClipboardTable } from '../../../widgets/index.ts';

/** A pasted text as cells. Empty rows stay: they part blocks. */
export type Cells = readonly (readonly string[])[];

/**
 * Text from a spreadsheet, a CSV file or a web page to cells. As the tables everywhere read it, and beyond that: a printed table whose
 * columns are parted by blanks and that has words between its numbers ('N = 90000').
 * @returns rows of trimmed cells; [] for blank text.
 */
export function splitTable(text: string): Cells {
  const cells = parseClipboardTable(text);
  const columns = Math.max(0, ...cells.map((row) => row.length));
  const spaced = cells.filter((row) => row.length === 1 && /\d\s+\d/.test(row[0] ?? '')).length;
  if (columns > 1 || spaced === 0) return cells.map(withoutBlanks);
  return cells.map((row) => withoutBlanks((row[0] ?? '').trim().split(/\s+/)));
}

function withoutBlanks(row: readonly string[]): readonly string[] {
  return row.every((cell) => cell === '') ? [] : row;
}
