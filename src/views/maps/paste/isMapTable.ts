import { unfoldBlocks } from './blocks.ts';
import { recogniseColumns } from './columns.ts';
import { splitTable } from './splitTable.ts';

/** Whether a pasted text is a table of several speed lines, for the paste panel, rather than a few columns for the table at hand. */
export function isMapTable(text: string): boolean {
  const cells = splitTable(text);
  if (cells.length < 3) return false;
  const unfolded = unfoldBlocks(cells);
  const { roles } = recogniseColumns(unfolded ?? cells.filter((row) => row.length > 0));
  const hasSpeed = roles.includes('speed') || roles.includes('percent');
  return hasSpeed && roles.includes('flow') && roles.includes('ratio');
}
