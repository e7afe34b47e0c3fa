import { useRef } from 'react';
import type { CellAt, CellRange } from './gridTypes.ts';
import { type CellEdit, useCellEdit } from './useCellEdit.ts';
import { useGridPlace } from './useGridPlace.ts';

export interface CellGridEvents {
  /** A cell's new text: at every keystroke (transient: true) and when the cell is left (false). row may be rows.length: a new row. */
  onEdit: (row: number, column: number, text: string, change: { transient: boolean }) => void;
  /** A block of texts to put at that cell; rows may have to be added. Also used to clear a range (empty texts). */
  onPaste: (row: number, column: number, matrix: string[][]) => void;
  /** Put an empty row at that index. */
  onInsertRow?: ((at: number) => void) | undefined;
  onDeleteRows?: ((first: number, count: number) => void) | undefined;
}

interface GridShape extends CellGridEvents {
  rows: readonly (readonly string[])[];
  columnCount: number;
  isReadOnly: boolean;
}

/** An empty row at the end to type into, unless the last row is empty itself. */
function hasTrailingRow(rows: readonly (readonly string[])[], isReadOnly: boolean): boolean {
  return !isReadOnly && (rows.at(-1)?.some((cell) => cell !== '') ?? true);
}

/** Where the person is in a grid, what is selected, and the cell that is being typed into. Knows nothing of keys or of the DOM. */
export function useCellGrid(shape: GridShape) {
  const { rows, columnCount, isReadOnly } = shape;
  const rowCount = rows.length + (hasTrailingRow(rows, isReadOnly) ? 1 : 0);
  const place = useGridPlace(rowCount, columnCount);
  const editing = useCellEdit((at) => rows[at.row]?.[at.column] ?? '', shape.onEdit);
  const { active, range } = place;
  /** Column in which a run of Tab presses began: Enter goes back to it, one row down. */
  const runColumn = useRef<number | null>(null);

  const go = (to: CellAt, how: { extend?: boolean; keepRun?: boolean } = {}) => {
    editing.finish();
    if (!how.keepRun) runColumn.current = null;
    place.moveTo(to, how.extend);
  };
  const select = (first: CellAt, last: CellAt) => {
    editing.finish();
    place.span(first, last);
  };
  const begin = (mode: CellEdit['mode'], typed?: string) => {
    if (isReadOnly) return;
    place.moveTo(active);
    editing.begin(active, mode, typed);
  };
  /** Tab: one cell on, over the end of the row to the next; false where there is nowhere to go, so that Tab leaves the grid. */
  const tab = (direction: 1 | -1): boolean => {
    const index = active.row * columnCount + active.column + direction;
    if (index < 0 || index >= rowCount * columnCount) return false;
    if (direction === 1) runColumn.current ??= active.column;
    go({ row: Math.floor(index / columnCount), column: index % columnCount }, { keepRun: true });
    return true;
  };
  const enter = (direction: 1 | -1) => {
    const column = direction === 1 ? (runColumn.current ?? active.column) : active.column;
    go({ row: active.row + direction, column });
  };
  const { edit, write, finish, cancel } = editing;
  return {
    ...{ active, range, rowCount, edit, write, finish, cancel, go, select, begin, tab, enter },
    ...rowCommands(shape, place, editing),
  };
}

/** What changes more than the text of one cell. */
function rowCommands(
  { rows, isReadOnly, onEdit, onPaste, onInsertRow, onDeleteRows }: GridShape,
  { active, range, span }: ReturnType<typeof useGridPlace>,
  { finish, drop }: ReturnType<typeof useCellEdit>,
) {
  /** Selected rows that hold something: the empty one at the end cannot be deleted. */
  const selectedRowCount = Math.max(0, Math.min(range.lastRow, rows.length - 1) - range.firstRow + 1);
  const put = (row: number, column: number, matrix: string[][]) => {
    const only = matrix.length === 1 && matrix[0]?.length === 1 ? matrix[0][0] : undefined;
    if (only !== undefined) onEdit(row, column, only, { transient: false });
    else onPaste(row, column, matrix);
  };
  const clear = () => {
    if (isReadOnly || selectedRowCount === 0) return;
    const width = range.lastColumn - range.firstColumn + 1;
    const blank = Array.from({ length: selectedRowCount }, () => Array.from({ length: width }, () => ''));
    put(range.firstRow, range.firstColumn, blank);
  };
  const insertRow = (at: number) => {
    finish();
    onInsertRow?.(at);
    span({ row: at, column: active.column }, { row: at, column: active.column });
  };
  const deleteRows = () => {
    if (isReadOnly || selectedRowCount === 0) return;
    drop();
    onDeleteRows?.(range.firstRow, selectedRowCount);
    const at = { row: range.firstRow, column: active.column };
    span(at, at);
  };
  return { selectedRowCount, put, clear, insertRow, deleteRows };
}

/** The texts of a range, as they stand. */
export function matrixOf(rows: readonly (readonly string[])[], range: CellRange): string[][] {
  const matrix: string[][] = [];
  for (let row = range.firstRow; row <= Math.min(range.lastRow, rows.length - 1); row++) {
    const cells: string[] = [];
    for (let column = range.firstColumn; column <= range.lastColumn; column++) cells.push(rows[row]?.[column] ?? '');
    matrix.push(cells);
  }
  return matrix;
}

export type CellGridState = ReturnType<typeof useCellGrid>;
