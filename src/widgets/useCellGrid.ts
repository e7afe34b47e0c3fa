import { useEffect, useRef, useState } from 'react';
import { type CellAt, type CellRange, rangeBetween } from './gridTypes.ts';

export interface CellEdit extends CellAt {
  /** Text of the cell before. */
  original: string;
  text: string;
  /** 'typed': begun by typing, arrow keys leave the cell; 'caret': begun with F2 or a double click, they move in the text. */
  mode: 'typed' | 'caret';
}

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
export function hasTrailingRow(rows: readonly (readonly string[])[], isReadOnly: boolean): boolean {
  return !isReadOnly && (rows.at(-1)?.some((cell) => cell !== '') ?? true);
}

/** Where the person is in a grid, what is selected, and the cell that is being typed into. Knows nothing of keys or of the DOM. */
export function useCellGrid({ rows, columnCount, isReadOnly, onEdit, onPaste, onInsertRow, onDeleteRows }: GridShape) {
  const [wanted, setWanted] = useState<{ active: CellAt; anchor: CellAt }>({
    active: { row: 0, column: 0 },
    anchor: { row: 0, column: 0 },
  });
  const [edit, setEdit] = useState<CellEdit | null>(null);
  /** Texts that this edit has sent: any other text in the cell came from elsewhere (undo), and that one counts. */
  const sent = useRef(new Set<string>());
  /** Column in which a run of Tab presses began: Enter goes back to it, one row down. */
  const runColumn = useRef<number | null>(null);

  const rowCount = rows.length + (hasTrailingRow(rows, isReadOnly) ? 1 : 0);
  const clamp = (at: CellAt): CellAt => ({
    row: Math.max(0, Math.min(at.row, rowCount - 1)),
    column: Math.max(0, Math.min(at.column, columnCount - 1)),
  });
  const active = clamp(wanted.active);
  const range = rangeBetween(active, clamp(wanted.anchor));
  /** Selected rows that hold something: the empty one at the end cannot be deleted. */
  const selectedRowCount = Math.max(0, Math.min(range.lastRow, rows.length - 1) - range.firstRow + 1);
  const textAt = (at: CellAt) => rows[at.row]?.[at.column] ?? '';

  const editedText = edit === null ? null : textAt(edit);
  const textBefore = useRef<string | null>(null);
  useEffect(() => {
    const changed = textBefore.current !== null && editedText !== null && textBefore.current !== editedText;
    textBefore.current = editedText;
    if (changed && !sent.current.has(editedText)) setEdit(null);
  }, [editedText]);

  const finish = () => {
    if (edit !== null && edit.text !== edit.original) onEdit(edit.row, edit.column, edit.text, { transient: false });
    setEdit(null);
  };
  const go = (to: CellAt, how: { extend?: boolean; keepRun?: boolean } = {}) => {
    finish();
    if (!how.keepRun) runColumn.current = null;
    const active = clamp(to);
    setWanted(({ anchor }) => ({ active, anchor: how.extend ? anchor : active }));
  };
  const select = (first: CellAt, last: CellAt) => {
    finish();
    setWanted({ active: first, anchor: last });
  };
  const begin = (mode: CellEdit['mode'], typed?: string) => {
    if (isReadOnly) return;
    const original = textAt(active);
    sent.current = new Set();
    setWanted({ active, anchor: active });
    setEdit({ ...active, original, text: original, mode });
    if (typed !== undefined) write({ ...active, original, text: typed, mode });
  };
  const write = (next: CellEdit) => {
    sent.current.add(next.text);
    setEdit(next);
    onEdit(next.row, next.column, next.text, { transient: true });
  };
  const cancel = () => {
    if (edit !== null && edit.text !== edit.original)
      onEdit(edit.row, edit.column, edit.original, { transient: false });
    setEdit(null);
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
  const put = (row: number, column: number, matrix: string[][]) => {
    const only = matrix.length === 1 && matrix[0]?.length === 1 ? matrix[0][0] : undefined;
    if (only !== undefined) onEdit(row, column, only, { transient: false });
    else onPaste(row, column, matrix);
  };
  const clear = () => {
    if (isReadOnly) return;
    if (selectedRowCount > 0) {
      put(range.firstRow, range.firstColumn, blank(selectedRowCount, range.lastColumn - range.firstColumn + 1));
    }
  };
  const insertRow = (at: number) => {
    finish();
    onInsertRow?.(at);
    setWanted({ active: { row: at, column: active.column }, anchor: { row: at, column: active.column } });
  };
  const deleteRows = () => {
    if (isReadOnly || selectedRowCount === 0) return;
    setEdit(null);
    onDeleteRows?.(range.firstRow, selectedRowCount);
    const at = { row: range.firstRow, column: active.column };
    setWanted({ active: at, anchor: at });
  };
  return {
    ...{ active, range, edit, rowCount, selectedRowCount },
    ...{ finish, go, select, begin, write, cancel, tab, enter, put, clear, insertRow, deleteRows },
  };
}

function blank(height: number, width: number): string[][] {
  return Array.from({ length: height }, () => Array.from({ length: width }, () => ''));
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
