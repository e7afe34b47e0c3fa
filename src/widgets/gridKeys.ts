import type { KeyboardEvent } from 'react';
import type { CellGridState } from './useCellGrid.ts';

interface GridEdges {
  columnCount: number;
  isReadOnly: boolean;
}

/** Keys on a cell that is not being typed into. True: the key was used. */
export function navigationKey(event: KeyboardEvent, grid: CellGridState, edges: GridEdges): boolean {
  const { active } = grid;
  const control = event.ctrlKey || event.metaKey;
  const extend = event.shiftKey;
  const lastRow = grid.rowCount - 1;
  const lastColumn = edges.columnCount - 1;
  switch (event.key) {
    case 'ArrowUp':
      grid.go({ row: control ? 0 : active.row - 1, column: active.column }, { extend });
      return true;
    case 'ArrowDown':
      grid.go({ row: control ? lastRow : active.row + 1, column: active.column }, { extend });
      return true;
    case 'ArrowLeft':
      grid.go({ row: active.row, column: control ? 0 : active.column - 1 }, { extend });
      return true;
    case 'ArrowRight':
      grid.go({ row: active.row, column: control ? lastColumn : active.column + 1 }, { extend });
      return true;
    case 'Home':
      grid.go({ row: control ? 0 : active.row, column: 0 }, { extend });
      return true;
    case 'End':
      grid.go({ row: control ? lastRow : active.row, column: lastColumn }, { extend });
      return true;
    case 'PageUp':
    case 'PageDown':
      grid.go({ row: active.row + (event.key === 'PageUp' ? -10 : 10), column: active.column }, { extend });
      return true;
    case 'Enter':
      if (control && !edges.isReadOnly) grid.insertRow(Math.min(active.row + 1, grid.rowCount));
      else grid.enter(event.shiftKey ? -1 : 1);
      return true;
    case 'Tab':
      return grid.tab(event.shiftKey ? -1 : 1);
    default:
      return editingKey(event, grid, edges, control);
  }
}

function editingKey(event: KeyboardEvent, grid: CellGridState, edges: GridEdges, control: boolean): boolean {
  if (event.key === ' ' && event.shiftKey) {
    const row = grid.active.row;
    grid.select({ row, column: 0 }, { row, column: edges.columnCount - 1 });
    return true;
  }
  if (control && event.key.toLowerCase() === 'a') {
    grid.select({ row: 0, column: 0 }, { row: grid.rowCount - 1, column: edges.columnCount - 1 });
    return true;
  }
  if (edges.isReadOnly) return false;
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
export function textKey(event: KeyboardEvent, grid: CellGridState): boolean {
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
