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

/**
 * A product of powers with its first-order worst-case width: |result| times the sum of |power| x (width / value) over the factors.
 * Exact interval arithmetic gives a width that is larger by terms of second order only.
 *
 * @param constant multiplies the result; exactly known
 * @param factors values above 0, each with the power it stands to
 */
function product(constant: number, ...factors: readonly (readonly [of: Measured, power: number])[]): Measured {
  let value = constant;
  let share = 0;
  for (const [of, power] of factors) {
    value *= of.value ** power;
    share += Math.abs(power) * (of.plusMinus / of.value);
  }
  return { value, plusMinus: Math.abs(value) * share };
}

/** a / b with its first-order worst-case width; null where one of them is not known. */
function ratioOf(a: Measured | null, b: Measured | null): Measured | null {
  return a === null || b === null ? null : product(1, [a, 1], [b, -1]);
}

/** Trims outside these are possible but rare, and more often a slip of the calipers (common practice, no source). */
const USUAL_TRIM = { compressor: { low: 35, high: 80 }, turbine: { low: 45, high: 95 } };
/** A blade higher than this share of its diameter is none of these wheels (common practice, no source). */
const HIGHEST_TIP_SHARE = 0.2;

/**
 * Trim: 100 (smaller diameter / larger diameter)^2, the inducer over the exducer of a compressor wheel, the exducer over the inducer of
 * a turbine wheel. Source: SAE J922 (from memory). Dimensionless; over 0, under 100 for a wheel that was measured the right way round.
 */
export function trim(smaller: Measured, larger: Measured): Measured {
  return product(100, [smaller, 2], [larger, -2]);
}

/** Circle of a tip diameter in m2: pi/4 D^2, the hub not taken off; for comparing wheels of one kind. */
function tipCircleArea(diameter: Measured): Measured {
  return product(Math.PI / 4, [diameter, 2]);
}

/**
 * What follows from a wheel's measurements, the calipers' width carried to every number.
 *
 * @param wheel m; absent lengths and lengths of 0 or less were not measured
 * @returns every figure for which its measurements are there, null for the others; never NaN
 */
export function wheelFigures(wheel: WheelMeasurement): WheelFigures {
  const length = (value: number | undefined) =>
    value !== undefined && value > 0 && Number.isFinite(value)
      ? { value, plusMinus: Math.max(0, wheel.caliperM) }
      : null;
  const inducer = length(wheel.inducerM);
  const exducer = length(wheel.exducerM);
  const height = length(wheel.tipHeightM);
  const [smaller, larger] = wheel.kind === 'compressor' ? [inducer, exducer] : [exducer, inducer];
  const figures = {
    trim: smaller === null || larger === null ? null : trim(smaller, larger),
    inducerAreaM2: inducer === null ? null : tipCircleArea(inducer),
    exducerAreaM2: exducer === null ? null : tipCircleArea(exducer),
    // Blade thickness not taken off.
    tipPassageAreaM2: larger === null || height === null ? null : product(Math.PI, [larger, 1], [height, 1]),
    tipDiameterM: larger,
    blades: blades(wheel),
  };
  return { ...figures, doubts: doubts(wheel.kind, figures.trim, larger, height) };
}

function blades({ fullBlades, splitterBlades }: WheelMeasurement): WheelFigures['blades'] {
  if (fullBlades === undefined || !(fullBlades >= 1)) return null;
  return { full: fullBlades, all: fullBlades + Math.max(0, splitterBlades ?? 0) };
}

function doubts(
  kind: WheelMeasurement['kind'],
  trimValue: Measured | null,
  larger: Measured | null,
  height: Measured | null,
): WheelDoubt[] {
  const usual = USUAL_TRIM[kind];
  const found: WheelDoubt[] = [];
  if (trimValue !== null && trimValue.value >= 100) found.push('swapped');
  else if (trimValue !== null && (trimValue.value < usual.low || trimValue.value > usual.high)) {
    found.push('trim-unusual');
  }
  if (larger !== null && height !== null && height.value > HIGHEST_TIP_SHARE * larger.value) {
    found.push('tip-height-unusual');
  }
  return found;
}

/**
 * Ratios of one wheel to another of the same kind, each with its width: the widths of both wheels add up, also where the same calipers
 * measured both.
 *
 * @param wheel over...
 * @param other ...this one
 * @returns null for a ratio of which a measurement is missing
 */
export function wheelRatios(wheel: WheelMeasurement, other: WheelMeasurement): WheelRatios {
  const a = wheelFigures(wheel);
  const b = wheelFigures(other);
  const root = (area: Measured | null) => (area === null ? null : product(1, [area, 0.5]));
  const inducerArea = ratioOf(a.inducerAreaM2, b.inducerAreaM2);
  const exducerArea = ratioOf(a.exducerAreaM2, b.exducerAreaM2);
  return {
    inducerDiameter: root(inducerArea),
    exducerDiameter: root(exducerArea),
    inducerArea,
    exducerArea,
    tipPassageArea: ratioOf(a.tipPassageAreaM2, b.tipPassageAreaM2),
    trim: ratioOf(a.trim, b.trim),
  };
}

/**
 * Tip speed U = pi D N/60, m/s. Textbook (e.g. Dixon and Hall, ch. 7).
 * @param diameter larger tip diameter of the wheel, m
 * @param shaftSpeedRpm physical, rev/min
 */
export function tipSpeed(diameter: Measured, shaftSpeedRpm: number): Measured {
  return product((Math.PI * shaftSpeedRpm) / 60, [diameter, 1]);
}

/**
 * Blade-pass frequency N/60 Z, Hz: what a shaft-speed sensor counts.
 * @param blades that pass the sensor in one turn: the full ones at the inducer's tip, all where splitters reach as far
 */
export function bladePassFrequency(shaftSpeedRpm: number, blades: number): number {
  return (shaftSpeedRpm / 60) * blades;
}

/**
 * Tip speed and blade-pass frequencies of a wheel at a physical shaft speed.
 * @returns null where a measurement is missing, and for all of it where the speed is not a number above 0
 */
export function wheelAtSpeed(wheel: WheelMeasurement, shaftSpeedRpm: number): WheelAtSpeed {
  const { tipDiameterM, blades } = wheelFigures(wheel);
  const turns = shaftSpeedRpm > 0 && Number.isFinite(shaftSpeedRpm);
  return {
    shaftSpeedRpm,
    tipSpeedMPerS: turns && tipDiameterM !== null ? tipSpeed(tipDiameterM, shaftSpeedRpm) : null,
    fullBladePassHz: turns && blades !== null ? bladePassFrequency(shaftSpeedRpm, blades.full) : null,
    allBladePassHz: turns && blades !== null ? bladePassFrequency(shaftSpeedRpm, blades.all) : null,
  };
}
