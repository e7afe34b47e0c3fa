import { type RefObject, useLayoutEffect, useRef, useState } from 'react';
import type { CellGridState } from './useCellGrid.ts';

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
