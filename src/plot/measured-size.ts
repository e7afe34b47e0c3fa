import { type RefObject, useLayoutEffect, useState } from 'react';
import type { PlotSize } from './map-scales.ts';

/** The inner size of an element in whole pixels, followed as it changes; `fixed` is returned as it is. null until measured. */
export function useMeasuredSize(holder: RefObject<HTMLElement | null>, fixed: PlotSize | undefined): PlotSize | null {
  const [size, setSize] = useState<PlotSize | null>(null);
  useLayoutEffect(() => {
    const element = holder.current;
    if (fixed || !element) return;
    const measure = () => {
      const width = Math.floor(element.clientWidth);
      const height = Math.floor(element.clientHeight);
      if (width > 0 && height > 0) {
        setSize((before) => (before?.width === width && before.height === height ? before : { width, height }));
      }
    };
    measure();
    const observer = new ResizeObserver(measure);
    observer.observe(element);
    return () => observer.disconnect();
  }, [holder, fixed]);
  return fixed ?? size;
}
