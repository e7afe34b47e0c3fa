import { type ColumnRole, recogniseColumns } from '../paste/columns.ts';

/**
 * A block pasted into a table of points: a heading is left out, and where it names the columns they are put in the table's own order.
 * @param roles of the table's columns, from the left.
 * @returns the block and the column at which it goes; null for a block without heading, to be taken as it stands.
 */
export function alignPasted(matrix: readonly (readonly string[])[], roles: readonly ColumnRole[]): string[][] | null {
  const columns = recogniseColumns(matrix);
  if (!columns.hasHeader) return null;
  const from = roles.map((role) => columns.roles.indexOf(role));
  if (from.every((at) => at < 0)) return null;
  return matrix.slice(columns.firstRow).map((row) => from.map((at) => (at < 0 ? '' : (row[at] ?? ''))));
}
