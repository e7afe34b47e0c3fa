import { type PointerEvent, type RefObject, useRef, useState } from 'react';
import type { PicturePlace } from '../../../../compressor/reading/index.ts';
import { panned, type Size, type StagePlace, type StageView, toPicture } from '../model/stageView.ts';
import type { StageEvents, StagePoint } from './stageTypes.ts';

/** Movement below this is a click, in CSS pixels. */
const STILL = 4;
/** How far a pointer may be off a line that was meant, CSS pixels. */
export const REACH = 7;

interface Grip {
  at: StagePlace;
  pointId: string | null;
  /** From the pointer to the point's own place, so that a grip beside it does not move it. */
  offset: { x: number; y: number };
  hasMoved: boolean;
}

interface Input {
  stage: RefObject<HTMLElement | null>;
  view: StageView | null;
  size: Size | null;
  picture: Size;
  points: readonly StagePoint[];
  events: StageEvents;
  setView: (change: (old: StageView | null) => StageView | null) => void;
  onPointer: (place: PicturePlace | null) => void;
}

/** Pointer on the stage: a click places or selects, a drag moves a point or the picture. */
export function usePointerOnStage({ stage, view, size, picture, points, events, setView, onPointer }: Input) {
  const grip = useRef<Grip | null>(null);
  const [isPanning, setPanning] = useState(false);
  const placeAt = (event: PointerEvent): { at: StagePlace; place: PicturePlace; radiusPx: number } | null => {
    const box = stage.current?.getBoundingClientRect();
    if (!box || view === null || size === null) return null;
    const at = { left: event.clientX - box.left, top: event.clientY - box.top };
    return { at, place: toPicture(view, size, at), radiusPx: REACH / view.scale };
  };
  const down = (event: PointerEvent) => {
    const pointed = placeAt(event);
    if (pointed === null || (event.target as Element).closest('button') !== null) return;
    stage.current?.focus({ preventScroll: true });
    stage.current?.setPointerCapture?.(event.pointerId);
    const isLeft = event.button === 0;
    const held = isLeft ? (event.target as Element).closest('[data-point]') : null;
    const pointId = held?.getAttribute('data-point') ?? null;
    const point = points.find((p) => p.id === pointId);
    const offset =
      point === undefined ? { x: 0, y: 0 } : { x: point.place.x - pointed.place.x, y: point.place.y - pointed.place.y };
    // Another button than the left only ever moves the picture.
    grip.current = { at: pointed.at, pointId: point?.id ?? null, offset, hasMoved: !isLeft };
  };
  const move = (event: PointerEvent) => {
    const pointed = placeAt(event);
    if (pointed === null) return;
    onPointer(pointed.place);
    const held = grip.current;
    if (held === null) return;
    const dx = pointed.at.left - held.at.left;
    const dy = pointed.at.top - held.at.top;
    if (!held.hasMoved && Math.hypot(dx, dy) < STILL) return;
    if (!held.hasMoved && held.pointId !== null) events.onSelect?.(held.pointId, 'drag');
    held.hasMoved = true;
    if (held.pointId !== null) {
      const place = { x: pointed.place.x + held.offset.x, y: pointed.place.y + held.offset.y };
      events.onMove?.(held.pointId, place, { isLast: false, radiusPx: pointed.radiusPx, by: 'drag' });
      return;
    }
    held.at = pointed.at;
    setPanning(true);
    setView((old) => old && panned(old, picture, dx, dy));
  };
  const up = (event: PointerEvent) => {
    const held = grip.current;
    grip.current = null;
    setPanning(false);
    const pointed = placeAt(event);
    if (held === null || pointed === null) return;
    if (held.pointId !== null && held.hasMoved) {
      const place = { x: pointed.place.x + held.offset.x, y: pointed.place.y + held.offset.y };
      events.onMove?.(held.pointId, place, { isLast: true, radiusPx: pointed.radiusPx, by: 'drag' });
    } else if (held.pointId !== null) events.onSelect?.(held.pointId, 'click');
    else if (!held.hasMoved) {
      if (event.altKey) events.onFollow?.(pointed.place, pointed.radiusPx);
      else events.onPlace?.(pointed.place, pointed.radiusPx);
    }
  };
  const leave = () => {
    if (grip.current === null) onPointer(null);
  };
  const cancel = () => {
    grip.current = null;
    setPanning(false);
  };
  return {
    isPanning,
    handlers: {
      onPointerDown: down,
      onPointerMove: move,
      onPointerUp: up,
      onPointerLeave: leave,
      onPointerCancel: cancel,
    },
  };
}
