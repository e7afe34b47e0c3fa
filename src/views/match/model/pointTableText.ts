import { columnUnitLabel, type PointColumn } from '../../shared/pointColumns.ts';
import type { PointRow } from '../../shared/pointRows.ts';
import type { ResultUnits } from '../../shared/resultUnits.ts';

/**
 * The table as text for a spreadsheet, units in the headings. Thousands separators are taken out and the typographic minus is
 * replaced, so that a spreadsheet reads numbers; a missing value is an empty cell.
 * @param kind 'tsv' for the clipboard, 'csv' (RFC 4180, CRLF line ends) for a file.
 */
export function pointTableText(
  rows: readonly PointRow[],
  columns: readonly PointColumn[],
  units: ResultUnits,
  kind: 'tsv' | 'csv',
): string {
  const heading = [
    'Engine speed [rpm]',
    ...columns.map((column) => {
      const unit = columnUnitLabel(column, units);
      return `${fullTitle(column)} [${unit === '' ? '-' : unit}]`;
    }),
    'Remark',
  ];
  const lines = rows.map((row) => [
    plainCell(row.engineSpeed),
    ...columns.map((_, index) => (row.cells === null ? '' : plainCell(row.cells[index] ?? ''))),
    row.remark,
  ]);
  const quote = kind === 'csv' ? csvCell : tsvCell;
  const separator = kind === 'csv' ? ',' : '\t';
  const end = kind === 'csv' ? '\r\n' : '\n';
  return [heading, ...lines].map((cells) => cells.map(quote).join(separator)).join(end) + end;
}

/** 'Outlet' stands under a group heading on screen; alone it needs its noun. */
function fullTitle(column: PointColumn): string {
  return column.shown === 'temperature' ? `${column.title} temperature` : column.title;
}

function plainCell(text: string): string {
  return text === '–' ? '' : text.replaceAll(',', '').replace('−', '-');
}

function csvCell(text: string): string {
  return /[",\r\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
}

function tsvCell(text: string): string {
  return text.replaceAll(/[\t\r\n]+/g, ' ');
}
