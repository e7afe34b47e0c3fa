import type { PicturePlace } from '../../../../reading/index.ts';

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
  /** Which curve it is, or is a piece of, where it is one of several. */
  curve?: string | undefined;
  places: readonly PicturePlace[];
  look: 'current' | 'other' | 'surge' | 'fitted' | 'fitted-island' | 'grid' | 'proposed';
  closed?: boolean | undefined;
  /** Stands at its last place. */
  label?: string | undefined;
}

interface PointMove {
  /** The last call of a drag. */
  isLast: boolean;
  radiusPx: number;
  by: 'drag' | 'keys';
  /** Dragged by so little that the very place is meant. */
  isFine?: boolean;
}

/** What a person does on the picture. Keep the same object between renders where nothing changed. */
export interface StageEvents {
  /** A click or Enter on a free place; `radiusPx` is what a finger or pointer may be off, in picture pixels. */
  onPlace?: ((place: PicturePlace, radiusPx: number) => void) | undefined;
  /** Alt with a click, or F. */
  onFollow?: ((place: PicturePlace, radiusPx: number) => void) | undefined;
  /** A point was clicked on, or begins to be dragged. */
  onSelect?: ((id: string, by: 'click' | 'drag') => void) | undefined;
  /** A point is being dragged or nudged. */
  onMove?: ((id: string, place: PicturePlace, move: PointMove) => void) | undefined;
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

/** How the picture lies on the stage: the place at the stage's middle, screen pixels per picture pixel, and the turn (radians, clockwise). */
export interface StageView {
  centre: PicturePlace;
  scale: number;
  turn: number;
}

export interface Size {
  width: number;
  height: number;
}

/** A place on the stage, CSS pixels from its top left corner. */
export interface StagePlace {
  left: number;
  top: number;
}

const LARGEST_SCALE = 40;

export function toStage(view: StageView, stage: Size, place: PicturePlace): StagePlace {
  const x = (place.x - view.centre.x) * view.scale;
  const y = (place.y - view.centre.y) * view.scale;
  const cos = Math.cos(view.turn);
  const sin = Math.sin(view.turn);
  return { left: stage.width / 2 + cos * x - sin * y, top: stage.height / 2 + sin * x + cos * y };
}

/** A way on the screen as one in the picture, for a scale of 1. */
export function alongPicture(turn: number, right: number, down: number): PicturePlace {
  const cos = Math.cos(turn);
  const sin = Math.sin(turn);
  return { x: cos * right + sin * down, y: cos * down - sin * right };
}

export function toPicture(view: StageView, stage: Size, { left, top }: StagePlace): PicturePlace {
  const { x, y } = alongPicture(view.turn, left - stage.width / 2, top - stage.height / 2);
  return { x: view.centre.x + x / view.scale, y: view.centre.y + y / view.scale };
}

/** The same as a matrix for SVG and canvas: a, b, c, d, e, f. */
export function stageMatrix(view: StageView, stage: Size): [number, number, number, number, number, number] {
  const a = view.scale * Math.cos(view.turn);
  const b = view.scale * Math.sin(view.turn);
  const { x, y } = view.centre;
  return [a, b, -b, a, stage.width / 2 - a * x + b * y, stage.height / 2 - b * x - a * y];
}

/** The whole picture in sight. */
export function wholePicture(picture: Size, stage: Size, turn: number): StageView {
  const cos = Math.abs(Math.cos(turn));
  const sin = Math.abs(Math.sin(turn));
  const width = cos * picture.width + sin * picture.height;
  const height = sin * picture.width + cos * picture.height;
  const scale = Math.min((stage.width - 16) / width, (stage.height - 16) / height);
  return { centre: { x: picture.width / 2, y: picture.height / 2 }, scale: Math.max(scale, 1e-3), turn };
}

/** Nearer or farther, the place under the pointer staying where it is. */
export function zoomedAt(view: StageView, picture: Size, stage: Size, at: StagePlace, factor: number): StageView {
  const least = wholePicture(picture, stage, view.turn).scale / 2;
  const scale = Math.min(LARGEST_SCALE, Math.max(least, view.scale * factor));
  const held = toPicture(view, stage, at);
  const moved = toPicture({ ...view, scale }, stage, at);
  const centre = { x: view.centre.x + held.x - moved.x, y: view.centre.y + held.y - moved.y };
  return kept({ ...view, scale, centre }, picture);
}

export function panned(view: StageView, picture: Size, dx: number, dy: number): StageView {
  const { x, y } = alongPicture(view.turn, dx, dy);
  return kept({ ...view, centre: { x: view.centre.x - x / view.scale, y: view.centre.y - y / view.scale } }, picture);
}

/** A place brought to the middle, near enough to see it. */
export function centredOn(view: StageView, picture: Size, place: PicturePlace, leastScale: number): StageView {
  return kept({ ...view, centre: place, scale: Math.max(view.scale, leastScale) }, picture);
}

/** The picture cannot be pushed off the stage. */
function kept(view: StageView, picture: Size): StageView {
  const x = Math.min(picture.width, Math.max(0, view.centre.x));
  const y = Math.min(picture.height, Math.max(0, view.centre.y));
  return { ...view, centre: { x, y } };
}
