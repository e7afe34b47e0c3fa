import { type ColumnRole, cellNumber } from './cellNumber.ts';
import { columnsBySize, turbineColumnsBySize } from './columnsBySize.ts';
import { flowUnitIn, type PastedFlowUnit, unitsFor } from './pastedUnits.ts';

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
