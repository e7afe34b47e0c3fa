import { type RefObject, useEffect, useRef } from 'react';

/**
 * Gives an element all of the page, and all of the screen where the browser allows it; everything else cannot be reached meanwhile.
 * Escape, or leaving the full screen by the browser's own means, calls `onLeave`; the keyboard goes back where it came from.
 */
export function useWholeScreen(box: RefObject<HTMLElement | null>, onLeave: () => void): void {
  const newest = useRef(onLeave);
  newest.current = onLeave;
  useEffect(() => {
    const element = box.current;
    if (element === null) return;
    const before = document.activeElement;
    const others = [...document.body.children].filter((other) => other !== element && other instanceof HTMLElement);
    const reached = others.filter((other) => !other.hasAttribute('inert'));
    for (const other of reached) other.setAttribute('inert', '');
    element.focus({ preventScroll: true });
    const endFullScreen = takeFullScreen(() => newest.current());
    const key = (event: KeyboardEvent) => {
      if (event.key !== 'Escape') return;
      event.preventDefault();
      newest.current();
    };
    window.addEventListener('keydown', key);
    return () => {
      window.removeEventListener('keydown', key);
      endFullScreen();
      for (const other of reached) other.removeAttribute('inert');
      if (before instanceof HTMLElement) before.focus({ preventScroll: true });
    };
  }, [box]);
}

/** Asks for the full screen; a browser that refuses changes nothing. In full screen the browser keeps the first Escape to itself. */
function takeFullScreen(onLeft: () => void): () => void {
  const root = document.documentElement;
  let isOurs = false;
  let isOver = false;
  const changed = () => {
    if (document.fullscreenElement === root) isOurs = true;
    else if (isOurs && !isOver) onLeft();
  };
  document.addEventListener('fullscreenchange', changed);
  if (document.fullscreenElement === null) root.requestFullscreen?.()?.catch(() => undefined);
  return () => {
    isOver = true;
    document.removeEventListener('fullscreenchange', changed);
    if (isOurs && document.fullscreenElement !== null) document.exitFullscreen().catch(() => undefined);
  };
}
