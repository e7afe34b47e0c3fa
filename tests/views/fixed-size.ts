import { vi } from 'vitest';

/** jsdom measures nothing: every plot is drawn at this size. */
export function drawAtFixedSize(widthPx: number, heightPx: number): void {
  vi.stubGlobal(
    'ResizeObserver',
    class {
      observe() {}
      disconnect() {}
      unobserve() {}
    },
  );
  vi.spyOn(HTMLElement.prototype, 'clientWidth', 'get').mockReturnValue(widthPx);
  vi.spyOn(HTMLElement.prototype, 'clientHeight', 'get').mockReturnValue(heightPx);
}
