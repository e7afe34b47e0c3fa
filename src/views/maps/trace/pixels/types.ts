/** A picture's pixels as a canvas gives them: RGBA, row by row. ImageData fits. */
export interface PixelImage {
  readonly width: number;
  readonly height: number;
  readonly data: Uint8ClampedArray;
}

/** A place in pixels; the top left corner of the picture is (0, 0), the centre of the first pixel (0.5, 0.5). */
export interface PixelPlace {
  x: number;
  y: number;
}

/** 0..255 each. */
export interface Rgb {
  r: number;
  g: number;
  b: number;
}

/** What a stroke looks like at one place. */
export interface StrokeLook {
  /** Colour of its core. */
  colour: Rgb;
  /** Colour of the paper beside it. */
  paper: Rgb;
  /** Full width at half darkness, pixels. */
  widthPx: number;
}

export interface SnappedPlace extends StrokeLook {
  /** Sub-pixel centre of the stroke. */
  place: PixelPlace;
  /** Direction of the stroke, radians from +x towards +y; the opposite is as good. */
  direction: number;
}

/** Why following stopped in one direction. */
export type StrokeEnd = 'end' | 'gap' | 'edge' | 'limit' | 'closed';

export interface FollowOptions {
  /** Where to look for the stroke around the click, pixels. Default 8. */
  searchRadiusPx?: number;
  /** Gaps up to this many widths are bridged (dashed lines, crossings). Default 6, at least 14 px. */
  bridgeWidths?: number;
  /** Following ends after so many pixels each way. Default 20,000. */
  longestPx?: number;
  /** How far a thinned polyline may lie off the followed centre line, pixels. Default 0.35. */
  thinTolerancePx?: number;
  /** Most points that are proposed. Default 24. */
  mostPoints?: number;
}

export type FollowedStroke =
  | {
      ok: true;
      /** Proposed points in order along the stroke, ends included, closer where it bends. */
      points: readonly PixelPlace[];
      /** The whole followed centre line, about two pixels apart. */
      path: readonly PixelPlace[];
      look: StrokeLook;
      lengthPx: number;
      /** At the first and at the last point. */
      ends: readonly [StrokeEnd, StrokeEnd];
    }
  | { ok: false; reason: 'outside-picture' | 'no-stroke'; message: string };
