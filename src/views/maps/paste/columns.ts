import { parseNumber } from '../../../units/index.ts';
import { parseClipboardTable } from '../../../widgets/index.ts';

/** What a pasted column holds. */
export type ColumnRole = 'speed' | 'percent' | 'flow' | 'ratio' | 'efficiency' | 'ignored';

/** A cell as a number: a percent sign behind it is passed over. null when it is none. */
export function cellNumber(cell: string | undefined, isSpeed = false): number | null {
  const parsed = parseNumber((cell ?? '').replace(/%$/, ''), isSpeed ? 'integer-like' : 'decimal');
  return parsed.ok ? parsed.value : null;
}

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

/** Speed written into a table of points: '90000', '90,000 rpm', 'Speed 90000', 'N = 90000 1/min', '80 %'. */
const SPEED_WORDS = /^(?:.*?[\s=:])?([\d.,' \u00a0\u202f]+)\s*(rpm|1\/min|min-1|rev\/min|%)?\s*:?$/i;

/** A lone speed in a row of its own; null when the row is something else. */
function loneSpeed(row: readonly string[]): string | null {
  const full = row.filter((cell) => cell !== '');
  if (full.length === 0 || full.length > 3) return null;
  const joined = full.join(' ');
  if (full.filter((cell) => cellNumber(cell) !== null).length > 1) return null;
  const match = SPEED_WORDS.exec(joined.trim());
  const text = match?.[1]?.trim();
  if (text === undefined || text === '') return null;
  const value = cellNumber(text, true);
  return value !== null && value >= 20 ? text : null;
}

/**
 * Layouts in which the speed is not a column, brought to one table whose first column is the speed:
 * blocks one under the other, each under a row that holds only the speed; and blocks side by side, a row of speeds over pairs or
 * triples of columns.
 * @returns null when the cells are neither.
 */
export function unfoldBlocks(cells: Cells): Cells | null {
  return stacked(cells) ?? sideBySide(cells);
}

function stacked(cells: Cells): Cells | null {
  const heads = cells.map(loneSpeed);
  const rows: string[][] = [];
  let header: readonly string[] | null = null;
  let speed: string | null = null;
  let blocks = 0;
  cells.forEach((row, i) => {
    const head = heads[i] ?? null;
    if (head !== null) {
      speed = head;
      blocks++;
    } else if (row.some((cell) => cell !== '')) {
      const numbers = row.filter((cell) => cellNumber(cell) !== null).length;
      if (numbers >= 2 && speed !== null) rows.push([speed, ...row]);
      else if (numbers === 0 && header === null) header = row;
    }
  });
  if (blocks < 1 || rows.length < 2) return null;
  const named: readonly string[] | null = header;
  return named === null ? rows : [['speed', ...(named as readonly string[])], ...rows];
}

function sideBySide(cells: Cells): Cells | null {
  const at = cells.findIndex((row) => row.some((cell) => cell !== ''));
  const top = cells[at];
  if (!top) return null;
  const heads = top.flatMap((cell, column) => {
    const text = cell === '' ? null : (SPEED_WORDS.exec(cell)?.[1]?.trim() ?? null);
    const value = text === null ? null : cellNumber(text, true);
    return text !== null && value !== null && value >= 20 ? [{ column, text }] : [];
  });
  const first = heads[0];
  const second = heads[1];
  if (!first || !second || top.filter((cell) => cell !== '').length !== heads.length) return null;
  const width = second.column - first.column;
  if (width < 2 || width > 4 || heads.some((h, i) => h.column !== first.column + i * width)) return null;
  const body = cells.slice(at + 1);
  const names = body[0]?.every((cell) => cell === '' || cellNumber(cell) === null) ? body[0] : null;
  const rows = heads.flatMap(({ column, text }) =>
    body.slice(names ? 1 : 0).flatMap((row) => {
      const part = row.slice(column, column + width);
      return part.some((cell) => cell !== '') ? [[text, ...part]] : [];
    }),
  );
  if (rows.length < 2) return null;
  return names ? [['speed', ...names.slice(first.column, first.column + width)], ...rows] : rows;
}

/** Flow units that tables come in. Those that a sheet cannot have are brought to one that it can, by an exact factor. */
export type PastedFlowUnit = keyof typeof pastedFlowUnits;

/** Label, and the sheet unit with the factor that leads to it. */
export const pastedFlowUnits = {
  'kg/s': { label: 'kg/s', sheet: 'kg/s', factor: 1 },
  'lb/min': { label: 'lb/min', sheet: 'lb/min', factor: 1 },
  'lb/s': { label: 'lb/s', sheet: 'lb/min', factor: 60 },
  'kg/min': { label: 'kg/min', sheet: 'kg/s', factor: 1 / 60 },
  'kg/h': { label: 'kg/h', sheet: 'kg/s', factor: 1 / 3600 },
  'g/s': { label: 'g/s', sheet: 'kg/s', factor: 1 / 1000 },
  'm3/s': { label: 'm³/s', sheet: 'm3/s', factor: 1 },
  'm3/min': { label: 'm³/min', sheet: 'm3/s', factor: 1 / 60 },
  'm3/h': { label: 'm³/h', sheet: 'm3/s', factor: 1 / 3600 },
  'l/s': { label: 'L/s', sheet: 'm3/s', factor: 1 / 1000 },
  cfm: { label: 'cfm', sheet: 'cfm', factor: 1 },
  kPa: { label: 'kg√K/(s·kPa)', sheet: 'kPa', factor: 1 },
  bar: { label: 'kg√K/(s·bar)', sheet: 'bar', factor: 1 },
  MPa: { label: 'kg√K/(s·MPa)', sheet: 'MPa', factor: 1 },
  Pa: { label: 'kg√K/(s·Pa)', sheet: 'kPa', factor: 1000 },
} as const;

/** What the flows of a sheet can be: a unit of flow, or the pressure of a flow parameter. */
export type SheetFlow = (typeof pastedFlowUnits)[PastedFlowUnit]['sheet'];

const VOLUMES: readonly string[] = ['m3/s', 'cfm'];
const PARAMETERS: readonly string[] = ['kPa', 'bar', 'MPa'];

/** The units that a table of such a sheet may come in: a compressor map has no flow parameter, a turbine sheet no volume. */
export function unitsFor(isTurbine: boolean): PastedFlowUnit[] {
  const never = isTurbine ? VOLUMES : PARAMETERS;
  return (Object.keys(pastedFlowUnits) as PastedFlowUnit[]).filter(
    (key) => !never.includes(pastedFlowUnits[key].sheet),
  );
}

/** The flow unit named in a heading such as 'corrected_flow_lbm_per_s' or 'Flow [lb/min]'. */
export function flowUnitIn(heading: string): PastedFlowUnit | null {
  const parameter = parameterIn(heading.toLowerCase());
  if (parameter !== null) return parameter;
  const words = heading
    .toLowerCase()
    .replace(/[_.]+/g, ' ')
    .trim()
    .replace(/ per /g, '/')
    .replaceAll('^', '')
    .replaceAll('³', '3');
  const patterns: readonly (readonly [PastedFlowUnit, RegExp])[] = [
    ['cfm', /\bcfm\b|ft3 ?\/ ?min/],
    ['lb/min', /lbs?m? ?\/ ?min|\bppm\b/],
    ['lb/s', /lbs?m? ?\/ ?s/],
    ['kg/min', /kg ?\/ ?min/],
    ['kg/h', /kg ?\/ ?h/],
    ['kg/s', /kg ?\/ ?s/],
    ['g/s', /(?<![k])g ?\/ ?s/],
    ['m3/min', /m3 ?\/ ?min/],
    ['m3/h', /m3 ?\/ ?h/],
    ['m3/s', /m3 ?\/ ?s/],
    ['l/s', /\bl ?\/ ?s/],
  ];
  return patterns.find(([, pattern]) => pattern.test(words))?.[0] ?? null;
}

/** 'kg √K / (s kPa)', 'kg*K^0.5/s/bar': a root of temperature over a pressure. */
function parameterIn(words: string): PastedFlowUnit | null {
  if (!/√ ?\(?[kt]|sqrt ?\(?[kt]|\bk ?\^? ?\(?(?:0?[.,]5|1\/2|½)|\bt ?\^ ?0?[.,]5/.test(words)) return null;
  if (/mpa/.test(words)) return 'MPa';
  if (/kpa/.test(words)) return 'kPa';
  if (/\bbar\b/.test(words)) return 'bar';
  return /\bpa\b/.test(words) ? 'Pa' : null;
}

export interface Columns {
  roles: readonly ColumnRole[];
  /** Named by the header; null when it says none. */
  flowUnit: PastedFlowUnit | null;
  /** The header says that speeds are in thousands of rev/min ('krpm', 'rpm x 1000'). */
  speedInThousands: boolean;
  /** Row at which the numbers begin. */
  firstRow: number;
  hasHeader: boolean;
}

/**
 * What every column of a table holds (speed, flow, pressure or expansion ratio, efficiency): by its heading where there is one, else by the size of its numbers (speeds are thousands or
 * percent, pressure ratios 1 to 9, efficiencies under 1 or 20 to 95), flow before pressure ratio where both could be either.
 */
export function recogniseColumns(cells: readonly (readonly string[])[], isTurbine = false): Columns {
  const header = cells.findIndex((row) => isHeader(row, isTurbine));
  const width = Math.max(0, ...cells.map((row) => row.length));
  if (header < 0) {
    const firstRow = Math.max(
      0,
      cells.findIndex((row) => row.some((c) => cellNumber(c) !== null)),
    );
    return {
      roles: (isTurbine ? turbineColumnsBySize : columnsBySize)(cells, width),
      flowUnit: null,
      speedInThousands: false,
      firstRow,
      hasHeader: false,
    };
  }
  const names = Array.from({ length: width }, (_, i) => cells[header]?.[i] ?? '');
  const roles = byName(names, isTurbine);
  // A second heading row of units ('[kg/s]', 'lb/min') under the first.
  const unitRow = cells[header + 1] ?? [];
  const hasUnitRow = unitRow.length > 0 && unitRow.every((c) => c === '' || cellNumber(c) === null);
  const headingOf = (role: ColumnRole): string | null => {
    const at = roles.indexOf(role);
    return at < 0 ? null : `${names[at] ?? ''} ${hasUnitRow ? (unitRow[at] ?? '') : ''}`;
  };
  const unit = flowUnitIn(headingOf('flow') ?? '');
  return {
    roles,
    flowUnit: unit !== null && unitsFor(isTurbine).includes(unit) ? unit : null,
    speedInThousands: IN_THOUSANDS.test(headingOf('speed') ?? ''),
    firstRow: header + (hasUnitRow ? 2 : 1),
    hasHeader: true,
  };
}

function isHeader(row: readonly string[], isTurbine: boolean): boolean {
  const words = row.filter((cell) => cell !== '' && cellNumber(cell) === null);
  return words.length >= 2 && new Set(byName(row, isTurbine).filter((role) => role !== 'ignored')).size >= 2;
}

const IN_THOUSANDS = /\bk ?rpm\b|[x×*] ?(?:1[ ,.']?000|10\^?3|10³)\b|1000 ?(?:rpm|1\/min)|thousand/i;

const plainWords = (text: string): string => text.toLowerCase().replace(/[_.]+/g, ' ').trim();

const NAMES: readonly (readonly [ColumnRole, RegExp])[] = [
  ['efficiency', /\beff|efficien|\beta\b|η|wirkungsgrad|rendement/],
  ['ratio', /pressure ratio|\bp ?2 ?[ct]? ?\/ ?p ?1|\bpr\b|\bprt|ratio|\bpi\b|π|druckverh/],
  ['percent', /percent|%|\bpct\b/],
  ['flow', /flow|\bmass\b|mdot|ṁ|\bw ?c?\b|durchsatz|massenstrom|débit|lb ?\/ ?min|kg ?\/ ?s|\bcfm\b|m3 ?\/ ?s/],
  ['speed', /speed|\bk?rpm\b|\bnc?\b|drehzahl|rev ?\/ ?min|1\/min|min-1/],
];

/** U/C0 is a ratio too, but not that of the expansion; speeds come before flows, because both may be named with the root of T. */
const TURBINE_NAMES: readonly (readonly [ColumnRole, RegExp])[] = [
  ['ignored', /speed ratio|\bu ?\/ ?c/],
  ['efficiency', /\beff|efficien|\beta\b|η|wirkungsgrad|rendement/],
  ['ratio', /expansion|ratio|\ber\b|\bpr\b|\bprt|\bp ?0?[t ]?3[t ]?0? ?\/ ?p ?s?4|\bpi\b|π|druckverh|entspannung/],
  ['speed', /speed|\bk?rpm\b|\bnc?\b|drehzahl|rev ?\/ ?min|1\/min|min-1/],
  ['flow', /flow|\bmass\b|mdot|ṁ|\bw ?c?\b|swallow|durchsatz|massenstrom|débit|lb ?\/ ?min|kg ?\/ ?s|√|sqrt/],
];

function byName(names: readonly string[], isTurbine: boolean): ColumnRole[] {
  const taken = new Set<ColumnRole>();
  const known = isTurbine ? TURBINE_NAMES : NAMES;
  return names.map((name) => {
    const role = known.find(([r, pattern]) => !taken.has(r) && pattern.test(plainWords(name)))?.[0] ?? 'ignored';
    if (role !== 'ignored') taken.add(role);
    return role;
  });
}

interface NumberColumn {
  i: number;
  values: readonly number[];
  low: number;
  high: number;
}

function numberColumns(cells: readonly (readonly string[])[], width: number): NumberColumn[] {
  return Array.from({ length: width }, (_, i) => {
    const values = cells.map((row) => cellNumber(row[i], true)).filter((v): v is number => v !== null);
    return { i, values, low: Math.min(...values), high: Math.max(...values) };
  }).filter((c) => c.values.length > 0);
}

/** What the columns of a table of a compressor map hold by the size of their numbers. */
export function columnsBySize(cells: readonly (readonly string[])[], width: number): ColumnRole[] {
  const columns = numberColumns(cells, width);
  const roles: ColumnRole[] = Array.from({ length: width }, () => 'ignored' as const);
  const free = new Set(columns);
  const take = (role: ColumnRole, fits: (c: (typeof columns)[number]) => boolean): void => {
    const found = [...free].find(fits);
    if (!found) return;
    free.delete(found);
    roles[found.i] = role;
  };
  take('speed', (c) => c.low > 2000);
  take('efficiency', (c) => c.low > 0.15 && c.high < 1);
  if (!roles.includes('speed')) take('percent', (c) => c.high <= 130 && c.low >= 20 && repeats(c.values));
  const decimals = [...free].filter((c) => c.low >= 0.9 && c.high < 10);
  // Two columns that could both be a pressure ratio: tables give flow first.
  const ratio = decimals.length > 1 ? decimals[1] : decimals[0];
  take('ratio', (c) => c === ratio);
  if (!roles.includes('efficiency') && free.size > 1) {
    const last = [...free].at(-1);
    take('efficiency', (c) => c === last && c.low >= 15 && c.high <= 95);
  }
  take('flow', () => true);
  return roles;
}

/** Speeds stand several times in a table of points; flows hardly ever do. */
function repeats(values: readonly number[]): boolean {
  return values.length > 2 && new Set(values).size <= 0.5 * values.length;
}

/**
 * The same for a turbine sheet, which has its expansion ratio first where two columns could be one. Speeds are hundreds at least (rpm over
 * the root of K), and a column of shares is the flow in kg/s before it is the efficiency.
 */
export function turbineColumnsBySize(cells: readonly (readonly string[])[], width: number): ColumnRole[] {
  const free = numberColumns(cells, width);
  const roles: ColumnRole[] = Array.from({ length: width }, () => 'ignored' as const);
  const take = (role: ColumnRole, fits: (c: NumberColumn) => boolean): void => {
    const at = free.findIndex(fits);
    if (at < 0) return;
    roles[free[at]!.i] = role;
    free.splice(at, 1);
  };
  take('speed', (c) => c.low >= 300);
  take('ratio', (c) => c.low >= 1 && c.high < 10);
  take('flow', (c) => c.low > 0);
  take('efficiency', (c) => (c.low > 0.15 && c.high < 1) || (c.low >= 15 && c.high <= 95));
  return roles;
}
