import { type ClipboardEvent, type KeyboardEvent, type MouseEvent, type PointerEvent, useRef, useState } from 'react';
import { formatClipboardTable } from './clipboardTable.ts';
import { navigationKey, textKey } from './gridKeys.ts';
import { pasteBlock } from './pasteBlock.ts';
import { type CellGridState, matrixOf } from './useCellGrid.ts';

interface GridInput {
  grid: CellGridState;
  rows: readonly (readonly string[])[];
  columnCount: number;
  isReadOnly: boolean;
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

function useKeys({ grid, columnCount, isReadOnly }: GridInput, act: () => void) {
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
    const used = grid.edit ? textKey(event, grid) : navigationKey(event, grid, { columnCount, isReadOnly });
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
  { rows, columnCount, isReadOnly }: GridInput,
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
    if (isReadOnly || (grid.edit && !/[\t\n\r]/.test(text.trim()))) return;
    event.preventDefault();
    event.stopPropagation();
    follow();
    const { firstRow: row, firstColumn: column } = grid.range;
    const { matrix, notice } = pasteBlock(text, grid.range, columnCount);
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
