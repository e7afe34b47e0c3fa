import type { KeyboardEvent, RefObject } from 'react';
import type { PicturePlace } from '../../../../compressor/reading/index.ts';
import { centredOn, type Size, type StageView, toPicture, toStage, zoomedAt } from '../model/stageView.ts';
import { movedBy, type StageAction, stageAction } from './stageKeys.ts';
import type { StageEvents, StagePoint } from './stageTypes.ts';
import { REACH } from './usePointerOnStage.ts';

interface Input {
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
export function useStageKeys(input: Input): (event: KeyboardEvent) => void {
  return (event) => {
    if (input.view === null || event.target !== input.stage.current) return;
    const action = stageAction(event, input.view.view.turn);
    if (action === null) return;
    event.preventDefault();
    event.stopPropagation();
    perform(action, input, input.view);
  };
}

function perform(action: StageAction, input: Input, { view, size }: { view: StageView; size: Size }): void {
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
function moveCross({ onCross, setView, picture }: Input, size: Size, to: PicturePlace): void {
  onCross(to);
  setView((old) => {
    if (old === null) return old;
    const { left, top } = toStage(old, size, to);
    const isSeen = left > EDGE && top > EDGE && left < size.width - EDGE && top < size.height - EDGE;
    return isSeen ? old : centredOn(old, picture, to, old.scale);
  });
}
