import { unfoldBlocks } from './blocks.ts';
import { recogniseColumns } from './columns.ts';
import { lineBlocks } from './lineBlocks.ts';
import { splitTable } from './splitTable.ts';

/** Whether a pasted text is a table of several lines, for the paste panel, rather than a few columns for the table at hand. */
export function isMapTable(text: string, isTurbine = false): boolean {
  const cells = splitTable(text);
  if (cells.length < 3) return false;
  const unfolded = unfoldBlocks(cells);
  const { roles } = recogniseColumns(unfolded ?? cells.filter((row) => row.length > 0), isTurbine);
  const hasSpeed = roles.includes('speed') || roles.includes('percent');
  // Lines without speeds stand apart from one another on a turbine sheet.
  const hasLines = hasSpeed || (isTurbine && new Set(lineBlocks(cells)).size > 1);
  return hasLines && roles.includes('flow') && roles.includes('ratio');
}
