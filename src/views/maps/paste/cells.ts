import { parseNumber } from '../../../units/index.ts';
import { parseClipboardTable } from '../../../widgets/index.ts';

/** A cell without the percent sign or the ':1' that may stand behind a number. */
export function bareCell(cell: string | undefined): string {
  return (cell ?? '').replace(/\s*(?:%|:\s*1)$/, '');
}

/** A cell as a number: what `bareCell` takes away is passed over. null when it is none. */
export function cellNumber(cell: string | undefined, isSpeed = false): number | null {
  const parsed = parseNumber(bareCell(cell), isSpeed ? 'integer-like' : 'decimal');
  return parsed.ok ? parsed.value : null;
}

/** A pasted text as cells. Empty rows stay: they part blocks. */
export type Cells = readonly (readonly string[])[];

/**
 * Text from a spreadsheet, a CSV file or a web page to cells. As the tables everywhere read it, and beyond that: bars between cells, and a
 * printed table whose columns are parted by blanks and that has words between its numbers ('N = 90000').
 * @returns rows of trimmed cells; [] for blank text.
 */
export function splitTable(text: string): Cells {
  const printed = printedTable(text);
  if (printed !== null) return withoutPoints(printed.map(withoutBlanks));
  const cells = parseClipboardTable(withoutBars(text));
  const columns = Math.max(0, ...cells.map((row) => row.length));
  const spaced = cells.filter((row) => row.length === 1 && /\d\s+\d/.test(row[0] ?? '')).length;
  const split = columns > 1 || spaced === 0 ? cells : cells.map((row) => (row[0] ?? '').trim().split(/\s+/));
  return withoutPoints(split.map(withoutBlanks));
}

/**
 * A printed table: most of its lines are numbers with blanks between them, decimal commas and blanks between thousands among them.
 * @returns null where something else parts its cells
 */
function printedTable(text: string): string[][] | null {
  if (/[\t;|"]/.test(text)) return null;
  const lines = text.split(/\r\n?|\n/).map((line) => line.trim());
  const isNumber = (token: string) => cellNumber(token) !== null && !/^,|,$/.test(token);
  const numbers = lines.filter((line) => line.includes(' ') && line.split(/ +/).every(isNumber));
  if (numbers.length < 2 || 2 * numbers.length < lines.filter((line) => line !== '').length) return null;
  const isWide = numbers.every((line) => line.includes('  '));
  // '80 000 0.08': no flow is 000.
  const isGrouped =
    numbers.every((line) => /^\d{1,3} \d00 /.test(line)) && numbers.some((line) => line.includes(' 000 '));
  const cellsOf = (line: string) => {
    if (isWide) return line.split(/ {2,}/).map((cell) => cell.replaceAll(' ', ''));
    return (isGrouped ? line.replace(' ', '') : line).split(/ +/);
  };
  const widths = numbers.map((line) => cellsOf(line).length).sort((a, b) => a - b);
  const width = widths[widths.length >> 1];
  // The words of a heading may hold blanks themselves: 'Mass flow [kg/s]'.
  const wordsOf = (line: string) =>
    [/ {2,}/, / +/, /(?<=[\])]) +/].map((gap) => line.split(gap)).find((cells) => cells.length === width) ?? [line];
  return lines.map((line) => (numbers.includes(line) ? cellsOf(line) : wordsOf(line)));
}

/** A table drawn with bars between its cells, as notes and forums have it: tabs in their place, and no rule under its head. */
function withoutBars(text: string): string {
  const lines = text.split(/\r?\n/);
  if (lines.filter((line) => line.split('|').length > 2).length < 2) return text;
  return lines
    .filter((line) => !/^[\s|:+-]*-[\s|:+-]*$/.test(line))
    .map((line) =>
      line
        .trim()
        .replace(/^\||\|$/g, '')
        .replaceAll('|', '\t'),
    )
    .join('\n');
}

/** Where a comma can be nothing but the decimal sign, a point before three digits parts thousands: 80.000 beside 0,08. */
function withoutPoints(cells: Cells): Cells {
  const isDecimalComma = cells.some((row) => row.some((cell) => /^\d+,(?:\d{1,2}|\d{4,})$|^0,\d+$/.test(cell)));
  const isGrouped = /^\d{1,3}(?:\.\d{3})+$/;
  if (!isDecimalComma) return cells;
  return cells.map((row) => row.map((cell) => (isGrouped.test(cell) ? cell.replaceAll('.', '') : cell)));
}

function withoutBlanks(row: readonly string[]): readonly string[] {
  return row.every((cell) => cell === '') ? [] : row;
}

/**
 * Which line each row of a table without speeds belongs to: an empty row, or one of words, behind rows of numbers begins another.
 * @returns for every row that is not empty, in order, the number of its line from 0
 */
export function lineBlocks(cells: Cells): number[] {
  let block = 0;
  let hasNumbers = false;
  const blocks: number[] = [];
  for (const row of cells) {
    const isNumbers = row.filter((cell) => cellNumber(cell) !== null).length >= 2;
    if (!isNumbers && hasNumbers) {
      block += 1;
      hasNumbers = false;
    }
    hasNumbers ||= isNumbers;
    if (row.some((cell) => cell !== '')) blocks.push(block);
  }
  return blocks;
}
