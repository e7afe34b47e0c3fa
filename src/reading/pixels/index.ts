/**
 * Work on a picture's pixels for tracing; pure, no page, runs in Node and in a worker.
 *
 * - `followStroke(image, click)`: a whole line from one click; `snapToStroke(image, place, radius)`: the centre of the line near a place.
 */
export { followStroke } from './follow-stroke.ts';
export type * from './ink.ts';
export { snapToStroke } from './snap-to-stroke.ts';
