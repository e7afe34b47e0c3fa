/**
 * How a lone comma with exactly three digits after it is read ('1,234'): 'integer-like' takes it for a thousands separator
 * (6,400 rpm), 'decimal' for a decimal comma (1,984 L). Nothing else depends on it.
 */
export type Expects = 'integer-like' | 'decimal';

/** A unit of one quantity. si = value * toSi + offset. */
export interface Unit {
  /** Key as saved in files. */
  key: string;
  /** Printed after a number; empty for a plain number. */
  label: string;
  /** In full, for choosers and screen readers. */
  name: string;
  /** SI per one of this unit. */
  toSi: number;
  /** SI value of this unit's zero (temperatures only). */
  offset: number;
  /** Decimals usually shown. */
  decimals: number;
  /** One press of an arrow key. */
  step: number;
  expects: Expects;
  system: UnitSystem | 'both';
}

/** The one choice of units; a field may still differ from it. */
export type UnitSystem = 'metric' | 'us';

export interface Quantity {
  key: QuantityKey;
  name: string;
  /** Usual letter in formulas and on axes; empty where there is none. */
  symbol: string;
  /** The unit that the computation uses ('rpm' for rotational speed, which the trade quotes so). */
  siUnit: string;
  /** First: the metric unit usually chosen. */
  units: readonly Unit[];
}

/**
 * Exact definitions from which every conversion factor is built (NIST SP 811, 2008 edition, appendix B; conventional mercury and
 * water columns with g = 9.80665 m/s2, 13,595.1 kg/m3 and 1,000 kg/m3). No rounded factor is typed in anywhere else.
 */
const STANDARD_GRAVITY = 9.80665;
const INCH = 0.0254;
export const FOOT = 0.3048;
export const POUND = 0.45359237;
const POUND_FORCE = POUND * STANDARD_GRAVITY;
export const PSI = POUND_FORCE / (INCH * INCH);
/** Conventional millimetre of mercury, Pa. */
const MM_HG = 133.322387415;
/** Conventional inch of mercury, Pa. */
const IN_HG = 25.4 * MM_HG;
/** Conventional inch of water, Pa. */
const IN_H2O = 1000 * STANDARD_GRAVITY * INCH;
const CUBIC_INCH = INCH ** 3;
export const CUBIC_FOOT = FOOT ** 3;
/** 550 ft lbf/s, W. */
const HORSEPOWER = 550 * FOOT * POUND_FORCE;
/** 75 kgf m/s, W. */
const METRIC_HORSEPOWER = 75 * STANDARD_GRAVITY;
/** 231 cubic inches, m3. */
const US_GALLON = 231 * CUBIC_INCH;
export const MINUTE = 60;
const HOUR = 3600;
const FAHRENHEIT_DEGREE = 1 / 1.8;
const CELSIUS_ZERO_K = 273.15;
/**
 * Volume flow of an injector that is rated at one pound an hour: pounds of gasoline at 0.72 kg/L, 10.5 cc/min (common practice, no
 * source). A volume, as every rating of an injector is taken, whatever fuel it will spray.
 */
const INJECTOR_POUND_PER_HOUR = POUND / 720 / HOUR;
/** Gauges and tuning tables write lambda as this air-fuel ratio times it, for every fuel (common practice, no source). */
const AFR_AT_LAMBDA_1 = 14.7;
/** 0 degF in kelvin. */
const FAHRENHEIT_ZERO_K = 459.67 / 1.8;

type System = Unit['system'];

interface Display {
  decimals: number;
  step: number;
  expects?: Expects;
  offset?: number;
  label?: string;
  system?: System;
}

/** One row of the table. What is shown without decimals is read back as an integer, so that '6,400' always means the same. */
function unit(key: string, name: string, toSi: number, display: Display): Unit {
  return {
    key,
    name,
    toSi,
    label: display.label ?? key,
    offset: display.offset ?? 0,
    decimals: display.decimals,
    step: display.step,
    expects: display.expects ?? (display.decimals === 0 ? 'integer-like' : 'decimal'),
    system: display.system ?? 'metric',
  };
}

const integerLike = 'integer-like' as const;
const us = 'us' as const;
const both = 'both' as const;

const kPa = unit('kPa', 'kilopascals', 1e3, { decimals: 1, step: 1 });
const Pa = unit('Pa', 'pascals', 1, { decimals: 0, step: 100 });
const bar = unit('bar', 'bar', 1e5, { decimals: 3, step: 0.01 });
const mbar = unit('mbar', 'millibars', 100, { decimals: 1, step: 1, expects: integerLike });
const hPa = unit('hPa', 'hectopascals', 100, { decimals: 1, step: 1, expects: integerLike });
const psi = unit('psi', 'pounds per square inch', PSI, { decimals: 2, step: 0.1, system: us });
const inHg = unit('inHg', 'inches of mercury', IN_HG, { decimals: 2, step: 0.01, system: us });
const mmHg = unit('mmHg', 'millimetres of mercury', MM_HG, { decimals: 1, step: 1 });
const inH2O = unit('inH2O', 'inches of water', IN_H2O, { decimals: 1, step: 1, label: 'inH₂O', system: us });
const kgPerS = unit('kg/s', 'kilograms per second', 1, { decimals: 4, step: 0.001 });
const lbPerMin = unit('lb/min', 'pounds per minute', POUND / MINUTE, { decimals: 2, step: 0.1, system: us });
const plain = unit('1', 'as a plain number', 1, { decimals: 3, step: 0.01, label: '', system: both });
const percent = unit('%', 'per cent', 0.01, { decimals: 1, step: 1, system: both });
const rpm = unit('rpm', 'revolutions per minute', 1, { decimals: 0, step: 1000, system: both });
const ratio = (decimals: number, step: number) =>
  unit('1', 'as a plain number', 1, { decimals, step, label: '', system: both });
const metres = unit('m', 'metres', 1, { decimals: 0, step: 50 });
const feet = unit('ft', 'feet', FOOT, { decimals: 0, step: 100, system: us });

function quantity<const SiUnit extends string>(name: string, symbol: string, siUnit: SiUnit, units: readonly Unit[]) {
  return { name, symbol, siUnit, units };
}

const table = {
  'pressure-absolute': quantity('absolute pressure', 'p', 'Pa', [kPa, bar, mbar, hPa, Pa, mmHg, psi, inHg]),
  'pressure-gauge': quantity('gauge pressure', 'p', 'Pa', [
    kPa,
    { ...bar, decimals: 2, step: 0.05 },
    mbar,
    { ...psi, decimals: 1, step: 0.5 },
    inHg,
    inH2O,
  ]),
  'pressure-difference': quantity('pressure difference', 'Δp', 'Pa', [
    { ...kPa, decimals: 2, step: 0.1 },
    bar,
    mbar,
    Pa,
    psi,
    inHg,
    inH2O,
  ]),
  temperature: quantity('temperature', 'T', 'K', [
    unit('degC', 'degrees Celsius', 1, { decimals: 1, step: 1, offset: CELSIUS_ZERO_K, label: '°C' }),
    unit('K', 'kelvins', 1, { decimals: 2, step: 1 }),
    unit('degF', 'degrees Fahrenheit', FAHRENHEIT_DEGREE, {
      decimals: 1,
      step: 1,
      offset: FAHRENHEIT_ZERO_K,
      label: '°F',
      system: us,
    }),
  ]),
  'temperature-difference': quantity('temperature difference', 'ΔT', 'K', [
    unit('K', 'kelvins', 1, { decimals: 1, step: 1, label: 'K' }),
    unit('degF', 'Fahrenheit degrees of difference', FAHRENHEIT_DEGREE, {
      decimals: 1,
      step: 1,
      label: 'Δ°F',
      system: us,
    }),
  ]),
  altitude: quantity('altitude', 'H', 'm', [metres, feet]),
  length: quantity('length', 'L', 'm', [
    { ...metres, decimals: 2, step: 0.1, expects: 'decimal' },
    { ...feet, decimals: 2, step: 0.1, expects: 'decimal' },
  ]),
  'wheel-length': quantity('wheel dimension', 'D', 'm', [
    unit('mm', 'millimetres', 1e-3, { decimals: 2, step: 0.1 }),
    unit('in', 'inches', INCH, { decimals: 4, step: 0.005, system: us }),
  ]),
  opening: quantity('opening', 'A', 'm²', [
    unit('mm2', 'square millimetres', 1e-6, { decimals: 0, step: 10, label: 'mm²' }),
    unit('in2', 'square inches', INCH * INCH, { decimals: 3, step: 0.01, label: 'in²', system: us }),
  ]),
  displacement: quantity('displacement', 'V', 'm³', [
    unit('cm3', 'cubic centimetres', 1e-6, { decimals: 0, step: 50, label: 'cm³' }),
    unit('L', 'litres', 1e-3, { decimals: 3, step: 0.05 }),
    unit('in3', 'cubic inches', CUBIC_INCH, { decimals: 1, step: 1, label: 'cu in', system: us }),
  ]),
  'mass-flow': quantity('mass flow', 'W', 'kg/s', [
    kgPerS,
    unit('g/s', 'grams per second', 1e-3, { decimals: 1, step: 1 }),
    unit('kg/h', 'kilograms per hour', 1 / HOUR, { decimals: 0, step: 5 }),
    lbPerMin,
  ]),
  'corrected-mass-flow': quantity('corrected mass flow', 'Wc', 'kg/s', [kgPerS, lbPerMin]),
  'fuel-volume-flow': quantity('fuel volume flow', 'Q', 'm³/s', [
    unit('cc/min', 'cubic centimetres per minute', 1e-6 / MINUTE, { decimals: 0, step: 10 }),
    unit('L/h', 'litres per hour', 1e-3 / HOUR, { decimals: 0, step: 5 }),
    unit('lb/h', 'pounds of gasoline per hour, 10.5 cc/min each', INJECTOR_POUND_PER_HOUR, {
      decimals: 1,
      step: 1,
      system: us,
    }),
    unit('gal/h', 'US gallons per hour', US_GALLON / HOUR, { decimals: 1, step: 1, label: 'US gal/h', system: us }),
  ]),
  density: quantity('density', 'ρ', 'kg/m³', [
    unit('kg/m3', 'kilograms per cubic metre', 1, { decimals: 3, step: 0.01, label: 'kg/m³' }),
    unit('lb/ft3', 'pounds per cubic foot', POUND / CUBIC_FOOT, {
      decimals: 4,
      step: 0.001,
      label: 'lb/ft³',
      system: us,
    }),
  ]),
  'rotational-speed': quantity('shaft speed', 'N', 'rpm', [
    rpm,
    unit('krpm', 'thousands of revolutions per minute', 1e3, { decimals: 1, step: 1, system: both }),
  ]),
  'engine-speed': quantity('engine speed', 'n', 'rpm', [{ ...rpm, step: 100 }]),
  speed: quantity('speed', 'U', 'm/s', [
    unit('m/s', 'metres per second', 1, { decimals: 0, step: 5 }),
    unit('ft/s', 'feet per second', FOOT, { decimals: 0, step: 10, system: us }),
  ]),
  power: quantity('power', 'P', 'W', [
    unit('kW', 'kilowatts', 1e3, { decimals: 1, step: 5, expects: integerLike }),
    unit('PS', 'metric horsepower', METRIC_HORSEPOWER, { decimals: 0, step: 5 }),
    unit('hp', 'horsepower of 550 foot-pounds per second', HORSEPOWER, { decimals: 0, step: 5, system: us }),
  ]),
  torque: quantity('torque', 'M', 'N·m', [
    unit('Nm', 'newton metres', 1, { decimals: 0, step: 5, label: 'N·m' }),
    unit('lbft', 'pound-feet', POUND_FORCE * FOOT, { decimals: 0, step: 5, label: 'lb·ft', system: us }),
  ]),
  bsfc: quantity('brake specific fuel consumption', 'bsfc', 'kg/J', [
    unit('g/kWh', 'grams per kilowatt-hour', 1e-6 / HOUR, { decimals: 0, step: 5 }),
    unit('lb/(hp h)', 'pounds per horsepower-hour', POUND / (HORSEPOWER * HOUR), {
      decimals: 3,
      step: 0.01,
      label: 'lb/(hp·h)',
      system: us,
    }),
    unit('kg/J', 'kilograms per joule', 1, { decimals: 12, step: 1e-12, system: both }),
  ]),
  mass: quantity('mass', 'm', 'kg', [
    unit('kg', 'kilograms', 1, { decimals: 1, step: 1 }),
    unit('g', 'grams', 1e-3, { decimals: 0, step: 1 }),
    unit('lb', 'pounds', POUND, { decimals: 1, step: 1, system: us }),
  ]),
  inertia: quantity('moment of inertia', 'J', 'kg·m²', [
    unit('kg mm2', 'kilogram square millimetres', 1e-6, { decimals: 1, step: 1, label: 'kg·mm²' }),
    unit('kg m2', 'kilogram square metres', 1, { decimals: 8, step: 1e-6, label: 'kg·m²', system: both }),
    unit('lb in2', 'pound square inches', POUND * INCH * INCH, {
      decimals: 4,
      step: 0.01,
      label: 'lb·in²',
      system: us,
    }),
  ]),
  time: quantity('time', 't', 's', [unit('s', 'seconds', 1, { decimals: 2, step: 0.1, system: both })]),
  'pressure-ratio': quantity('pressure ratio', 'PR', '1', [ratio(3, 0.01)]),
  'compression-ratio': quantity('compression ratio', 'r', '1', [ratio(2, 0.1)]),
  lambda: quantity('lambda', 'λ', '1', [
    { ...ratio(3, 0.01), name: 'lambda, a plain number' },
    unit('AFR', 'air-fuel ratio on the gasoline scale: 14.7 times lambda, whatever the fuel', 1 / AFR_AT_LAMBDA_1, {
      decimals: 2,
      step: 0.1,
      label: 'AFR (14.7)',
      system: us,
    }),
  ]),
  fraction: quantity('fraction', '', '1', [percent, plain]),
  efficiency: quantity('efficiency', 'η', '1', [percent, plain]),
  'volumetric-efficiency': quantity('volumetric efficiency', 'ηv', '1', [percent, plain]),
  dimensionless: quantity('number', '', '1', [plain]),
  count: quantity('count', '', '1', [ratio(0, 1)]),
};

/** Names of everything that the program measures. Quantities that could be mistaken for each other are kept apart on purpose. */
export type QuantityKey = keyof typeof table;

/** The unit that the computation uses for a quantity. */
export type SiUnitOf<Q extends QuantityKey> = (typeof table)[Q]['siUnit'];

/** The one table of quantities and units; labels, fields, axes and file headers are made from it. */
export const quantities = Object.fromEntries(
  Object.entries(table).map(([key, row]) => [key, { key, ...row }]),
) as Readonly<Record<QuantityKey, Quantity>>;

/** The unit with that key, or null when the quantity has none such (a file from elsewhere). */
export function findUnit(quantity: QuantityKey, unit: string): Unit | null {
  return quantities[quantity].units.find((candidate) => candidate.key === unit) ?? null;
}

/**
 * The unit with that key. Throws a RangeError that names both when there is none: files are checked before they come this far,
 * so it is a slip in the program.
 */
export function unitOf(quantity: QuantityKey, unit: string): Unit {
  const found = findUnit(quantity, unit);
  if (found === null) {
    const known = quantities[quantity].units.map((candidate) => candidate.key).join(', ');
    throw new RangeError(`'${unit}' is not a unit of ${quantities[quantity].name} (${known}).`);
  }
  return found;
}

/** Units of a quantity in the metric or the US system, in the order of the table; all of them without a system. */
export function unitsOf(quantity: QuantityKey, system?: UnitSystem): readonly Unit[] {
  const { units } = quantities[quantity];
  return system === undefined ? units : units.filter((unit) => unit.system === system || unit.system === 'both');
}

/** Value in the given unit to SI. Any finite number; range is the caller's matter. */
export function toSi(value: number, quantity: QuantityKey, unit: string): number {
  const { toSi: factor, offset } = unitOf(quantity, unit);
  return value * factor + offset;
}

/** SI to the given unit; the inverse of toSi to within 1e-12 relative. */
export function fromSi(si: number, quantity: QuantityKey, unit: string): number {
  const { toSi: factor, offset } = unitOf(quantity, unit);
  return (si - offset) / factor;
}

/** Value in one unit of a quantity to another unit of the same quantity; exactly unchanged when both are the same. */
export function convert(value: number, quantity: QuantityKey, from: string, to: string): number {
  return from === to ? value : fromSi(toSi(value, quantity, from), quantity, to);
}

/** The system of units of the region that a browser's language names ('en-US'); metric where it names none. */
export function systemOfLanguage(language: string): UnitSystem {
  return /^[a-z]{2,3}(-[a-z]{4})?-us\b/i.test(language) ? 'us' : 'metric';
}
