import type { FlowParameterUnit, SheetFlowUnit } from '../../../units/index.ts';
import { type Cells, cellNumber } from './cells.ts';

/** What a pasted column holds. */
export type ColumnRole = 'speed' | 'percent' | 'flow' | 'ratio' | 'efficiency' | 'ignored';

/** Speed written into a table of points: '90000', '90,000 rpm', '90 krpm', 'Speed 90000', 'N = 90000 1/min', '80 %'. */
const SPEED_WORDS = /^(?:.*?[\s=:])?([\d.,' \u00a0\u202f]+)\s*(krpm|rpm|1\/min|min-1|rev\/min|%)?\s*:?$/i;

/** The speed that is written in a text, in rpm or per cent; null where it is no speed. */
function speedIn(words: string): string | null {
  const [, digits = '', unit = ''] = SPEED_WORDS.exec(words.trim()) ?? [];
  const text = digits.trim();
  const value = text === '' ? null : cellNumber(text, true);
  if (value === null || value < 20) return null;
  return unit.toLowerCase() === 'krpm' ? String(Number((value * 1000).toPrecision(9))) : text;
}

/** A lone speed in a row of its own; null when the row is something else. */
function loneSpeed(row: readonly string[]): string | null {
  const full = row.filter((cell) => cell !== '');
  if (full.length === 0 || full.length > 3 || full.filter((cell) => speedIn(cell) !== null).length > 1) return null;
  if (full.filter((cell) => cellNumber(cell) !== null).length > 1) return null;
  return speedIn(full.join(' '));
}

/**
 * Layouts in which the speed is not a column, brought to one table whose first column is the speed:
 * blocks one under the other, each under a row that holds only the speed; blocks side by side, a row of speeds over pairs or
 * triples of columns; and a grid of pressure ratios, flows down its side and speeds along its top.
 * @returns null when the cells are none of these.
 */
export function unfoldBlocks(cells: Cells): Cells | null {
  return underHeads(cells, loneSpeed, 'speed') ?? sideBySide(cells) ?? grid(cells);
}

function grid(cells: Cells): Cells | null {
  const at = cells.findIndex((row) => row.some((cell) => cell !== ''));
  const [corner = '', ...top] = cells[at] ?? [];
  const speeds = top.map(speedIn);
  const body = cells.slice(at + 1).filter((row) => cellNumber(row[0]) !== null);
  const isRatio = (cell: string) => cell === '' || ((cellNumber(cell) ?? 0) >= 1 && (cellNumber(cell) ?? 10) < 10);
  const isFlow = /flow|\bmass\b/i.test(corner) || flowUnitIn(corner) !== null;
  const isGrid = isFlow && speeds.length >= 2 && speeds.every((speed) => (cellNumber(speed ?? '', true) ?? 0) >= 1000);
  if (!isGrid || body.length < 2 || !body.every((row) => row.slice(1).every(isRatio))) return null;
  const rows = speeds.flatMap((speed, i) =>
    body.flatMap((row) => ((row[i + 1] ?? '') === '' ? [] : [[speed!, row[0]!, row[i + 1]!]])),
  );
  return [['speed', corner, 'pressure ratio'], ...rows];
}

/** An efficiency in a row of its own: '0.70', '72 %', 'eta = 74'; null when the row is something else. */
export function loneEfficiency(row: readonly string[]): string | null {
  const full = row.filter((cell) => cell !== '');
  if (full.length === 0 || full.length > 3 || full.filter((cell) => cellNumber(cell) !== null).length > 1) return null;
  const text = /(?:^|[\s=:])([\d.,]+)\s*%?\s*:?$/.exec(full.join(' '))?.[1] ?? '';
  const value = cellNumber(text);
  return value !== null && ((value > 0.2 && value < 1) || (value >= 20 && value < 100)) ? text : null;
}

/**
 * Blocks one under the other, each under a row that holds only what `headOf` reads, as one table with that in its first column, called `name`.
 * @returns null where there is no such row, or hardly anything under it
 */
export function underHeads(
  cells: Cells,
  headOf: (row: readonly string[]) => string | null,
  name: string,
): Cells | null {
  const heads = cells.map(headOf);
  const rows: string[][] = [];
  let header: readonly string[] | null = null;
  let head: string | null = null;
  let blocks = 0;
  cells.forEach((row, i) => {
    const found = heads[i] ?? null;
    if (found !== null) {
      head = found;
      blocks++;
    } else if (row.some((cell) => cell !== '')) {
      const numbers = row.filter((cell) => cellNumber(cell) !== null).length;
      if (numbers >= 2 && head !== null) rows.push([head, ...row]);
      else if (numbers === 0 && header === null) header = row;
    }
  });
  if (blocks < 1 || rows.length < 2) return null;
  const named: readonly string[] | null = header;
  return named === null ? rows : [[name, ...(named as readonly string[])], ...rows];
}

function sideBySide(cells: Cells): Cells | null {
  const at = cells.findIndex((row) => row.some((cell) => cell !== ''));
  const top = cells[at];
  if (!top) return null;
  const heads = top.flatMap((cell, column) => {
    const text = speedIn(cell);
    return text === null ? [] : [{ column, text }];
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
} as const satisfies Record<SheetFlow, PastedUnit> & Record<string, PastedUnit>;

interface PastedUnit {
  label: string;
  sheet: SheetFlow;
  factor: number;
}

/** What the flows of a sheet can be: a unit of flow, or the pressure of a flow parameter. */
export type SheetFlow = SheetFlowUnit | FlowParameterUnit;

/** The units that a table of such a sheet may come in. */
export function unitsFor({ flows }: PasteForm): PastedFlowUnit[] {
  return (Object.keys(pastedFlowUnits) as PastedFlowUnit[]).filter((key) => flows.includes(pastedFlowUnits[key].sheet));
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

/** A column of numbers with its place in the table. */
interface NumberColumn {
  i: number;
  values: readonly number[];
  low: number;
  high: number;
}

/** Takes the first column that fits for a role, so that no other role can have it; false where none does. */
type TakeColumn = (role: ColumnRole, fits: (column: NumberColumn) => boolean) => boolean;

/** What has to be known of a kind of sheets to read pasted tables of it. */
export interface PasteForm {
  /** What a column can be, in the order in which it is offered. */
  roles: readonly { key: ColumnRole; name: string }[];
  /** Words that a heading is known by; the first that fits is taken. */
  headings: readonly (readonly [ColumnRole, RegExp])[];
  /** Roles told by the size of the numbers; `free`: the columns that are not taken yet. */
  bySize(take: TakeColumn, free: () => readonly NumberColumn[]): void;
  /** What its flows can be, and that in words. */
  flows: readonly SheetFlow[];
  flowsInWords: string;
  /** 'a pressure ratio'. */
  aRatio: string;
  /** 'map' or 'sheet'. */
  called: string;
  /** Lines may have no speed: then they stand apart by an empty row. */
  mayLackSpeeds: boolean;
  /** Speeds from 20 to 120 are percent. */
  mayBePercent: boolean;
  /** The points of a line in order. */
  sort<T>(
    points: readonly T[],
    flow: (p: T) => number,
    ratio: (p: T) => number,
  ): { sorted: readonly T[]; changed: boolean };
  /** 'from surge to choke'. */
  order: string;
  /** Words of the panel. */
  title: string;
  columnsLabel: string;
  linesCaption: string;
  speedHeading: string;
}

export interface Columns {
  roles: readonly ColumnRole[];
  /** Named by the header; null when it says none. */
  flowUnit: PastedFlowUnit | null;
  /** The header says that speeds are in thousands of rev/min ('krpm', 'rpm x 1000'). */
  speedInThousands: boolean;
  /** The header says that speeds are those of blade tips ('m/s'). */
  speedIsOfTips: boolean;
  /** Row at which the numbers begin. */
  firstRow: number;
  hasHeader: boolean;
}

/**
 * What every column of a table holds (speed, flow, pressure or expansion ratio, efficiency): by its heading where there is one, else by the size of its numbers (speeds are thousands or
 * percent, pressure ratios 1 to 9, efficiencies under 1 or 20 to 95), flow before pressure ratio where both could be either.
 */
export function recogniseColumns(cells: Cells, form: PasteForm): Columns {
  const header = cells.findIndex((row) => isHeader(row, form));
  const width = Math.max(0, ...cells.map((row) => row.length));
  if (header < 0) {
    const firstRow = Math.max(
      0,
      cells.findIndex((row) => row.some((c) => cellNumber(c) !== null)),
    );
    return {
      roles: bySize(cells, width, form),
      flowUnit: null,
      speedInThousands: false,
      speedIsOfTips: false,
      firstRow,
      hasHeader: false,
    };
  }
  const names = Array.from({ length: width }, (_, i) => cells[header]?.[i] ?? '');
  const roles = byName(names, form);
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
    flowUnit: unit !== null && unitsFor(form).includes(unit) ? unit : null,
    speedInThousands: IN_THOUSANDS.test(headingOf('speed') ?? ''),
    speedIsOfTips: OF_TIPS.test(headingOf('speed') ?? ''),
    firstRow: header + (hasUnitRow ? 2 : 1),
    hasHeader: true,
  };
}

function isHeader(row: readonly string[], form: PasteForm): boolean {
  const words = row.filter((cell) => cell !== '' && cellNumber(cell) === null);
  return words.length >= 2 && new Set(byName(row, form).filter((role) => role !== 'ignored')).size >= 2;
}

const IN_THOUSANDS = /\bk ?rpm\b|[x×*] ?(?:1[ ,.']?000|10\^?3|10³)\b|1000 ?(?:rpm|1\/min)|thousand/i;

const OF_TIPS = /\btip\b|\bu ?2\b|\b(?:m|ft) ?\/ ?s\b/i;

const plainWords = (text: string): string => text.toLowerCase().replace(/[_.]+/g, ' ').trim();

function byName(names: readonly string[], { headings }: PasteForm): ColumnRole[] {
  const taken = new Set<ColumnRole>();
  return names.map((name) => {
    const named = headings.find(([r, pattern]) => !taken.has(r) && pattern.test(plainWords(name)))?.[0];
    // 'lbs/min', 'V [m³/h]': a flow may be named by its unit alone.
    const role = named ?? (!taken.has('flow') && flowUnitIn(name) !== null ? 'flow' : 'ignored');
    if (role !== 'ignored') taken.add(role);
    return role;
  });
}

function numberColumns(cells: Cells, width: number): NumberColumn[] {
  return Array.from({ length: width }, (_, i) => {
    const values = cells.map((row) => cellNumber(row[i], true)).filter((v): v is number => v !== null);
    return { i, values, low: Math.min(...values), high: Math.max(...values) };
  }).filter((c) => c.values.length > 0);
}

function bySize(cells: Cells, width: number, form: PasteForm): ColumnRole[] {
  let free = numberColumns(cells, width);
  const roles: ColumnRole[] = Array.from({ length: width }, () => 'ignored');
  const take: TakeColumn = (role, fits) => {
    const found = free.find(fits);
    if (found === undefined) return false;
    free = free.filter((column) => column !== found);
    roles[found.i] = role;
    return true;
  };
  form.bySize(take, () => free);
  return roles;
}
