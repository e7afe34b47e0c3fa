import { parseNumber } from '../../units/index.ts';
import { isNothing, type Layout } from './layout.ts';

/** Numbers of the columns that are used, a value a row; NaN where a cell holds none. */
export interface Scanned {
  readonly columns: Float64Array[];
  readonly rows: number;
  /** Line of the file of every row, from 1. */
  readonly lines: Int32Array;
  /** Rows before which the names row stands again. */
  readonly restarts: readonly number[];
  /** Lines skipped because fewer than half of their used cells are numbers, and rows that end early: how many, the first one's line. */
  readonly textRows: Tally;
  readonly shortRows: Tally;
  /** By column: cells with text that is no number. */
  readonly unreadable: readonly (Tally & { text: string })[];
}

interface Tally {
  count: number;
  line: number;
}

const POWERS = Array.from({ length: 23 }, (_, power) => 10 ** power);
const [SPACE, QUOTE, PLUS, MINUS, ZERO, RETURN, NEWLINE, NO_BREAK] = [32, 34, 43, 45, 48, 13, 10, 160];

/**
 * Reads the cells of `used` columns (ascending) as numbers. Plain ones are read character by character, exactly: a mantissa below 2^53
 * and a power of ten up to 22 are both exact in a double, so their quotient is rounded once, as the standard asks. All others go to
 * `readCell`.
 */
export function scanRows(
  text: string,
  layout: Layout,
  used: readonly number[],
  onProgress?: (share: number) => void,
): Scanned {
  const separator = layout.separator.charCodeAt(0);
  const decimal = layout.decimal.charCodeAt(0);
  const { headerLine } = layout;
  const most = countLines(text, layout.dataAt);
  const columns = used.map(() => new Float64Array(most));
  const lines = new Int32Array(most);
  const restarts: number[] = [];
  const textRows: Tally = { count: 0, line: 0 };
  const shortRows: Tally = { count: 0, line: 0 };
  const unreadable = used.map(() => ({ count: 0, line: 0, text: '' }));
  const needed = Math.max(1, Math.ceil(used.length / 2));
  const length = text.length;
  const texts: { slot: number; text: string }[] = [];
  let row = 0;
  let line = layout.dataLine - 1;
  let at = layout.dataAt;
  while (at < length) {
    line += 1;
    if (onProgress !== undefined && (line & 0x3fff) === 0) onProgress(at / length);
    if (headerLine !== '' && text.charCodeAt(at) === headerLine.charCodeAt(0) && text.startsWith(headerLine, at)) {
      restarts.push(row);
      const end = text.indexOf('\n', at);
      at = end === -1 ? length : end + 1;
      continue;
    }
    const lineAt = at;
    let slot = 0;
    let read = 0;
    texts.length = 0;
    for (let column = 0; ; column += 1) {
      const wanted = used[slot] === column;
      let value = Number.NaN;
      let isPlain = false;
      const cellAt = at;
      let code = text.charCodeAt(at);
      if (wanted) {
        while (code === SPACE || code === NO_BREAK) code = text.charCodeAt(++at);
        const isNegative = code === MINUS;
        if (isNegative || code === PLUS) code = text.charCodeAt(++at);
        const digitsAt = at;
        let mantissa = 0;
        while (code >= ZERO && code <= 57) {
          mantissa = mantissa * 10 + code - ZERO;
          code = text.charCodeAt(++at);
        }
        let digits = at - digitsAt;
        let scale = 0;
        if (code === decimal) {
          const fractionAt = at + 1;
          code = text.charCodeAt(++at);
          while (code >= ZERO && code <= 57) {
            mantissa = mantissa * 10 + code - ZERO;
            code = text.charCodeAt(++at);
          }
          scale = at - fractionAt;
          digits += scale;
        }
        while (code === SPACE || code === RETURN) code = text.charCodeAt(++at);
        const isEnd = code === separator || code === NEWLINE || at >= length;
        if (isEnd && digits > 0 && digits <= 15) {
          isPlain = true;
          value = mantissa / POWERS[scale]!;
          if (isNegative) value = -value;
        }
      }
      if (!isPlain) {
        // To the end of the cell; a separator inside quotes belongs to it.
        at = cellAt;
        code = text.charCodeAt(at);
        let isQuoted = false;
        while (at < length && code !== NEWLINE && (code !== separator || isQuoted)) {
          if (code === QUOTE) isQuoted = !isQuoted;
          code = text.charCodeAt(++at);
        }
        if (wanted && at > cellAt) {
          const cell = text.slice(cellAt, at);
          value = readCell(cell, layout.decimal);
          if (Number.isNaN(value) && !isNothing(plain(cell))) {
            texts.push({ slot, text: plain(cell).slice(0, 40) });
          }
        }
      }
      if (wanted) {
        if (!Number.isNaN(value)) read += 1;
        columns[slot]![row] = value;
        slot += 1;
      }
      if (code !== separator || at >= length) break;
      at += 1;
    }
    const isShort = slot < used.length;
    const isBlank = at === lineAt || (read === 0 && text.slice(lineAt, at).trim() === '');
    at += 1;
    if (isBlank) continue;
    // A row whose cells are empty is a row; one that says something else is a remark between rows.
    if (read === 0 || (read < needed && texts.length > 0)) {
      if (textRows.count++ === 0) textRows.line = line;
      continue;
    }
    if (isShort) {
      for (; slot < used.length; slot += 1) columns[slot]![row] = Number.NaN;
      if (shortRows.count++ === 0) shortRows.line = line;
    }
    for (const { slot: at, text: cell } of texts) {
      const tally = unreadable[at]!;
      if (tally.count++ === 0) Object.assign(tally, { line, text: cell });
    }
    lines[row] = line;
    row += 1;
  }
  return {
    columns: columns.map((column) => column.subarray(0, row)),
    rows: row,
    lines: lines.subarray(0, row),
    restarts: restarts.filter((at) => at > 0 && at < row),
    textRows,
    shortRows,
    unreadable,
  };
}

function countLines(text: string, from: number): number {
  let count = 1;
  for (let at = text.indexOf('\n', from); at !== -1; at = text.indexOf('\n', at + 1)) count += 1;
  return count;
}

const plain = (cell: string): string => cell.replace(/^\s*"|"\s*$/g, '').trim();

/** One cell as people and loggers write it; seconds of the day for a time of day; NaN for what is no number. */
export function readCell(cell: string, decimal: '.' | ','): number {
  const text = plain(cell);
  if (text === '' || text.length > 60) return Number.NaN;
  if (text.includes(':')) return readClock(text);
  if (!/\d/.test(text)) return Number.NaN;
  const exact = decimal === ',' ? text.replace(',', '.') : text;
  if (/^[-+]?\d*\.?\d*(?:[eE][-+]?\d+)?$/.test(exact) && Number.isFinite(Number(exact))) return Number(exact);
  const ungrouped = decimal === ',' && /^[-+]?\d{1,3}(\.\d{3})+(,\d+)?$/.test(text) ? text.replaceAll('.', '') : text;
  const parsed = parseNumber(ungrouped, decimal === ',' ? 'decimal' : 'integer-like');
  return parsed.ok ? parsed.value : Number.NaN;
}

/** '12:04:33,250', '2026-05-01 12:04:33.25', '1:07.5' (minutes and seconds): seconds, since midnight where it is a time of day. */
function readClock(text: string): number {
  const match = /(?:^|[ T])(\d{1,3}):(\d{2})(?::(\d{2}))?(?:[.,:](\d{1,9}))?\s*(am|pm)?(?:Z|[+-]\d{2}:?\d{2})?$/i.exec(
    text,
  );
  if (match === null) return Number.NaN;
  const [, first, second, third, fraction, half] = match;
  const share = fraction === undefined ? 0 : Number(`0.${fraction}`);
  // Two parts with a fraction are minutes and seconds; without one, hours and minutes.
  if (third === undefined && fraction !== undefined) return Number(first) * 60 + Number(second) + share;
  const hours = half === undefined ? Number(first) : (Number(first) % 12) + (half.toLowerCase() === 'pm' ? 12 : 0);
  return hours * 3600 + Number(second) * 60 + Number(third ?? 0) + share;
}

/** Larger files are refused: they would not fit beside their own numbers. */
const MOST_LOG_BYTES = 100 * 1024 * 1024;

/** Why a file of so many bytes is not read at all; null: it is. */
export function logTooLarge(bytes: number): string | null {
  const size = Math.ceil(bytes / 1024 / 1024);
  return bytes > MOST_LOG_BYTES
    ? `The file has ${size} MB; logs up to 100 MB are read. Cut it to the pulls, or leave channels out.`
    : null;
}

/** The text of a log, or one sentence that says why there is none and what to do. */
export function decodeLog(bytes: Uint8Array): { ok: true; text: string } | { ok: false; message: string } {
  const refuse = (message: string) => ({ ok: false as const, message });
  if (bytes.length === 0) return refuse('The file is empty. Record the log again, or choose another file.');
  const tooLarge = logTooLarge(bytes.length);
  if (tooLarge !== null) return refuse(tooLarge);
  if (bytes[0] === 0x50 && bytes[1] === 0x4b && bytes[2] === 3) {
    return refuse('This is a packed file or a workbook, not text. Unpack it, or save the table as CSV, and open that.');
  }
  const text = textOf(bytes);
  if (text === null) {
    return refuse('This is no text: it holds binary data. Export the log as CSV from the logger and open that.');
  }
  return text.trim() === ''
    ? refuse('The file holds only blanks. Record the log again, or choose another file.')
    : { ok: true, text: /\n/.test(text) ? text : text.replace(/\r/g, '\n') };
}

function textOf(bytes: Uint8Array): string | null {
  const encoding = wideEncoding(bytes);
  if (encoding !== null) return new TextDecoder(encoding).decode(bytes);
  const head = bytes.subarray(0, 65_536);
  const control = head.reduce((count, byte) => count + (byte < 9 || (byte > 13 && byte < 32) ? 1 : 0), 0);
  if (head.includes(0) || control > head.length / 100) return null;
  try {
    return new TextDecoder('utf-8', { fatal: true }).decode(bytes);
  } catch {
    return new TextDecoder('windows-1252').decode(bytes);
  }
}

/** UTF-16, by its mark or because nearly every second byte of plain text is zero. */
function wideEncoding(bytes: Uint8Array): 'utf-16le' | 'utf-16be' | null {
  if (bytes[0] === 0xff && bytes[1] === 0xfe) return 'utf-16le';
  if (bytes[0] === 0xfe && bytes[1] === 0xff) return 'utf-16be';
  const pairs = Math.min(bytes.length >> 1, 512);
  let [even, odd] = [0, 0];
  for (let pair = 0; pair < pairs; pair += 1) {
    if (bytes[2 * pair] === 0) even += 1;
    if (bytes[2 * pair + 1] === 0) odd += 1;
  }
  if (pairs < 4 || Math.max(even, odd) < 0.9 * pairs || Math.min(even, odd) > 0.1 * pairs) return null;
  return odd > even ? 'utf-16le' : 'utf-16be';
}
