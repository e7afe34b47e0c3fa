import { type RefObject, useEffect, useState } from 'react';

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
