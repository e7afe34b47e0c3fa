import { parseNumber, plainNumber } from '../../../units/index.ts';
import type { ColumnRole } from '../paste/cellNumber.ts';
import { recogniseColumns } from '../paste/columns.ts';
import type { PastedFlowUnit } from '../paste/pastedUnits.ts';

/**
 * A block pasted into a table of points: a heading is left out, and where it names the columns they are put in the table's own order.
 * A flow unit that it names is brought to the table's.
 * @param roles of the table's columns, from the left.
 * @param factorFrom what turns a flow in a unit into one in the table's; null where that cannot be told (no reference state): the
 *   numbers then stay as they are.
 * @param isTurbine the table is that of a turbine sheet.
 * @returns the block and the column at which it goes; null for a block without heading, to be taken as it stands.
 */
export function alignPasted(
  matrix: readonly (readonly string[])[],
  roles: readonly ColumnRole[],
  factorFrom: (unit: PastedFlowUnit) => number | null = () => null,
  isTurbine = false,
): string[][] | null {
  const columns = recogniseColumns(matrix, isTurbine);
  if (!columns.hasHeader) return null;
  const from = roles.map((role) => columns.roles.indexOf(role));
  if (from.every((at) => at < 0)) return null;
  const factor = columns.flowUnit === null ? 1 : (factorFrom(columns.flowUnit) ?? 1);
  const flowAt = columns.roles.indexOf('flow');
  const cell = (row: readonly string[], at: number): string => {
    const text = row[at] ?? '';
    return at === flowAt && factor !== 1 ? scaled(text, factor) : text;
  };
  return matrix.slice(columns.firstRow).map((row) => from.map((at) => (at < 0 ? '' : cell(row, at))));
}

function scaled(text: string, factor: number): string {
  const parsed = parseNumber(text);
  return parsed.ok ? plainNumber(parsed.value * factor, 8) : text;
}
