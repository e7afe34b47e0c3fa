/**
 * A place in the picture, in pixels: x to the right, y down, the top left corner of the picture is (0, 0), so that the centre of the
 * first pixel is (0.5, 0.5), as a canvas counts.
 */
export interface PicturePlace {
  x: number;
  y: number;
}

/** A place on the sheet in the sheet's own numbers: flow in its flow unit, pressure ratio as printed. */
export interface DataPlace {
  flow: number;
  pressureRatio: number;
}

/**
 * A place whose values are printed on the sheet. With one value it stands on an axis (or on any one line parallel to it: all points
 * that know the flow alone on one line of constant pressure ratio, and the other way round); with both it is a grid point.
 */
export interface CalibrationPoint {
  place: PicturePlace;
  flow?: number | undefined;
  pressureRatio?: number | undefined;
}

/**
 * 'axes': a straight scan or print: shifted, scaled, rotated and skewed, but parallels stay parallel (affine).
 * 'grid': a photo: perspective as well (homography); four or more grid points.
 */
export type CalibrationMode = 'axes' | 'grid';

/** What is read: a compressor map (flow across, pressure ratio up) or a turbine sheet (expansion ratio across, flow up). */
export type CalibratedSheet = 'compressor' | 'turbine';

export interface CalibrationOptions {
  /** Size of the picture, pixels: where the expected reading error is looked for. Without it: the box around the points. */
  picture?: { width: number; height: number } | undefined;
  /** For the words, and for what counts as running backwards; the calibration itself does not depend on it. Default 'compressor'. */
  sheet?: CalibratedSheet | undefined;
  /** How exactly a person places a point, pixels (standard deviation, each way). Default 0.5. */
  placingErrorPx?: number | undefined;
}

export interface CalibrationProblem {
  code:
    | 'too-few-points'
    | 'not-a-number'
    | 'without-value'
    | 'same-place'
    | 'same-value'
    | 'collinear'
    | 'parallel-axes'
    | 'folded'
    | 'contradictory';
  /** Plain words: what, where, what to do. */
  message: string;
  /** Indices of the points it is about. */
  points: readonly number[];
}

export interface CalibrationNote {
  code:
    | 'flow-runs-left'
    | 'flow-runs-down'
    | 'ratio-runs-left'
    | 'ratio-runs-down'
    | 'reading-error-large'
    | 'point-stands-off'
    | 'no-extra-points'
    | 'perspective';
  message: string;
  points: readonly number[];
}

/** How far a calibration point comes back off its place. A value that the point does not know is null. */
export interface CalibrationResidual {
  /** Calibrated minus printed, sheet units. */
  flow: number | null;
  pressureRatio: number | null;
  /** Distance in the picture, pixels; for an axis point the distance to the line of its value. */
  pixels: number;
  /** The same in pixels with this point left out of the calibration: an honest error. null where it cannot be spared. */
  leftOutPixels: number | null;
}

export interface CalibrationError {
  /** Shares of full scale (largest flow; largest pressure ratio), standard deviation, at the worst place of the picture's middle nine tenths. */
  flowShare: number;
  ratioShare: number;
  /** 'extra-points': scaled by how far spare points really lie off; 'placing': from the assumed placing error alone. */
  from: 'extra-points' | 'placing';
  /** Root mean square of the left-out distances, pixels; null without a spare point. */
  leftOutPixels: number | null;
  /** Full scale that the shares refer to, sheet units. */
  fullScale: DataPlace;
}

export interface Calibration {
  mode: CalibrationMode;
  /** null beyond the horizon of a perspective. */
  toData(place: PicturePlace): DataPlace | null;
  toPicture(data: DataPlace): PicturePlace | null;
  residuals: readonly CalibrationResidual[];
  error: CalibrationError;
  notes: readonly CalibrationNote[];
}

export type CalibrationResult =
  | { ok: true; calibration: Calibration }
  | { ok: false; problems: readonly CalibrationProblem[] };

/** A line of the check grid over the picture. */
export interface CheckGridLine {
  of: 'flow' | 'pressureRatio';
  value: number;
  /** In picture places; straight pieces. */
  points: readonly PicturePlace[];
}
