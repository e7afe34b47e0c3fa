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
import type { PicturePlace } from '../../../../reading/index.ts';
import {
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

/** What a key on the stage asks for. */
export type StageAction =
  | { do: 'step-by'; dx: number; dy: number }
  | {
      do: 'place' | 'follow' | 'remove' | 'insert' | 'next' | 'previous' | 'dismiss' | 'zoom-in' | 'zoom-out' | 'whole';
    };

const ARROWS: Readonly<Record<string, readonly [number, number]>> = {
  ArrowLeft: [-1, 0],
  ArrowRight: [1, 0],
  ArrowUp: [0, -1],
  ArrowDown: [0, 1],
};

interface Key {
  key: string;
  shiftKey: boolean;
  altKey: boolean;
  ctrlKey: boolean;
  metaKey: boolean;
}

/**
 * Arrows go by one pixel of the picture as it is seen (Shift: ten, Alt: a tenth); Enter places, F follows the line, Delete takes away,
 * Insert puts a point between, Page keys go from point to point. null: not a key of the stage.
 */
export function stageAction(event: Key, turn: number): StageAction | null {
  if (event.ctrlKey || event.metaKey) return null;
  const arrow = ARROWS[event.key];
  if (arrow !== undefined) {
    const by = event.shiftKey ? 10 : event.altKey ? 0.1 : 1;
    const [dx, dy] = [arrow[0] * by, arrow[1] * by];
    return {
      do: 'step-by',
      dx: Math.cos(turn) * dx + Math.sin(turn) * dy,
      dy: Math.cos(turn) * dy - Math.sin(turn) * dx,
    };
  }
  switch (event.key) {
    case 'Enter':
      return { do: 'place' };
    case 'f':
    case 'F':
      return { do: 'follow' };
    case 'Delete':
    case 'Backspace':
      return { do: 'remove' };
    case 'Insert':
    case 'i':
      return { do: 'insert' };
    case 'PageDown':
      return { do: 'next' };
    case 'PageUp':
      return { do: 'previous' };
    case 'Escape':
      return { do: 'dismiss' };
    case '+':
    case '=':
      return { do: 'zoom-in' };
    case '-':
      return { do: 'zoom-out' };
    case '0':
      return { do: 'whole' };
    default:
      return null;
  }
}

export function movedBy({ x, y }: PicturePlace, dx: number, dy: number): PicturePlace {
  return { x: x + dx, y: y + dy };
}

interface KeysInput {
  stage: RefObject<HTMLElement | null>;
  view: { view: StageView; size: Size } | null;
  picture: Size;
  /** The point that the keys move. */
  chosen: StagePoint | null;
  /** Where the cross or the pointer is; null: in the middle. */
  cross: PicturePlace | null;
  events: StageEvents;
  setView: (change: (old: StageView | null) => StageView | null) => void;
  seeWhole: () => void;
  onCross: (place: PicturePlace | null) => void;
}

/** Margin within which the cross is kept in sight, CSS pixels. */
const EDGE = 20;

/** The keys of the stage: they do what the pointer does. */
export function useStageKeys(input: KeysInput): (event: KeyboardEvent) => void {
  return (event) => {
    if (input.view === null || event.target !== input.stage.current) return;
    const action = stageAction(event, input.view.view.turn);
    if (action === null) return;
    event.preventDefault();
    event.stopPropagation();
    perform(action, input, input.view);
  };
}

function perform(action: StageAction, input: KeysInput, { view, size }: { view: StageView; size: Size }): void {
  const { events, chosen, picture, setView } = input;
  const cross = input.cross ?? toPicture(view, size, { left: size.width / 2, top: size.height / 2 });
  const radiusPx = REACH / view.scale;
  const zoom = (factor: number) =>
    setView((old) => old && zoomedAt(old, picture, size, toStage(old, size, chosen?.place ?? cross), factor));
  switch (action.do) {
    case 'step-by': {
      if (chosen === null) moveCross(input, size, movedBy(cross, action.dx, action.dy));
      else {
        const to = movedBy(chosen.place, action.dx, action.dy);
        events.onMove?.(chosen.id, to, { isLast: true, radiusPx, by: 'keys' });
      }
      break;
    }
    case 'place':
      if (events.onAccept?.() !== true) events.onPlace?.(cross, radiusPx);
      break;
    case 'follow':
      events.onFollow?.(cross, radiusPx);
      break;
    case 'remove':
      if (chosen !== null) events.onRemove?.(chosen.id);
      break;
    case 'insert':
      events.onInsert?.();
      break;
    case 'next':
    case 'previous':
      events.onStep?.(action.do === 'next' ? 1 : -1);
      break;
    case 'dismiss':
      input.onCross(null);
      events.onDismiss?.();
      break;
    case 'zoom-in':
    case 'zoom-out':
      zoom(action.do === 'zoom-in' ? 1.5 : 1 / 1.5);
      break;
    case 'whole':
      input.seeWhole();
      break;
  }
}

/** The picture follows the cross when it would go out of sight. */
function moveCross({ onCross, setView, picture }: KeysInput, size: Size, to: PicturePlace): void {
  onCross(to);
  setView((old) => {
    if (old === null) return old;
    const { left, top } = toStage(old, size, to);
    const isSeen = left > EDGE && top > EDGE && left < size.width - EDGE && top < size.height - EDGE;
    return isSeen ? old : centredOn(old, picture, to, old.scale);
  });
}
