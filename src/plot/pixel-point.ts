/** A place on the drawing in pixels; never to be mixed with a data point. */
export interface PixelPoint {
  readonly x: number;
  readonly y: number;
}

/** A rectangle in pixels, by its edges. */
export interface PixelFrame {
  readonly left: number;
  readonly top: number;
  readonly right: number;
  readonly bottom: number;
}
