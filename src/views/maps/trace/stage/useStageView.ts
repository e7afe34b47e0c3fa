import { type RefObject, useCallback, useEffect, useLayoutEffect, useRef, useState } from 'react';
import { type Size, type StageView, wholePicture, zoomedAt } from '../model/stageView.ts';

/** How the picture lies on the stage: fitted at first, turned with it, zoomed by the wheel. */
export function useStageView(stage: RefObject<HTMLElement | null>, picture: Size, turn: number) {
  const [size, setSize] = useState<Size | null>(null);
  const [view, setView] = useState<StageView | null>(null);
  useLayoutEffect(() => {
    const element = stage.current;
    if (element === null) return;
    const measure = () => {
      const { clientWidth: width, clientHeight: height } = element;
      if (width > 0 && height > 0) setSize({ width, height });
    };
    measure();
    const observer = new ResizeObserver(measure);
    observer.observe(element);
    return () => observer.disconnect();
  }, [stage]);
  const { width, height } = picture;
  const seeWhole = useCallback(() => {
    if (size !== null) setView(wholePicture({ width, height }, size, turn));
  }, [size, width, height, turn]);
  // Another picture, or another quarter turn: the whole of it again. A fine turn keeps the place that is looked at.
  const quarter = Math.round(turn / (Math.PI / 2));
  const fitted = useRef('');
  useLayoutEffect(() => {
    const key = `${width} ${height} ${quarter}`;
    if (size === null) return;
    if (fitted.current !== key) {
      fitted.current = key;
      setView(wholePicture({ width, height }, size, turn));
    } else setView((old) => (old === null || old.turn === turn ? old : { ...old, turn }));
  }, [size, width, height, quarter, turn]);
  useEffect(() => {
    const element = stage.current;
    if (element === null || size === null) return;
    const wheel = (event: WheelEvent) => {
      event.preventDefault();
      const box = element.getBoundingClientRect();
      const at = { left: event.clientX - box.left, top: event.clientY - box.top };
      const factor = Math.exp(-event.deltaY * (event.deltaMode === 1 ? 0.05 : 0.0015));
      setView((old) => old && zoomedAt(old, { width, height }, size, at, factor));
    };
    // Not passive: the page must not scroll or zoom as well.
    element.addEventListener('wheel', wheel, { passive: false });
    return () => element.removeEventListener('wheel', wheel);
  }, [stage, size, width, height]);
  return { size, view, setView, seeWhole };
}
