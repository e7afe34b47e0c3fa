import { measured, productOfPowers } from './measured.ts';
import type { Measured, WheelDoubt, WheelFigures, WheelMeasurement } from './types.ts';

/** Trims outside these are possible but rare, and more often a slip of the calipers (common practice, no source). */
const USUAL_TRIM = { compressor: { low: 35, high: 80 }, turbine: { low: 45, high: 95 } };
/** A blade higher than this share of its diameter is none of these wheels (common practice, no source). */
const HIGHEST_TIP_SHARE = 0.2;

/**
 * Trim: 100 (smaller diameter / larger diameter)^2, the inducer over the exducer of a compressor wheel, the exducer over the inducer of
 * a turbine wheel. Source: SAE J922 (from memory). Dimensionless; over 0, under 100 for a wheel that was measured the right way round.
 */
export function trim(smaller: Measured, larger: Measured): Measured {
  return productOfPowers(100, [
    { of: smaller, power: 2 },
    { of: larger, power: -2 },
  ]);
}

/** Circle of a tip diameter in m2: pi/4 D^2, the hub not taken off; for comparing wheels of one kind. */
export function tipCircleArea(diameter: Measured): Measured {
  return productOfPowers(Math.PI / 4, [{ of: diameter, power: 2 }]);
}

/**
 * What follows from a wheel's measurements, the calipers' width carried to every number.
 *
 * @param wheel m; absent lengths and lengths of 0 or less were not measured
 * @returns every figure for which its measurements are there, null for the others; never NaN
 */
export function wheelFigures(wheel: WheelMeasurement): WheelFigures {
  const length = (value: number | undefined) =>
    value !== undefined && value > 0 && Number.isFinite(value) ? measured(value, Math.max(0, wheel.caliperM)) : null;
  const inducer = length(wheel.inducerM);
  const exducer = length(wheel.exducerM);
  const height = length(wheel.tipHeightM);
  const [smaller, larger] = wheel.kind === 'compressor' ? [inducer, exducer] : [exducer, inducer];
  const figures = {
    trim: smaller === null || larger === null ? null : trim(smaller, larger),
    inducerAreaM2: inducer === null ? null : tipCircleArea(inducer),
    exducerAreaM2: exducer === null ? null : tipCircleArea(exducer),
    tipPassageAreaM2: larger === null || height === null ? null : passageArea(larger, height),
    tipDiameterM: larger,
    blades: blades(wheel),
  };
  return { ...figures, doubts: doubts(wheel.kind, figures.trim, larger, height) };
}

/** pi D b in m2, blade thickness not taken off: the passage at the larger diameter. */
function passageArea(diameter: Measured, height: Measured): Measured {
  return productOfPowers(Math.PI, [
    { of: diameter, power: 1 },
    { of: height, power: 1 },
  ]);
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
