import { parseNumber, ungrouped, writableText } from '../units/index.ts';

type Delimiter = '\t' | ';' | ',' | 'blanks' | 'none';

/**
 * Cells of a table that was copied from a spreadsheet or a text file: tab, semicolon, comma or blanks between cells, decimal point or
 * decimal comma, cells in double quotes. Cells come back trimmed, as text, unread. Empty lines at the end are left out; rows may differ in
 * length; an empty text gives no rows.
 *
 * How a comma is understood where there is neither tab nor semicolon: it separates cells, except where it can be nothing but part of
 * the numbers, that is where the cells between blanks are all numbers ('0,05 1,42'), or where every line is one number ('0,05', '148,200').
 */
export function parseClipboardTable(text: string): string[][] {
  const lines = ungrouped(writableText(text.replaceAll('\ufeff', ''))).replace(/\r\n?/g, '\n');
  const rows = splitQuoted(lines, delimiterOf(lines));
  while (rows.length > 0 && rows.at(-1)?.every((cell) => cell === '')) rows.pop();
  return rows;
}

/** A matrix of cells as tab-separated text, quoted where a cell holds a tab, a line end or a quote. */
export function formatClipboardTable(matrix: readonly (readonly string[])[]): string {
  return separated(matrix, '\t', '\n', /["\t\n\r]/);
}

/** The same as a CSV file (RFC 4180: comma, CRLF); other separators are quoted, too, so that a reader that guesses guesses right. */
export function formatCsv(matrix: readonly (readonly string[])[]): string {
  return `${separated(matrix, ',', '\r\n', /[",;\t\r\n]/)}\r\n`;
}

function separated(
  matrix: readonly (readonly string[])[],
  separator: string,
  end: string,
  needsQuotes: RegExp,
): string {
  const cell = (text: string) => {
    const harmless = asText(text);
    return needsQuotes.test(harmless) ? `"${harmless.replaceAll('"', '""')}"` : harmless;
  };
  return matrix.map((row) => row.map(cell).join(separator)).join(end);
}

/** What a spreadsheet would run instead of showing it, however many marks of a text stand before it. */
const FORMULA = /^'*[=+\-@\uff1d\uff0b\uff0d\uff20\t\r\n]/;
/** A number with its sign is no formula, nor is a dash by itself. */
const SIGNED_NUMBER = /^[+-](?:[\d.,\s\u00a0]*\d[\d.,\s\u00a0]*(?:e[+-]?\d+)?)?$/i;

/** The spreadsheets' own mark of a text before what they would run. Reading takes it away again. */
function asText(cell: string): string {
  return FORMULA.test(cell) && !SIGNED_NUMBER.test(cell) ? `'${cell}` : cell;
}

function withoutTextMark(cell: string): string {
  return cell.startsWith("'") && FORMULA.test(cell) ? cell.slice(1) : cell;
}

function delimiterOf(text: string): Delimiter {
  const bare = text.replace(/"(?:[^"]|"")*"/g, '""');
  if (bare.includes('\t')) return '\t';
  if (bare.includes(';')) return ';';
  const lines = bare.split('\n').filter((line) => line.trim() !== '');
  if (lines.length > 0 && lines.every(isOneNumber)) return 'none';
  const numbersBetweenBlanks = lines.every((line) => line.trim().split(/\s+/).every(isWholeCell));
  if (numbersBetweenBlanks && lines.some((line) => /\s/.test(line.trim()))) return 'blanks';
  return bare.includes(',') ? ',' : 'none';
}

function isNumber(text: string): boolean {
  return parseNumber(text).ok;
}

/** A number that a comma neither begins nor ends: in '100, 200' the comma stands between cells. */
function isWholeCell(text: string): boolean {
  return isNumber(text) && !/^,|,$/.test(text);
}

/** One number, which may hold commas or single blanks between its thousands; not two columns of integers ('100, 200'). */
function isOneNumber(line: string): boolean {
  return isNumber(line) && !/,\s|\s{2}/.test(line.trim());
}

/** Splits into rows and cells; inside double quotes neither delimiter nor line end counts. */
function splitQuoted(text: string, delimiter: Delimiter): string[][] {
  if (delimiter === 'blanks') {
    return text.split('\n').map((line) => line.trim().split(/\s+/));
  }
  const rows: string[][] = [];
  let row: string[] = [];
  let cell = '';
  let quoted = false;
  let wasQuoted = false;
  const endCell = () => {
    row.push(withoutTextMark(wasQuoted ? cell : cell.trim()));
    cell = '';
    wasQuoted = false;
  };
  for (let i = 0; i < text.length; i++) {
    const c = text.charAt(i);
    if (quoted) {
      if (c !== '"') cell += c;
      else if (text.charAt(i + 1) === '"') {
        cell += c;
        i++;
      } else quoted = false;
    } else if (c === '"' && cell.trim() === '' && !wasQuoted && closesLater(text, i, delimiter)) {
      cell = '';
      quoted = true;
      wasQuoted = true;
    } else if (c === delimiter) endCell();
    else if (c === '\n') {
      endCell();
      rows.push(row);
      row = [];
    } else if (!wasQuoted || c.trim() !== '') cell += c;
  }
  endCell();
  rows.push(row);
  return rows;
}

/** A quote opens a cell only when its partner ends one; an inch sign in plain text does not. */
function closesLater(text: string, open: number, delimiter: Delimiter): boolean {
  for (let i = open + 1; i < text.length; i++) {
    if (text.charAt(i) !== '"') continue;
    if (text.charAt(i + 1) === '"') {
      i++;
      continue;
    }
    let next = i + 1;
    while (text.charAt(next) === ' ') next++;
    const after = text.charAt(next);
    return after === '' || after === '\n' || after === delimiter;
  }
  return false;
}

/** Whether a pasted row is the heading of a table: words, no numbers. */
export function isHeading(cells: readonly string[]): boolean {
  const words = cells.filter((cell) => cell.trim() !== '');
  return words.length > 0 && words.every((cell) => !parseNumber(cell).ok && !/^\W*\d/.test(cell));
}
