import { type RefObject, useEffect, useReducer, useRef, useState } from 'react';
import type { PointRow } from '../../shared/pointRows.ts';

/** Rows out of sight wait until the input has rested so long: a slider that is dragged draws in each frame only what can be seen. */
const REST_MS = 120;

export interface RowsInSight {
  drawn: readonly PointRow[];
  /** Some rows out of sight are behind; whoever reads the whole table must wait. */
  isBehind: boolean;
}

/**
 * The rows to draw: those in sight as they are now, those scrolled out of it as they were drawn last, until the input rests. A row that comes into
 * sight is brought up to date with it. Without an observer, or before it has looked, every row counts as seen.
 * @param box The scrolling box around rows that carry `data-rpm`.
 */
export function useRowsInSight(box: RefObject<HTMLElement | null>, rows: readonly PointRow[]): RowsInSight {
  const speeds = rows.map(({ engineSpeedRpm }) => engineSpeedRpm).join();
  const unseen = useUnseenRows(box, speeds);
  const [rested, setRested] = useState(rows);
  const before = useRef(rows);
  const drawn =
    rested === rows
      ? rows
      : rows.map((row, index) => {
          const last = before.current[index];
          return last?.engineSpeedRpm === row.engineSpeedRpm && unseen.has(row.engineSpeedRpm) ? last : row;
        });
  const isBehind = drawn.some((row, index) => row !== rows[index]);
  useEffect(() => {
    before.current = drawn;
  });
  useEffect(() => {
    if (!isBehind) return;
    const timer = setTimeout(() => setRested(rows), REST_MS);
    return () => clearTimeout(timer);
  }, [isBehind, rows]);
  return { drawn, isBehind };
}

/** Engine speeds of the rows that are out of sight. The same set for ever, so that it can be read at any time; draws again when one comes in. */
function useUnseenRows(box: RefObject<HTMLElement | null>, speeds: string): ReadonlySet<number> {
  const unseen = useRef(new Set<number>()).current;
  const [, draw] = useReducer((count: number) => count + 1, 0);
  // biome-ignore lint/correctness/useExhaustiveDependencies: other engine speeds are other rows to look at
  useEffect(() => {
    unseen.clear();
    if (box.current === null || !('IntersectionObserver' in globalThis)) return;
    const look = (entries: readonly IntersectionObserverEntry[]) => {
      let cameIn = false;
      for (const { target, isIntersecting } of entries) {
        const rpm = Number((target as HTMLElement).dataset.rpm);
        if (isIntersecting) cameIn = unseen.delete(rpm) || cameIn;
        else unseen.add(rpm);
      }
      if (cameIn) draw();
    };
    // A row or two more than can be seen, so that the next ones are right before they are scrolled to.
    const observer = new IntersectionObserver(look, { root: box.current, rootMargin: '24px' });
    for (const row of box.current.querySelectorAll('[data-rpm]')) observer.observe(row);
    return () => observer.disconnect();
  }, [box, unseen, speeds]);
  return unseen;
}
