import { useState } from 'react';
import { type CellAt, rangeBetween } from './gridTypes.ts';

/** The active cell and the selection from its anchor to it, always inside the grid, also after rows have gone. */
export function useGridPlace(rowCount: number, columnCount: number) {
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
