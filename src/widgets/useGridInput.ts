import {
  type ClipboardEvent,
  type KeyboardEvent,
  type MouseEvent,
  type PointerEvent,
  type RefObject,
  useLayoutEffect,
  useRef,
  useState,
} from 'react';
import { pasteTooLong, tableTooLong } from '../units/index.ts';
import { formatClipboardTable, isHeading, parseClipboardTable } from './clipboardTable.ts';
import { type CellAt, type CellGridState, type CellRange, matrixOf } from './useCellGrid.ts';

interface GridInput {
  grid: CellGridState;
  rows: readonly (readonly string[])[];
  columnCount: number;
  arrange: ((matrix: string[][]) => string[][]) | undefined;
  /** To be called before the active cell changes by the person's doing: the keyboard follows. */
  follow: () => void;
}

/** Turns keys, pointer and clipboard into what happens in the grid. `notice` is what the last paste has to say. */
export function useGridInput(input: GridInput) {
  const { grid, follow } = input;
  const [notice, setNotice] = useState<string | null>(null);
  const act = () => {
    follow();
    setNotice(null);
  };
  return { notice, ...useKeys(input, act), ...usePointer(input, act), ...clipboard(input, grid, follow, setNotice) };
}

function useKeys({ grid, columnCount }: GridInput, act: () => void) {
  /** After Escape, Tab leaves the grid: nobody is trapped in a long table. */
  const leaveByTab = useRef(false);
  const onKeyDown = (event: KeyboardEvent) => {
    if (event.nativeEvent.isComposing) return;
    if (!grid.edit && event.key === 'Escape') {
      leaveByTab.current = true;
      return;
    }
    if (leaveByTab.current && (event.key === 'Tab' || event.key === 'Shift')) return;
    leaveByTab.current = false;
    const used = grid.edit ? textKey(event, grid) : navigationKey(event, grid, columnCount);
    if (!used) return;
    event.preventDefault();
    // A key used here must not be a shortcut of the page as well.
    event.stopPropagation();
    act();
  };
  return { onKeyDown };
}

/** The cell or row name under the pointer; column null: a row name. */
function placeOf(target: EventTarget): { row: number; column: number | null } | null {
  const cell = target instanceof Element ? target.closest<HTMLElement>('[data-row]') : null;
  if (!cell) return null;
  return {
    row: Number(cell.dataset.row),
    column: cell.dataset.column === undefined ? null : Number(cell.dataset.column),
  };
}

function usePointer({ grid, columnCount }: GridInput, act: () => void) {
  const lastPointer = useRef('mouse');
  const isDragging = useRef(false);
  const onPointerDown = (event: PointerEvent) => {
    lastPointer.current = event.pointerType;
  };
  const onMouseDown = (event: MouseEvent) => {
    const place = placeOf(event.target);
    if (event.button !== 0 || !place || event.target instanceof HTMLInputElement) return;
    event.preventDefault();
    act();
    isDragging.current = true;
    const { row, column } = place;
    if (column === null) grid.select({ row, column: 0 }, { row, column: columnCount - 1 });
    // A finger has no double click worth the name: a second tap on the cell opens it.
    else if (lastPointer.current !== 'mouse' && row === grid.active.row && column === grid.active.column)
      grid.begin('caret');
    else grid.go({ row, column }, { extend: event.shiftKey });
  };
  const onMouseOver = (event: MouseEvent) => {
    const place = placeOf(event.target);
    if (event.buttons !== 1) isDragging.current = false;
    if (!isDragging.current || grid.edit || !place || place.column === null) return;
    act();
    grid.go({ row: place.row, column: place.column }, { extend: true });
  };
  const onDoubleClick = (event: MouseEvent) => {
    const place = placeOf(event.target);
    if (!place || place.column === null || grid.edit) return;
    act();
    grid.begin('caret');
  };
  return { onPointerDown, onMouseDown, onMouseOver, onDoubleClick };
}

function clipboard(
  { rows, columnCount, arrange }: GridInput,
  grid: CellGridState,
  follow: () => void,
  setNotice: (notice: string | null) => void,
) {
  const copy = (event: ClipboardEvent, isCut: boolean) => {
    if (grid.edit) return;
    event.preventDefault();
    event.clipboardData.setData('text/plain', formatClipboardTable(matrixOf(rows, grid.range)));
    if (isCut) grid.clear();
  };
  const onPaste = (event: ClipboardEvent) => {
    const text = event.clipboardData.getData('text/plain');
    // One word pasted into the text of a cell is ordinary typing.
    if (grid.edit && !/[\t\n\r]/.test(text.trim())) return;
    event.preventDefault();
    event.stopPropagation();
    follow();
    const { firstRow: row, firstColumn: column } = grid.range;
    const { matrix, notice } = pasteBlock(text, grid.range, columnCount, arrange);
    setNotice(notice);
    if (!matrix) return;
    const width = Math.max(...matrix.map((cells) => cells.length));
    grid.select({ row, column }, { row: row + matrix.length - 1, column: column + width - 1 });
    grid.put(row, column, matrix);
  };
  return {
    onCopy: (event: ClipboardEvent) => copy(event, false),
    onCut: (event: ClipboardEvent) => copy(event, true),
    onPaste,
  };
}

/** Keys on a cell that is not being typed into. True: the key was used. */
function navigationKey(event: KeyboardEvent, grid: CellGridState, columnCount: number): boolean {
  const { active } = grid;
  const control = event.ctrlKey || event.metaKey;
  const lastRow = grid.rowCount - 1;
  const lastColumn = columnCount - 1;
  const { row, column } = active;
  const to: Readonly<Record<string, CellAt>> = {
    ArrowUp: { row: control ? 0 : row - 1, column },
    ArrowDown: { row: control ? lastRow : row + 1, column },
    ArrowLeft: { row, column: control ? 0 : column - 1 },
    ArrowRight: { row, column: control ? lastColumn : column + 1 },
    Home: { row: control ? 0 : row, column: 0 },
    End: { row: control ? lastRow : row, column: lastColumn },
    PageUp: { row: row - 10, column },
    PageDown: { row: row + 10, column },
  };
  const place = to[event.key];
  if (place !== undefined) {
    grid.go(place, { extend: event.shiftKey });
    return true;
  }
  if (event.key === 'Enter') {
    if (control) grid.insertRow(Math.min(row + 1, grid.rowCount));
    else grid.enter(event.shiftKey ? -1 : 1);
    return true;
  }
  if (event.key === 'Tab') return grid.tab(event.shiftKey ? -1 : 1);
  return editingKey(event, grid, columnCount, control);
}

function editingKey(event: KeyboardEvent, grid: CellGridState, columnCount: number, control: boolean): boolean {
  if (event.key === ' ' && event.shiftKey) {
    const row = grid.active.row;
    grid.select({ row, column: 0 }, { row, column: columnCount - 1 });
    return true;
  }
  if (control && event.key.toLowerCase() === 'a') {
    grid.select({ row: 0, column: 0 }, { row: grid.rowCount - 1, column: columnCount - 1 });
    return true;
  }
  if (event.key === 'F2') {
    grid.begin('caret');
    return true;
  }
  if (event.key === 'Insert' && !control && !event.shiftKey) {
    grid.insertRow(grid.active.row);
    return true;
  }
  if (event.key === 'Delete' || event.key === 'Backspace') {
    if (control) grid.deleteRows();
    else grid.clear();
    return true;
  }
  if (event.key.length === 1 && !control && !event.altKey) {
    grid.begin('typed', event.key);
    return true;
  }
  return false;
}

/** Keys in the text of a cell. True: the key was used. */
function textKey(event: KeyboardEvent, grid: CellGridState): boolean {
  const { active, edit } = grid;
  const moves = edit?.mode === 'typed';
  switch (event.key) {
    case 'Enter':
      grid.enter(event.shiftKey ? -1 : 1);
      return true;
    case 'Tab':
      if (grid.tab(event.shiftKey ? -1 : 1)) return true;
      grid.finish();
      return false;
    case 'Escape':
      grid.cancel();
      return true;
    case 'ArrowUp':
      grid.go({ row: active.row - 1, column: active.column });
      return true;
    case 'ArrowDown':
      grid.go({ row: active.row + 1, column: active.column });
      return true;
    case 'ArrowLeft':
      if (moves) grid.go({ row: active.row, column: active.column - 1 });
      return moves;
    case 'ArrowRight':
      if (moves) grid.go({ row: active.row, column: active.column + 1 });
      return moves;
    default:
      return false;
  }
}

/**
 * What a pasted text puts where the selection begins: its cells, as far as there are columns. One cell fills the whole selection.
 * The notice says how much came in, and what had no room and how to keep it. No matrix: there was nothing to paste, or more than a table holds.
 */
function pasteBlock(
  text: string,
  range: CellRange,
  columnCount: number,
  arrange: GridInput['arrange'],
): { matrix: string[][] | null; notice: string } {
  const tooLong = pasteTooLong(text);
  if (tooLong !== null) return { matrix: null, notice: tooLong };
  const cells = parseClipboardTable(text);
  const matrix = range.firstColumn === 0 && arrange !== undefined ? arrange(cells) : cells;
  const tooMany = tableTooLong(range.firstRow + matrix.length);
  if (tooMany !== null) return { matrix: null, notice: tooMany };
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
  // Whoever takes the block knows a heading by the same rule, and leaves it out.
  const count = matrix.length - (matrix.length > 1 && isHeading(matrix[0] ?? []) ? 1 : 0);
  const pasted = count === 1 ? '1 row pasted.' : `${count} rows pasted.`;
  const leftOut =
    over === 1
      ? ' The last column had no room from here on and was left out: paste farther left to keep it.'
      : ` The last ${over} columns had no room from here on and were left out: paste farther left to keep them.`;
  return { matrix: matrix.map((row) => row.slice(0, room)), notice: over > 0 ? pasted + leftOut : pasted };
}

/**
 * After something the person did (`follow`), the keyboard goes to the active cell, or into its text, once the grid is drawn.
 * `newest` is the grid as it was drawn last, for handlers that never change.
 */
export function useFollowingFocus(grid: CellGridState, table: RefObject<HTMLTableElement | null>) {
  const isWanted = useRef(false);
  const newest = useRef(grid);
  useLayoutEffect(() => {
    newest.current = grid;
    if (!isWanted.current) return;
    isWanted.current = false;
    const { row, column } = grid.active;
    const cell = table.current?.querySelector<HTMLElement>(`td[data-row="${row}"][data-column="${column}"]`);
    const input = cell?.querySelector('input');
    if (!input) cell?.focus();
    else if (document.activeElement !== input) {
      input.focus();
      input.setSelectionRange(input.value.length, input.value.length);
    }
  });
  const [follow] = useState(() => () => {
    isWanted.current = true;
  });
  return { follow, newest };
}
