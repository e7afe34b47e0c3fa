import type { LogHints } from './types.ts';
import { readUnit } from './units.ts';

/** How the text is laid out as a table. */
export interface Layout {
  readonly separator: string;
  readonly decimal: '.' | ',';
  /** Names of the columns; 'column 3' where the file has none. */
  readonly names: readonly string[];
  /** The units row's cells, or null. */
  readonly units: readonly string[] | null;
  /** The names row as it stands: found again, it begins a session. '' where there is none. */
  readonly headerLine: string;
  /** Character at which the first row of numbers begins, and its line from 1. */
  readonly dataAt: number;
  readonly dataLine: number;
  /** Rows spread over the file, cells as they stand. */
  readonly sample: readonly (readonly string[])[];
  readonly sampleLines: readonly string[];
  /** True where a comma may part thousands as well as decimals: which of the two it is was guessed. */
  readonly decimalInDoubt: boolean;
}

export const SEPARATORS = [';', '\t', '|', ','] as const;
const PROBED_LINES = 50;
const SAMPLED_ROWS = 400;

/** Cells of one line: quotes hold a cell together and fall away; blanks around a cell too. */
export function splitLine(line: string, separator: string): string[] {
  if (!line.includes('"')) return line.split(separator).map((cell) => cell.trim());
  const cells: string[] = [];
  let cell = '';
  let quoted = false;
  for (let at = 0; at < line.length; at += 1) {
    const char = line.charAt(at);
    if (char === '"' && quoted && line.charAt(at + 1) === '"') {
      cell += char;
      at += 1;
    } else if (char === '"' && (quoted || cell.trim() === '')) quoted = !quoted;
    else if (char === separator && !quoted) {
      cells.push(cell.trim());
      cell = '';
    } else cell += char;
  }
  cells.push(cell.trim());
  return cells;
}

const NUMBER = /^[-+\u2212]?[\d.,'’\u00a0\u202f ]*\d[\d.,]*(?:[eE][-+]?\d+)?$/;
const CLOCK = /^(?:[\d./-]+[ T])?\d{1,2}:\d{2}(?::\d{2}(?:[.,]\d+)?)?(?:Z|[+-]\d{2}:?\d{2})?$/;
const NOTHING = /^(?:|-+|nan|n\/?a|null|none|#.*)$/i;
export const isReading = (cell: string): boolean => NUMBER.test(cell) || CLOCK.test(cell);
export const isNothing = (cell: string): boolean => NOTHING.test(cell);

/** The layout, or one sentence that says what is missing. `hints` win over what is found. */
export function findLayout(
  text: string,
  hints: Pick<LogHints, 'separator' | 'decimal'>,
): { ok: true; layout: Layout } | { ok: false; path: string; message: string } {
  const head = headLines(text);
  const separator = hints.separator ?? findSeparator(head.map(({ line }) => line));
  if (separator === null)
    return refuse(
      'Line 1',
      'No columns: no line has two cells parted by comma, semicolon, tab or bar. Export the log with one of these between its columns.',
    );
  const rows = head.map(({ line, at }, index) => ({ cells: splitLine(line, separator), line, at, number: index + 1 }));
  const width = commonWidth(rows.map(({ cells }) => cells));
  const isData = (cells: readonly string[]) => {
    const readings = cells.filter(isReading).length;
    const filled = cells.filter((cell) => !isNothing(cell)).length;
    return cells.length >= 2 && cells.length >= width - 1 && readings > 0 && readings >= filled / 2;
  };
  const first = rows.findIndex(({ cells }) => isData(cells));
  if (first === -1) {
    return rows.some(({ cells }) => cells.length >= 2)
      ? refuse(
          `Line ${rows.length}`,
          'No numbers: the file has names of columns but no row of readings under them. Choose a file that holds the log.',
        )
      : refuse('Line 1', 'No table: no line has two cells or more. Choose a file that holds the log.');
  }
  const above = rows
    .slice(0, first)
    .filter(({ cells }) => cells.some((cell) => cell !== '') && cells.length >= Math.max(width - 1, 2));
  const last = above.at(-1);
  const before = above.at(-2);
  const hasUnits =
    last !== undefined && before !== undefined && looksLikeUnits(last.cells) && !looksLikeUnits(before.cells);
  const header = hasUnits ? before : last;
  const { at: dataAt, number: dataLine } = rows[first]!;
  const sampleLines = spreadLines(text, dataAt);
  const sample = sampleLines.map((line) => splitLine(line, separator)).filter(isData);
  const columns = Math.max(width, header?.cells.length ?? 0);
  if (columns < 2)
    return refuse(
      `Line ${dataLine}`,
      'Only one column: a log needs engine speed and manifold pressure side by side. Export more channels.',
    );
  const decimal = findDecimal(sample, separator);
  const layout: Layout = {
    separator,
    decimal: hints.decimal ?? decimal.sign,
    decimalInDoubt: hints.decimal === undefined && decimal.inDoubt,
    names: trimmedNames(header?.cells ?? [], columns, sample),
    units: hasUnits ? last.cells : null,
    headerLine: header?.line ?? '',
    dataAt,
    dataLine,
    sample,
    sampleLines,
  };
  return { ok: true, layout };
}

const refuse = (path: string, message: string) => ({ ok: false as const, path, message });

/** The first lines with where they begin: a preamble, names, units and some rows. */
function headLines(text: string): { line: string; at: number }[] {
  const lines: { line: string; at: number }[] = [];
  let filled = 0;
  for (let at = 0; at < text.length && filled < 2 * PROBED_LINES && lines.length < 500; ) {
    const end = text.indexOf('\n', at);
    const stop = end === -1 ? text.length : end;
    const line = text.slice(at, Math.min(stop, at + 20_000)).replace(/\r$/, '');
    if (line.trim() !== '') filled += 1;
    lines.push({ line, at });
    at = stop + 1;
  }
  return lines;
}

/**
 * The separator whose count of fields is the same on most lines. One that only ever stands inside numbers of another one's cells comes
 * after it: so a decimal comma never beats a semicolon.
 */
function findSeparator(lines: readonly string[]): string | null {
  const filled = lines.filter((line) => line.trim() !== '').slice(-PROBED_LINES);
  let best: { separator: string; share: number } | null = null;
  for (const separator of SEPARATORS) {
    const split = filled.map((line) => splitLine(line, separator));
    const width = commonWidth(split);
    if (width < 2) continue;
    const share = split.filter(({ length }) => Math.abs(length - width) <= 1).length / filled.length;
    if (best === null || share > best.share + 0.2) best = { separator, share };
  }
  return best?.separator ?? null;
}

/** The count of cells that most lines have; of two that are equally frequent the larger. */
function commonWidth(rows: readonly (readonly string[])[]): number {
  const counts = new Map<number, number>();
  for (const { length } of rows) counts.set(length, (counts.get(length) ?? 0) + 1);
  return [...counts].sort(([a, m], [b, n]) => n - m || b - a)[0]?.[0] ?? 0;
}

function looksLikeUnits(cells: readonly string[]): boolean {
  const filled = cells.map((cell) => cell.replace(/^[[(]|[\])]$/g, '')).filter((cell) => cell !== '');
  return filled.length > 0 && filled.filter((cell) => readUnit(cell) !== null).length >= filled.length / 2;
}

/** Decimal comma where the cells agree on it and it is not the separator; in doubt where each could part thousands. */
function findDecimal(sample: readonly (readonly string[])[], separator: string): { sign: '.' | ','; inDoubt: boolean } {
  if (separator === ',') return { sign: '.', inDoubt: false };
  const signed = sample.flat().filter((cell) => /[.,]/.test(cell) && NUMBER.test(cell));
  const comma = signed.filter((cell) => cell.lastIndexOf(',') > cell.lastIndexOf('.'));
  if (comma.length === 0 || comma.length < 0.9 * signed.length) return { sign: '.', inDoubt: false };
  const couldPart = comma.every((cell) => /^[-+]?[1-9]\d{0,2}(,\d{3})+$/.test(cell));
  return { sign: ',', inDoubt: couldPart };
}

function trimmedNames(cells: readonly string[], columns: number, sample: readonly (readonly string[])[]): string[] {
  const names = Array.from({ length: columns }, (_, at) => cells[at]?.trim() ?? '');
  const isUsed = (at: number) => sample.some((row) => !isNothing(row[at] ?? ''));
  while (names.length > 2 && names.at(-1) === '' && !isUsed(names.length - 1)) names.pop();
  return names.map((name, at) => (name === '' ? `column ${at + 1}` : name.slice(0, 200)));
}

/** Lines spread evenly over the rows. */
function spreadLines(text: string, from: number): string[] {
  const lines: string[] = [];
  const step = Math.max((text.length - from) / SAMPLED_ROWS, 1);
  let next = from;
  for (let at = from; at < text.length && lines.length < SAMPLED_ROWS; ) {
    const end = text.indexOf('\n', at);
    const stop = end === -1 ? text.length : end;
    lines.push(text.slice(at, Math.min(stop, at + 20_000)).replace(/\r$/, ''));
    next = Math.max(next + step, stop + 1);
    if (next === stop + 1) at = next;
    else {
      const line = text.indexOf('\n', Math.floor(next) - 1);
      at = line === -1 ? text.length : line + 1;
    }
  }
  return lines;
}
