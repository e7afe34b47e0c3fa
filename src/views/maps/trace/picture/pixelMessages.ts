import type { FollowedStroke, PixelPlace, SnappedPlace } from '../pixels/types.ts';

/** What the page asks of the worker that holds the pixels. */
export type PixelQuestion =
  | { id: number; ask: 'load'; bytes: Blob }
  | { id: number; ask: 'snap'; place: PixelPlace; radiusPx: number }
  | { id: number; ask: 'follow'; place: PixelPlace; radiusPx: number; thinPx: number; mostPoints: number };

export type PixelAnswer =
  | { id: number; ok: true; snapped?: SnappedPlace | null; followed?: FollowedStroke }
  | { id: number; ok: false; message: string };
