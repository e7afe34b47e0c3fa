import { type RefObject, useDeferredValue, useEffect, useRef } from 'react';
import type { PointRow } from '../../shared/pointRows.ts';

/**
 * The rows to draw: those in sight at once, those scrolled out of it as soon as the page has a moment, so that an input that changes
 * quickly draws in each frame only what can be seen. Without an observer (or before it has looked) every row counts as seen.
 * @param box The scrolling box around rows that carry `data-rpm`.
 */
export function useRowsInSight(box: RefObject<HTMLElement | null>, rows: readonly PointRow[]): readonly PointRow[] {
  // Not state: a row that comes into sight is up to date by then, and needs no drawing of its own.
  const unseen = useRef<ReadonlySet<number>>(new Set());
  const speeds = rows.map(({ engineSpeedRpm }) => engineSpeedRpm).join();
  // biome-ignore lint/correctness/useExhaustiveDependencies: other engine speeds are other rows to look at
  useEffect(() => {
    if (box.current === null || !('IntersectionObserver' in globalThis)) return;
    const out = new Set<number>();
    unseen.current = out;
    const observer = new IntersectionObserver(
      (entries) => {
        for (const { target, isIntersecting } of entries) {
          const rpm = Number((target as HTMLElement).dataset.rpm);
          if (isIntersecting) out.delete(rpm);
          else out.add(rpm);
        }
      },
      // Two rows more than can be seen: the next ones are right before they are scrolled to.
      { root: box.current, rootMargin: '48px' },
    );
    for (const row of box.current.querySelectorAll('[data-rpm]')) observer.observe(row);
    return () => observer.disconnect();
  }, [box, speeds]);
  const later = useDeferredValue(rows);
  return rows.map((row, index) => {
    const before = later[index];
    return before?.engineSpeedRpm === row.engineSpeedRpm && unseen.current.has(row.engineSpeedRpm) ? before : row;
  });
}
