import {
  type KeyboardEvent,
  type PointerEvent,
  type RefObject,
  useCallback,
  useEffect,
  useLayoutEffect,
  useRef,
  useState,
} from 'react';
import { useMeasuredSize } from '../../../../plot/index.ts';
import type { PicturePlace } from '../../../../reading/index.ts';
import {
  alongPicture,
  centredOn,
  panned,
  type Size,
  type StageEvents,
  type StagePlace,
  type StagePoint,
  type StageView,
  toPicture,
  toStage,
  wholePicture,
  zoomedAt,
} from './stageView.ts';

/** How the picture lies on the stage: fitted at first, turned with it, zoomed by the wheel. */
export function useStageView(stage: RefObject<HTMLElement | null>, picture: Size, turn: number) {
  const size = useMeasuredSize(stage);
  const [view, setView] = useState<StageView | null>(null);
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

/** Movement below this is a click, in CSS pixels: a finger is never still, a mouse may drag a point by one pixel. */
const STILL = { finger: 4, mouseOnPoint: 1 };
/** A point that was dragged no farther than this, CSS pixels, was put there on purpose: it does not snap back. */
const FINE = 4;
/** How far a pointer may be off a line that was meant, CSS pixels. */
const REACH = 7;
/** Margin within which the keyboard's cross is kept in sight, CSS pixels. */
const EDGE = 20;

interface StageInput {
  stage: RefObject<HTMLElement | null>;
  view: StageView | null;
  size: Size | null;
  picture: Size;
  events: StageEvents;
  setView: (change: (old: StageView | null) => StageView | null) => void;
}

interface Grip {
  at: StagePlace;
  pointId: string | null;
  /** From the pointer to the point's own place, so that a grip beside it does not move it. */
  offset: PicturePlace;
  hasMoved: boolean;
  still: number;
}

/** Pointer on the stage: a click places or selects, a drag moves a point or the picture. */
export function usePointerOnStage(
  input: StageInput & { points: readonly StagePoint[]; onPointer: (place: PicturePlace | null) => void },
) {
  const { stage, view, size, picture, points, events, setView, onPointer } = input;
  const grip = useRef<Grip | null>(null);
  /** Where each finger is: two of them zoom and move the picture. */
  const fingers = useRef(new Map<number, StagePlace>());
  const [isPanning, setPanning] = useState(false);
  const placeAt = (event: PointerEvent) => {
    const box = stage.current?.getBoundingClientRect();
    if (!box || view === null || size === null) return null;
    const at = { left: event.clientX - box.left, top: event.clientY - box.top };
    return { at, place: toPicture(view, size, at), radiusPx: REACH / view.scale };
  };
  const drag = (
    { pointId, offset }: Grip,
    { place, radiusPx }: { place: PicturePlace; radiusPx: number },
    isLast: boolean,
    isFine = false,
  ) => {
    const to = { x: place.x + offset.x, y: place.y + offset.y };
    if (pointId !== null) events.onMove?.(pointId, to, { isLast, radiusPx, by: 'drag', isFine });
  };
  const letGo = (event?: PointerEvent) => {
    grip.current = null;
    if (event !== undefined) fingers.current.delete(event.pointerId);
    setPanning(false);
  };
  const pinch = (id: number, at: StagePlace) => {
    const [before] = [...fingers.current].flatMap(([key, place]) => (key === id ? [] : [place]));
    const old = fingers.current.get(id);
    fingers.current.set(id, at);
    if (before === undefined || old === undefined || size === null) return;
    const span = (place: StagePlace) => Math.max(1, Math.hypot(place.left - before.left, place.top - before.top));
    const middle = { left: (at.left + before.left) / 2, top: (at.top + before.top) / 2 };
    const way = { left: (at.left - old.left) / 2, top: (at.top - old.top) / 2 };
    setView(
      (seen) => seen && zoomedAt(panned(seen, picture, way.left, way.top), picture, size, middle, span(at) / span(old)),
    );
  };
  const handlers = {
    onPointerDown: (event: PointerEvent) => {
      const pointed = placeAt(event);
      const target = event.target as Element;
      if (pointed === null || target.closest('button') !== null) return;
      stage.current?.focus({ preventScroll: true });
      stage.current?.setPointerCapture?.(event.pointerId);
      fingers.current.set(event.pointerId, pointed.at);
      if (fingers.current.size > 1) {
        grip.current = null;
        return;
      }
      const isLeft = event.button === 0;
      const held = isLeft ? target.closest('[data-point]') : null;
      const point = points.find((p) => p.id === held?.getAttribute('data-point'));
      const { x, y } = point?.place ?? pointed.place;
      const offset = { x: x - pointed.place.x, y: y - pointed.place.y };
      // Another button than the left only ever moves the picture.
      const still = event.pointerType === 'mouse' && point !== undefined ? STILL.mouseOnPoint : STILL.finger;
      grip.current = { at: pointed.at, pointId: point?.id ?? null, offset, hasMoved: !isLeft, still };
    },
    onPointerMove: (event: PointerEvent) => {
      const pointed = placeAt(event);
      if (pointed === null) return;
      if (fingers.current.size > 1) return pinch(event.pointerId, pointed.at);
      onPointer(pointed.place);
      if (fingers.current.has(event.pointerId)) fingers.current.set(event.pointerId, pointed.at);
      const held = grip.current;
      if (held === null) return;
      const dx = pointed.at.left - held.at.left;
      const dy = pointed.at.top - held.at.top;
      if (!held.hasMoved && Math.hypot(dx, dy) < held.still) return;
      if (!held.hasMoved && held.pointId !== null) events.onSelect?.(held.pointId, 'drag');
      held.hasMoved = true;
      if (held.pointId !== null) return drag(held, pointed, false);
      held.at = pointed.at;
      setPanning(true);
      setView((old) => old && panned(old, picture, dx, dy));
    },
    onPointerUp: (event: PointerEvent) => {
      const held = grip.current;
      letGo(event);
      const pointed = placeAt(event);
      if (held === null || pointed === null) return;
      if (held.pointId !== null) {
        const way = Math.hypot(pointed.at.left - held.at.left, pointed.at.top - held.at.top);
        if (held.hasMoved) drag(held, pointed, true, way < FINE);
        else events.onSelect?.(held.pointId, 'click');
      } else if (!held.hasMoved) (event.altKey ? events.onFollow : events.onPlace)?.(pointed.place, pointed.radiusPx);
    },
    onPointerLeave: () => {
      if (grip.current === null) onPointer(null);
    },
    onPointerCancel: letGo,
  };
  return { isPanning, handlers };
}

/**
 * The keys of the stage: they do what the pointer does. Arrows go by one pixel of the picture as it is seen (Shift: ten, Alt: a tenth);
 * Enter places, F follows the line, Delete takes away, Insert puts a point between, Page keys go from point to point.
 * @param input.chosen the point that the keys move
 * @param input.cross where the cross or the pointer is; null: in the middle
 */
export function stageKeys(
  input: StageInput & {
    chosen: StagePoint | null;
    cross: PicturePlace | null;
    seeWhole: () => void;
    onCross: (place: PicturePlace | null) => void;
  },
): (event: KeyboardEvent) => void {
  const { stage, view, size, picture, events, setView, chosen, onCross } = input;
  return (event) => {
    if (view === null || size === null || event.target !== stage.current || event.ctrlKey || event.metaKey) return;
    const cross = input.cross ?? toPicture(view, size, { left: size.width / 2, top: size.height / 2 });
    const radiusPx = REACH / view.scale;
    const pixels = event.shiftKey ? 10 : event.altKey ? 0.1 : 1;
    const moveBy = (right: number, down: number) => {
      const from = chosen?.place ?? cross;
      const by = alongPicture(view.turn, right * pixels, down * pixels);
      const to = { x: from.x + by.x, y: from.y + by.y };
      if (chosen !== null) return events.onMove?.(chosen.id, to, { isLast: true, radiusPx, by: 'keys' });
      onCross(to);
      // The picture follows the cross when it would go out of sight.
      setView((old) => {
        if (old === null) return old;
        const { left, top } = toStage(old, size, to);
        const isSeen = left > EDGE && top > EDGE && left < size.width - EDGE && top < size.height - EDGE;
        return isSeen ? old : centredOn(old, picture, to, old.scale);
      });
    };
    const zoom = (factor: number) =>
      setView((old) => old && zoomedAt(old, picture, size, toStage(old, size, chosen?.place ?? cross), factor));
    const acts: readonly (readonly [keys: readonly string[], act: () => unknown])[] = [
      [['ArrowLeft'], () => moveBy(-1, 0)],
      [['ArrowRight'], () => moveBy(1, 0)],
      [['ArrowUp'], () => moveBy(0, -1)],
      [['ArrowDown'], () => moveBy(0, 1)],
      [['Enter'], () => events.onAccept?.() === true || events.onPlace?.(cross, radiusPx)],
      [['f', 'F'], () => events.onFollow?.(cross, radiusPx)],
      [['Delete', 'Backspace'], () => chosen !== null && events.onRemove?.(chosen.id)],
      [['Insert', 'i'], () => events.onInsert?.()],
      [['PageDown'], () => events.onStep?.(1)],
      [['PageUp'], () => events.onStep?.(-1)],
      [['+', '='], () => zoom(1.5)],
      [['-'], () => zoom(1 / 1.5)],
      [['0'], input.seeWhole],
      [
        ['Escape'],
        () => {
          onCross(null);
          events.onDismiss?.();
        },
      ],
    ];
    const act = acts.find(([keys]) => keys.includes(event.key))?.[1];
    if (act === undefined) return;
    event.preventDefault();
    event.stopPropagation();
    act();
  };
}
