import { cellNumber } from './cellNumber.ts';
import type { Cells } from './splitTable.ts';

/**
 * Which line each row of a table without speeds belongs to: an empty row, or one of words, behind rows of numbers begins another.
 * @returns for every row that is not empty, in order, the number of its line from 0
 */
export function lineBlocks(cells: Cells): number[] {
  let block = 0;
  let hasNumbers = false;
  const blocks: number[] = [];
  for (const row of cells) {
    const isNumbers = row.filter((cell) => cellNumber(cell) !== null).length >= 2;
    if (!isNumbers && hasNumbers) {
      block += 1;
      hasNumbers = false;
    }
    hasNumbers ||= isNumbers;
    if (row.some((cell) => cell !== '')) blocks.push(block);
  }
  return blocks;
}
