/**
 * Exact definitions from which every conversion factor is built (NIST SP 811, 2008 edition, appendix B; conventional mercury and
 * water columns with g = 9.80665 m/s2, 13,595.1 kg/m3 and 1,000 kg/m3). No rounded factor is typed in anywhere else.
 */
export const STANDARD_GRAVITY = 9.80665;
export const INCH = 0.0254;
export const FOOT = 0.3048;
export const POUND = 0.45359237;
export const POUND_FORCE = POUND * STANDARD_GRAVITY;
export const PSI = POUND_FORCE / (INCH * INCH);
/** Conventional millimetre of mercury, Pa. */
export const MM_HG = 133.322387415;
/** Conventional inch of mercury, Pa. */
export const IN_HG = 25.4 * MM_HG;
/** Conventional inch of water, Pa. */
export const IN_H2O = 1000 * STANDARD_GRAVITY * INCH;
export const CUBIC_INCH = INCH ** 3;
export const CUBIC_FOOT = FOOT ** 3;
/** 550 ft lbf/s, W. */
export const HORSEPOWER = 550 * FOOT * POUND_FORCE;
/** 75 kgf m/s, W. */
export const METRIC_HORSEPOWER = 75 * STANDARD_GRAVITY;
/** 231 cubic inches, m3. */
export const US_GALLON = 231 * CUBIC_INCH;
export const MINUTE = 60;
export const HOUR = 3600;
export const FAHRENHEIT_DEGREE = 1 / 1.8;
export const CELSIUS_ZERO_K = 273.15;
/** 0 degF in kelvin. */
export const FAHRENHEIT_ZERO_K = 459.67 / 1.8;
