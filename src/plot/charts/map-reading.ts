import { select } from 'd3-selection';
import { type D3ZoomEvent, type ZoomBehavior, ZoomTransform, zoom, zoomIdentity, zoomTransform } from 'd3-zoom';
import type { FlowAndRatio } from '../../compressor/types.ts';
import type { PixelPoint } from '../frame/pixels.ts';
import type { MapPlotModel, PlotOperatingPoint } from './map-model.ts';
import { type MapScales, toData, toPixel } from './map-scales.ts';

/** The operating point that the read-out stands on. */
export interface NearPoint {
  lineId: string;
  /** Index into the line's points. */
  index: number;
  engineSpeedRpm: number;
}

/** What is being read: a place of the map, or an operating point of one engine speed. */
export interface MapReadout {
  at: FlowAndRatio;
  near: NearPoint | null;
  source: 'pointer' | 'keyboard' | 'model';
}

/** The operating points that can be stood on: present and finite, in rising engine speed. */
export function standablePoints(
  model: MapPlotModel,
  lineIndex: number,
): { point: PlotOperatingPoint; index: number }[] {
  const points = model.operatingLines[lineIndex]?.points ?? [];
  const standable: { point: PlotOperatingPoint; index: number }[] = [];
  points.forEach((point, index) => {
    if (point && Number.isFinite(point.correctedMassFlowKgPerS) && Number.isFinite(point.pressureRatio)) {
      standable.push({ point, index });
    }
  });
  return standable;
}

/** A read-out on an operating point. */
export function readoutOn(
  model: MapPlotModel,
  lineIndex: number,
  index: number,
  source: MapReadout['source'],
): MapReadout | null {
  const line = model.operatingLines[lineIndex];
  const point = line?.points[index];
  if (!line || !point) return null;
  return {
    at: { correctedMassFlowKgPerS: point.correctedMassFlowKgPerS, pressureRatio: point.pressureRatio },
    near: { lineId: line.id, index, engineSpeedRpm: point.engineSpeedRpm },
    source,
  };
}

/** The operating point nearest to a pixel within `reach` pixels, as a read-out; null when none is near. */
export function nearestReadout(
  model: MapPlotModel,
  scales: MapScales,
  pixel: PixelPoint,
  reach: number,
): MapReadout | null {
  let best: { line: number; index: number } | null = null;
  let bestDistance = reach;
  model.operatingLines.forEach((_, line) => {
    for (const { point, index } of standablePoints(model, line)) {
      const at = toPixel(scales, point);
      const distance = Math.hypot(at.x - pixel.x, at.y - pixel.y);
      if (distance < bestDistance) {
        bestDistance = distance;
        best = { line, index };
      }
    }
  });
  const found = best as { line: number; index: number } | null;
  return found ? readoutOn(model, found.line, found.index, 'pointer') : null;
}

/** 'line': the read-out walks along an operating line by engine speed. 'place': it moves freely over the map. */
export type ReadoutMode = 'line' | 'place';

export interface KeyboardState {
  model: MapPlotModel;
  scales: MapScales;
  readout: MapReadout | null;
  mode: ReadoutMode;
}

export interface KeyboardAction {
  /** Left out: as it was. */
  readout?: MapReadout | null;
  mode?: ReadoutMode;
}

const STEP = 6;
const FAST = 5;
const PAN = 40;
const ARROWS: Readonly<Record<string, readonly [number, number]>> = {
  ArrowLeft: [-1, 0],
  ArrowRight: [1, 0],
  ArrowUp: [0, -1],
  ArrowDown: [0, 1],
};

function currentLine(state: KeyboardState): number {
  const id = state.readout?.near?.lineId;
  const index = state.model.operatingLines.findIndex((line) => line.id === id);
  if (index >= 0) return index;
  return Math.max(
    0,
    state.model.operatingLines.findIndex((_, i) => standablePoints(state.model, i).length > 0),
  );
}

function walk(state: KeyboardState, by: number): KeyboardAction {
  const line = currentLine(state);
  const points = standablePoints(state.model, line);
  const last = points.length - 1;
  const standing = points.findIndex(({ index }) => index === state.readout?.near?.index);
  const next = standing < 0 ? (by < 0 ? last : 0) : Math.min(last, Math.max(0, standing + by));
  const target = points[next];
  return target ? { readout: readoutOn(state.model, line, target.index, 'keyboard') } : {};
}

function toEnd(state: KeyboardState, isFirst: boolean): KeyboardAction {
  const line = currentLine(state);
  const target = standablePoints(state.model, line).at(isFirst ? 0 : -1);
  return target ? { readout: readoutOn(state.model, line, target.index, 'keyboard') } : {};
}

function changeLine(state: KeyboardState, by: number): KeyboardAction {
  const line = currentLine(state);
  const next = line + by;
  const points = standablePoints(state.model, next);
  if (points.length === 0) return {};
  const speed = state.readout?.near?.engineSpeedRpm ?? points[0]!.point.engineSpeedRpm;
  const nearest = points.reduce((best, candidate) =>
    Math.abs(candidate.point.engineSpeedRpm - speed) < Math.abs(best.point.engineSpeedRpm - speed) ? candidate : best,
  );
  return { readout: readoutOn(state.model, next, nearest.index, 'keyboard') };
}

function move({ scales, readout }: KeyboardState, u: number, v: number, step: number): KeyboardAction {
  const { left, right, top, bottom } = scales.frame;
  const from = readout ? toPixel(scales, readout.at) : { x: (left + right) / 2, y: (top + bottom) / 2 };
  const to = readout ? { x: from.x + u * step, y: from.y + v * step } : from;
  const held = { x: Math.min(right, Math.max(left, to.x)), y: Math.min(bottom, Math.max(top, to.y)) };
  return { readout: { at: toData(scales, held), near: null, source: 'keyboard' } };
}

function toggled(state: KeyboardState): KeyboardAction {
  if (state.mode === 'line') return { mode: 'place', readout: { ...move(state, 0, 0, 0).readout!, near: null } };
  return { mode: 'line', ...walk({ ...state, readout: null }, 1) };
}

/**
 * What a key does on the focused plot; null when the key is not the plot's (the page keeps it).
 * Arrows: along the operating line (up and down change the candidate) or freely; Shift: five times as far; Alt: pan. Home, End: ends of the line.
 * Enter or L: line or place. + - 0: zoom. Escape: clears the read-out.
 */
export function mapKey(event: KeyboardEvent, state: KeyboardState, zoom: MapZoom): KeyboardAction | null {
  if (event.ctrlKey || event.metaKey) return null;
  const arrow = ARROWS[event.key];
  if (arrow) {
    const [u, v] = arrow;
    if (event.altKey) {
      zoom.panBy(-u * PAN, -v * PAN);
      return {};
    }
    const times = event.shiftKey ? FAST : 1;
    if (state.mode === 'place') return move(state, u, v, STEP * times);
    return v === 0 ? walk(state, u * times) : changeLine(state, v);
  }
  const about = state.readout ? toPixel(state.scales, state.readout.at) : null;
  const centre: [number, number] | undefined = about ? [about.x, about.y] : undefined;
  switch (event.key) {
    case 'Home':
    case 'End':
      return state.mode === 'line' ? toEnd(state, event.key === 'Home') : null;
    case 'Enter':
    case 'l':
    case 'L':
      return toggled(state);
    case '+':
    case '=':
      zoom.zoomIn(centre);
      return {};
    case '-':
      zoom.zoomOut(centre);
      return {};
    case '0':
      zoom.reset();
      return {};
    case 'Escape':
      return state.readout ? { readout: null } : null;
    default:
      return null;
  }
}

/** Deep enough to read one reading of a sheet, not so deep that figures lose their meaning. */
export const MAX_ZOOM = 25;
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
