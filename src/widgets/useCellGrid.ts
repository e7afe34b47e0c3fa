import { type RefObject, useEffect, useRef, useState } from 'react';

export interface CellColumn {
  key: string;
  header: string;
  /** Under the header: 'kg/s'. */
  unit?: string | undefined;
  /** Numbers stand at the end, words at the start. */
  align?: 'start' | 'end' | undefined;
  /** Any CSS width; columns share what is left. */
  width?: string | undefined;
  /** Faint text of an empty cell ('optional'). */
  placeholder?: string | undefined;
}

/** Something to say about a cell; null as column: about the whole row. */
export interface CellMark {
  row: number;
  column: number | null;
  severity: 'error' | 'warning';
  /** Plain words: what, where, what to do. */
  message: string;
}

export interface CellAt {
  row: number;
  column: number;
}

/** Rows and columns first to last, both included. */
export interface CellRange {
  firstRow: number;
  lastRow: number;
  firstColumn: number;
  lastColumn: number;
}

function rangeBetween(a: CellAt, b: CellAt): CellRange {
  return {
    firstRow: Math.min(a.row, b.row),
    lastRow: Math.max(a.row, b.row),
    firstColumn: Math.min(a.column, b.column),
    lastColumn: Math.max(a.column, b.column),
  };
}

export type MarksByRow = ReadonlyMap<number, readonly CellMark[]>;

export function groupByRow(marks: readonly CellMark[]): MarksByRow {
  const rows = new Map<number, CellMark[]>();
  for (const mark of marks) {
    const row = rows.get(mark.row);
    if (row) row.push(mark);
    else rows.set(mark.row, [mark]);
  }
  return rows;
}

/** The mark of that cell, errors first, else of its row. */
export function markAt(marks: MarksByRow, at: CellAt): CellMark | undefined {
  const ofRow = marks.get(at.row) ?? [];
  const ofCell = ofRow.filter((mark) => mark.column === at.column);
  return ofCell.find((mark) => mark.severity === 'error') ?? ofCell[0] ?? ofRow.find((mark) => mark.column === null);
}

export interface CellGridEvents {
  /** A cell's new text: at every keystroke (transient: true) and when the cell is left (false). row may be rows.length: a new row. */
  onEdit: (row: number, column: number, text: string, change: { transient: boolean }) => void;
  /** A block of texts to put at that cell; rows may have to be added. Also used to clear a range (empty texts). */
  onPaste: (row: number, column: number, matrix: string[][]) => void;
  /** Put an empty row at that index. */
  onInsertRow: (at: number) => void;
  onDeleteRows: (first: number, count: number) => void;
}

interface GridShape extends CellGridEvents {
  rows: readonly (readonly string[])[];
  columnCount: number;
}

/** An empty row at the end to type into, unless the last row is empty itself. */
function hasTrailingRow(rows: readonly (readonly string[])[]): boolean {
  return rows.at(-1)?.some((cell) => cell !== '') ?? true;
}

/** Where the person is in a grid, what is selected, and the cell that is being typed into. Knows nothing of keys or of the DOM. */
export function useCellGrid(shape: GridShape) {
  const { rows, columnCount } = shape;
  const rowCount = rows.length + (hasTrailingRow(rows) ? 1 : 0);
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
  { rows, onEdit, onPaste, onInsertRow, onDeleteRows }: GridShape,
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
    if (selectedRowCount === 0) return;
    const width = range.lastColumn - range.firstColumn + 1;
    const blank = Array.from({ length: selectedRowCount }, () => Array.from({ length: width }, () => ''));
    put(range.firstRow, range.firstColumn, blank);
  };
  const insertRow = (at: number) => {
    finish();
    onInsertRow(at);
    span({ row: at, column: active.column }, { row: at, column: active.column });
  };
  const deleteRows = () => {
    if (selectedRowCount === 0) return;
    drop();
    onDeleteRows(range.firstRow, selectedRowCount);
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

/** The active cell and the selection from its anchor to it, always inside the grid, also after rows have gone. */
function useGridPlace(rowCount: number, columnCount: number) {
  const [wanted, setWanted] = useState<{ active: CellAt; anchor: CellAt }>({
    active: { row: 0, column: 0 },
    anchor: { row: 0, column: 0 },
  });
  const clamp = (at: CellAt): CellAt => ({
    row: Math.max(0, Math.min(at.row, rowCount - 1)),
    column: Math.max(0, Math.min(at.column, columnCount - 1)),
  });
  const active = clamp(wanted.active);
  const moveTo = (to: CellAt, extend = false) => {
    const next = clamp(to);
    setWanted(({ anchor }) => ({ active: next, anchor: extend ? anchor : next }));
  };
  /** Both ends as given: rows may be about to be added. */
  const span = (first: CellAt, last: CellAt) => setWanted({ active: first, anchor: last });
  return { active, range: rangeBetween(active, clamp(wanted.anchor)), moveTo, span };
}

export interface CellEdit extends CellAt {
  /** Text of the cell before. */
  original: string;
  text: string;
  /** 'typed': begun by typing, arrow keys leave the cell; 'caret': begun with F2 or a double click, they move in the text. */
  mode: 'typed' | 'caret';
}

type OnEdit = (row: number, column: number, text: string, change: { transient: boolean }) => void;

/**
 * The cell that is being typed into. Every keystroke is sent at once; `finish` sends the last text once more as the end of the edit,
 * `cancel` the original one. When the cell's text changes from elsewhere (undo), the edit is given up and that text counts.
 */
function useCellEdit(textAt: (at: CellAt) => string, onEdit: OnEdit) {
  const [edit, setEdit] = useState<CellEdit | null>(null);
  /** Texts that this edit has sent: any other text in the cell came from elsewhere. */
  const sent = useRef(new Set<string>());
  const textNow = edit === null ? null : textAt(edit);
  const textBefore = useRef<string | null>(null);
  useEffect(() => {
    const changed = textBefore.current !== null && textNow !== null && textBefore.current !== textNow;
    textBefore.current = textNow;
    if (changed && !sent.current.has(textNow)) setEdit(null);
  }, [textNow]);

  const write = (next: CellEdit) => {
    sent.current.add(next.text);
    setEdit(next);
    onEdit(next.row, next.column, next.text, { transient: true });
  };
  const begin = (at: CellAt, mode: CellEdit['mode'], typed?: string) => {
    const original = textAt(at);
    sent.current = new Set();
    if (typed === undefined) setEdit({ ...at, original, text: original, mode });
    else write({ ...at, original, text: typed, mode });
  };
  const end = (text: 'text' | 'original') => {
    if (edit !== null && edit.text !== edit.original) onEdit(edit.row, edit.column, edit[text], { transient: false });
    setEdit(null);
  };
  return { edit, begin, write, finish: () => end('text'), cancel: () => end('original'), drop: () => setEdit(null) };
}

/** Tables up to this long are drawn whole. */
const DRAWN_WHOLE = 300;
/** Rows drawn above and below what is seen. */
const BEYOND = 30;
const USUAL_ROW_PX = 27;

/** Rows to draw, first to last, both included, in their order; what lies between them is room. */
export interface SeenRows {
  isWhole: boolean;
  spans: readonly (readonly [first: number, last: number])[];
  rowPx: number;
}

/** Which rows of a long table are drawn: those that are seen, and the one where the keyboard is. */
export function useSeenRows(box: RefObject<HTMLElement | null>, rowCount: number, activeRow: number): SeenRows {
  const isWhole = rowCount <= DRAWN_WHOLE;
  const [seen, setSeen] = useState({ first: 0, last: 60, rowPx: USUAL_ROW_PX });
  useEffect(() => {
    const element = box.current;
    if (isWhole || element === null) return;
    const look = () => {
      const rowPx =
        element.querySelector<HTMLElement>('tr[aria-rowindex]:not(:first-child)')?.offsetHeight || USUAL_ROW_PX;
      // In steps, so that scrolling within one draws nothing.
      const first = Math.floor(element.scrollTop / rowPx / BEYOND) * BEYOND;
      const last = first + BEYOND + Math.ceil(element.clientHeight / rowPx);
      setSeen((old) =>
        old.first === first && old.last === last && old.rowPx === rowPx ? old : { first, last, rowPx },
      );
    };
    look();
    element.addEventListener('scroll', look, { passive: true });
    return () => element.removeEventListener('scroll', look);
  }, [box, isWhole]);
  if (isWhole) return { isWhole, spans: rowCount === 0 ? [] : [[0, rowCount - 1]], rowPx: seen.rowPx };
  const first = Math.max(0, Math.min(seen.first, rowCount - 1) - BEYOND);
  const last = Math.min(rowCount - 1, seen.last + BEYOND);
  const spans: (readonly [number, number])[] = [[first, last]];
  if (activeRow < first) spans.unshift([activeRow, activeRow]);
  else if (activeRow > last) spans.push([activeRow, activeRow]);
  return { isWhole, spans, rowPx: seen.rowPx };
}
