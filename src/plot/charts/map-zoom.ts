import { type D3ZoomEvent, select, type ZoomBehavior, ZoomTransform, zoom, zoomIdentity, zoomTransform } from 'd3';
import type { MapScales } from './map-model.ts';

/** Deep enough to read one reading of a sheet, not so deep that figures lose their meaning. */
const MAX_ZOOM = 25;
const ZOOM_STEP = 1.5;

export interface MapZoom {
  transform(): ZoomTransform;
  /** Tells the zoom what the unzoomed drawing is; what was in view stays in view. */
  setBase(base: MapScales): void;
  /** About the middle, or a pixel. */
  zoomIn(about?: [number, number]): void;
  zoomOut(about?: [number, number]): void;
  reset(): void;
  /** Moves the map by pixels. */
  panBy(dx: number, dy: number): void;
  destroy(): void;
}

/**
 * Wheel with Ctrl or Meta, or when the plot has the focus (otherwise the page scrolls); drag, pinch and double click. One finger
 * scrolls the page while nothing is zoomed.
 */
function accepts(svg: SVGSVGElement, event: WheelEvent | MouseEvent | TouchEvent): boolean {
  if (event.type === 'wheel') return event.ctrlKey || event.metaKey || svg.ownerDocument.activeElement === svg;
  if ('touches' in event) return event.touches.length > 1 || zoomTransform(svg).k > 1;
  return !event.ctrlKey && !(event as MouseEvent).button;
}

/** Zoom, in powers of two, of one wheel event. A pinch on a touchpad arrives as small steps with Ctrl and is taken ten times. */
function wheelDelta(event: WheelEvent): number {
  const perUnit = event.deltaMode === 1 ? 0.05 : event.deltaMode === 2 ? 1 : 0.002;
  const isPinch = event.ctrlKey && event.deltaMode === 0 && Math.abs(event.deltaY) < 30;
  return Math.max(-0.6, Math.min(0.6, -event.deltaY * perUnit * (isPinch ? 10 : 1)));
}

function keyOf({ frame, x, y }: MapScales): string {
  return JSON.stringify([frame, x.domain(), y.domain()]);
}

/** The transform that shows with `next` what `before` showed with `transform`. */
function carriedOver(transform: ZoomTransform, before: MapScales, next: MapScales): ZoomTransform {
  if (transform.k === 1) return zoomIdentity;
  const flow = before.x.invert(transform.invertX(before.frame.left));
  const ratio = before.y.invert(transform.invertY(before.frame.bottom));
  return new ZoomTransform(
    transform.k,
    next.frame.left - transform.k * next.x(flow),
    next.frame.bottom - transform.k * next.y(ratio),
  );
}

/** Zoom and pan over the frame by d3-zoom; `onChange` is called after every change. */
export function createMapZoom(svg: SVGSVGElement, onChange: () => void): MapZoom {
  const root = select<SVGSVGElement, unknown>(svg);
  let base: MapScales | null = null;
  const behaviour: ZoomBehavior<SVGSVGElement, unknown> = zoom<SVGSVGElement, unknown>()
    .scaleExtent([1, MAX_ZOOM])
    .filter((event: WheelEvent | MouseEvent | TouchEvent) => accepts(svg, event))
    .wheelDelta(wheelDelta)
    .duration(svg.ownerDocument.defaultView?.matchMedia?.('(prefers-reduced-motion: reduce)').matches ? 0 : 160)
    .on('zoom', (event: D3ZoomEvent<SVGSVGElement, unknown>) => {
      // Unzoomed there is nothing to pan: leave one-finger scrolling to the page.
      root.style('touch-action', event.transform.k > 1 ? 'none' : 'pan-x pan-y');
      onChange();
    });
  root.call(behaviour).style('touch-action', 'pan-x pan-y');
  const middle = (): [number, number] => {
    const frame = base?.frame ?? { left: 0, right: 0, top: 0, bottom: 0 };
    return [(frame.left + frame.right) / 2, (frame.top + frame.bottom) / 2];
  };
  return {
    transform: () => zoomTransform(svg),
    setBase(next) {
      if (base && keyOf(base) === keyOf(next)) return;
      const { left, top, right, bottom } = next.frame;
      const corners: [[number, number], [number, number]] = [
        [left, top],
        [right, bottom],
      ];
      behaviour.extent(corners).translateExtent(corners);
      // Silent: the caller draws anyway.
      if (base) root.property('__zoom', carriedOver(zoomTransform(svg), base, next));
      base = next;
    },
    zoomIn: (about) => behaviour.scaleBy(root, ZOOM_STEP, about ?? middle()),
    zoomOut: (about) => behaviour.scaleBy(root, 1 / ZOOM_STEP, about ?? middle()),
    reset: () => behaviour.transform(root, zoomIdentity),
    panBy(dx, dy) {
      const { k } = zoomTransform(svg);
      behaviour.translateBy(root, dx / k, dy / k);
    },
    destroy: () => {
      root.on('.zoom', null);
    },
  };
}
