import { type ColumnRole, cellNumber } from './cellNumber.ts';

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
