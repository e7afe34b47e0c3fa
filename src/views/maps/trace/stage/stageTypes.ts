import type { PicturePlace } from '../../../../compressor/reading/index.ts';

export interface StagePoint {
  id: string;
  place: PicturePlace;
  /** Told apart by shape and weight: axis: square; current and other: dots; proposed: ring; reading: diamond. */
  look: 'axis' | 'current' | 'other' | 'proposed' | 'reading';
  /** Spoken and shown beside it: 'point 3, 0.1234 kg/s, 1.85'. */
  name: string;
  isDoubtful?: boolean | undefined;
  /** Seen, but not gripped: a click on it is a click on the picture. */
  isFixed?: boolean | undefined;
}

export interface StageLine {
  id: string;
  places: readonly PicturePlace[];
  look: 'current' | 'other' | 'surge' | 'fitted' | 'fitted-island' | 'grid' | 'proposed';
  closed?: boolean | undefined;
  /** Stands at its last place. */
  label?: string | undefined;
}

/** What a person does on the picture. Keep the same object between renders where nothing changed. */
export interface StageEvents {
  /** A click or Enter on a free place; `radiusPx` is what a finger or pointer may be off, in picture pixels. */
  onPlace?: ((place: PicturePlace, radiusPx: number) => void) | undefined;
  /** Alt with a click, or F. */
  onFollow?: ((place: PicturePlace, radiusPx: number) => void) | undefined;
  /** A point was clicked on, or begins to be dragged. */
  onSelect?: ((id: string, by: 'click' | 'drag') => void) | undefined;
  /** A point is being dragged or nudged; the last call of a drag has `isLast`. */
  onMove?:
    | ((id: string, place: PicturePlace, move: { isLast: boolean; radiusPx: number; by: 'drag' | 'keys' }) => void)
    | undefined;
  onRemove?: ((id: string) => void) | undefined;
  /** Another point: +1 the next, -1 the one before. */
  onStep?: ((by: number) => void) | undefined;
  /** A point between the selected one and the next. */
  onInsert?: (() => void) | undefined;
  /** Enter with something to accept; true when it was taken. */
  onAccept?: (() => boolean) | undefined;
  /** Escape. */
  onDismiss?: (() => void) | undefined;
}
