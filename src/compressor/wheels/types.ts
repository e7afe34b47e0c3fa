/**
 * A number with the half width of what it may be off, in its own unit. Widths are carried on to first order as worst cases: the sum of
 * every input's width times how steeply the result follows it (the linear part of interval arithmetic), not as standard deviations.
 */
export interface Measured {
  value: number;
  plusMinus: number;
}

/** A wheel as measured, m. A length that is absent was not measured. */
export interface WheelMeasurement {
  kind: 'compressor' | 'turbine';
  /** Tip diameter at the inlet: the compressor's smaller one, the turbine's larger one. */
  inducerM?: number | undefined;
  /** Tip diameter at the outlet: the compressor's larger one, the turbine's smaller one. */
  exducerM?: number | undefined;
  /** Height of the blades at the larger diameter. */
  tipHeightM?: number | undefined;
  fullBlades?: number | undefined;
  splitterBlades?: number | undefined;
  /** Half width of what the calipers may be off. */
  caliperM: number;
}

/** What follows from a wheel's measurements; null where a measurement is missing or impossible. */
export interface WheelFigures {
  /** 100 (smaller / larger diameter)^2, SAE J922. */
  trim: Measured | null;
  /** Circle of the inducer's tip diameter, m2. */
  inducerAreaM2: Measured | null;
  exducerAreaM2: Measured | null;
  /** pi x larger diameter x tip height, blades not taken off, m2: the passage that the flow meets at the larger diameter. */
  tipPassageAreaM2: Measured | null;
  /** The larger diameter, on which tip speed is reckoned, m. */
  tipDiameterM: Measured | null;
  /** Full and splitter blades; null while the full ones are not counted. */
  blades: { full: number; all: number } | null;
  /** What cannot be true of a wheel of this kind. */
  doubts: readonly WheelDoubt[];
}

/**
 * 'swapped': the inducer of a compressor is the smaller diameter, that of a turbine the larger. 'trim-unusual': outside 35..80 for a
 * compressor, 45..95 for a turbine (common practice, no source). 'tip-height-unusual': more than a fifth of the larger diameter.
 */
export type WheelDoubt = 'swapped' | 'trim-unusual' | 'tip-height-unusual';

/** One wheel over the other; null where one of them is not known. */
export interface WheelRatios {
  inducerDiameter: Measured | null;
  exducerDiameter: Measured | null;
  inducerArea: Measured | null;
  exducerArea: Measured | null;
  tipPassageArea: Measured | null;
  trim: Measured | null;
}

/** What the wheel does at a shaft speed. */
export interface WheelAtSpeed {
  shaftSpeedRpm: number;
  /** At the larger diameter, m/s. */
  tipSpeedMPerS: Measured | null;
  /** Hz, for a sensor that sees the full blades only (at the inducer's tip). */
  fullBladePassHz: number | null;
  /** Hz, for a sensor that sees splitters as well. */
  allBladePassHz: number | null;
}
