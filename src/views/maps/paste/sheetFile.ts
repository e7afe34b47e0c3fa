import type { SheetKindKey } from '../../../build/index.ts';
import { pasteTooLong } from '../../../units/index.ts';
import { compressorPaste } from '../sheetKinds/compressor.tsx';
import { turbinePaste } from '../sheetKinds/turbine.tsx';
import { splitTable } from './cells.ts';
import { type PasteForm, recogniseColumns, unfoldBlocks } from './columns.ts';

/** What only logs have a column of. */
const OF_LOGS =
  /\btime|zeit|\bsec\b|\bafr\b|fuel|lambda|throttle|\btps\b|pedal|manifold|\bmap\b|boost|\biat\b|temp|gear|\blap\b/i;
const OF_TURBINES = /expansion|entspannung|\ber\b|p ?0?[t ]?3[t ]?0? ?\/ ?p ?s?4|√|sqrt|swallow/i;

/**
 * The kind of sheet that a text file holds the table of: known by the headings of its columns, or by its lines under their speeds. A road
 * log is none, even where its columns have such names.
 * @returns null where it is no such table
 */
export function sheetKindOfTable(text: string): SheetKindKey | null {
  if (pasteTooLong(text) !== null) return null;
  const cells = splitTable(text);
  if (cells.length < 3) return null;
  const words = cells.slice(0, 4).flat().join(' \t ');
  if (OF_LOGS.test(words)) return null;
  const unfolded = unfoldBlocks(cells);
  const rows = unfolded ?? cells.filter((row) => row.length > 0);
  const has = (form: PasteForm, needsSpeed: boolean) => {
    const { roles, hasHeader } = recogniseColumns(rows, form);
    const hasSpeed = roles.includes('speed') || roles.includes('percent');
    return (
      (hasHeader || unfolded !== null) && roles.includes('flow') && roles.includes('ratio') && (hasSpeed || !needsSpeed)
    );
  };
  if (OF_TURBINES.test(words)) return has(turbinePaste, false) ? 'turbine' : null;
  return has(compressorPaste, true) ? 'compressor' : null;
}
