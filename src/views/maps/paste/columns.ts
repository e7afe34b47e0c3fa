import { parseNumber } from '../../../units/index.ts';

/** What a pasted column holds. */
export type ColumnRole = 'speed' | 'percent' | 'flow' | 'ratio' | 'efficiency' | 'ignored';

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
} as const;

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

const number = (cell: string | undefined, speed = false): number | null => {
  const parsed = parseNumber((cell ?? '').replace(/%$/, ''), speed ? 'integer-like' : 'decimal');
  return parsed.ok ? parsed.value : null;
};

/** A cell as a number: a percent sign behind it is passed over. null when it is none. */
export const cellNumber = number;

/**
 * What every column of a table holds: by its heading where there is one, else by the size of its numbers (speeds are thousands or
 * percent, pressure ratios 1 to 9, efficiencies under 1 or 20 to 95), flow before pressure ratio where both could be either.
 */
export function recogniseColumns(cells: readonly (readonly string[])[]): Columns {
  const header = cells.findIndex((row) => isHeader(row));
  const width = Math.max(0, ...cells.map((row) => row.length));
  if (header < 0) {
    const firstRow = Math.max(
      0,
      cells.findIndex((row) => row.some((c) => number(c) !== null)),
    );
    return { roles: bySize(cells, width), flowUnit: null, speedInThousands: false, firstRow, hasHeader: false };
  }
  const names = Array.from({ length: width }, (_, i) => cells[header]?.[i] ?? '');
  const roles = byName(names);
  // A second heading row of units ('[kg/s]', 'lb/min') under the first.
  const unitRow = cells[header + 1] ?? [];
  const hasUnitRow = unitRow.length > 0 && unitRow.every((c) => c === '' || number(c) === null);
  const headingOf = (role: ColumnRole): string | null => {
    const at = roles.indexOf(role);
    return at < 0 ? null : `${names[at] ?? ''} ${hasUnitRow ? (unitRow[at] ?? '') : ''}`;
  };
  return {
    roles,
    flowUnit: flowUnitIn(headingOf('flow') ?? ''),
    speedInThousands: IN_THOUSANDS.test(headingOf('speed') ?? ''),
    firstRow: header + (hasUnitRow ? 2 : 1),
    hasHeader: true,
  };
}

function isHeader(row: readonly string[]): boolean {
  const words = row.filter((cell) => cell !== '' && number(cell) === null);
  return words.length >= 2 && new Set(byName(row).filter((role) => role !== 'ignored')).size >= 2;
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

function byName(names: readonly string[]): ColumnRole[] {
  const taken = new Set<ColumnRole>();
  return names.map((name) => {
    const role = NAMES.find(([r, pattern]) => !taken.has(r) && pattern.test(plainWords(name)))?.[0] ?? 'ignored';
    if (role !== 'ignored') taken.add(role);
    return role;
  });
}

/** The flow unit named in a heading such as 'corrected_flow_lbm_per_s' or 'Flow [lb/min]'. */
export function flowUnitIn(heading: string): PastedFlowUnit | null {
  const words = plainWords(heading).replace(/ per /g, '/').replaceAll('^', '').replaceAll('³', '3');
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

function bySize(cells: readonly (readonly string[])[], width: number): ColumnRole[] {
  const columns = Array.from({ length: width }, (_, i) => {
    const values = cells.map((row) => number(row[i], true)).filter((v): v is number => v !== null);
    return { i, values, low: Math.min(...values), high: Math.max(...values) };
  }).filter((c) => c.values.length > 0);
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
