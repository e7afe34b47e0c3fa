import { parseClipboardTable } from './clipboardTable.ts';
import type { CellRange } from './gridTypes.ts';

/**
 * What a pasted text puts where the selection begins: its cells, as far as there are columns. One cell fills the whole selection.
 * The notice says how much came in, and what had no room and how to keep it. No matrix: there was nothing to paste.
 */
export function pasteBlock(
  text: string,
  range: CellRange,
  columnCount: number,
): { matrix: string[][] | null; notice: string } {
  const matrix = parseClipboardTable(text);
  if (matrix.length === 0) return { matrix: null, notice: 'The clipboard holds no text to paste.' };
  const only = matrix.length === 1 && matrix[0]?.length === 1 ? (matrix[0][0] ?? '') : null;
  if (only !== null) {
    const width = range.lastColumn - range.firstColumn + 1;
    const block = Array.from({ length: range.lastRow - range.firstRow + 1 }, () =>
      Array.from({ length: width }, () => only),
    );
    return {
      matrix: block,
      notice: block.length * width === 1 ? '1 cell pasted.' : `${block.length * width} cells filled.`,
    };
  }
  const room = columnCount - range.firstColumn;
  const over = Math.max(...matrix.map((row) => row.length)) - room;
  const pasted = matrix.length === 1 ? '1 row pasted.' : `${matrix.length} rows pasted.`;
  const leftOut =
    over === 1
      ? ' The last column had no room from here on and was left out: paste farther left to keep it.'
      : ` The last ${over} columns had no room from here on and were left out: paste farther left to keep them.`;
  return { matrix: matrix.map((row) => row.slice(0, room)), notice: over > 0 ? pasted + leftOut : pasted };
}
