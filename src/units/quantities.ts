import * as f from './factors.ts';
import type { Expects, Quantity, QuantityKey, Unit } from './types.ts';

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
const psi = unit('psi', 'pounds per square inch', f.PSI, { decimals: 2, step: 0.1, system: us });
const inHg = unit('inHg', 'inches of mercury', f.IN_HG, { decimals: 2, step: 0.01, system: us });
const mmHg = unit('mmHg', 'millimetres of mercury', f.MM_HG, { decimals: 1, step: 1 });
const inH2O = unit('inH2O', 'inches of water', f.IN_H2O, { decimals: 1, step: 1, label: 'inH₂O', system: us });
const kgPerS = unit('kg/s', 'kilograms per second', 1, { decimals: 4, step: 0.001 });
const lbPerMin = unit('lb/min', 'pounds per minute', f.POUND / f.MINUTE, { decimals: 2, step: 0.1, system: us });
const plain = unit('1', 'as a plain number', 1, { decimals: 3, step: 0.01, label: '', system: both });
const percent = unit('%', 'per cent', 0.01, { decimals: 1, step: 1, system: both });
const rpm = unit('rpm', 'revolutions per minute', 1, { decimals: 0, step: 1000, system: both });
const ratio = (decimals: number, step: number) =>
  unit('1', 'as a plain number', 1, { decimals, step, label: '', system: both });
const metres = unit('m', 'metres', 1, { decimals: 0, step: 50 });
const feet = unit('ft', 'feet', f.FOOT, { decimals: 0, step: 100, system: us });

function quantity(
  key: QuantityKey,
  name: string,
  symbol: string,
  siUnit: string,
  units: readonly Unit[],
): readonly [QuantityKey, Quantity] {
  return [key, { key, name, symbol, siUnit, units }];
}

const rows: readonly (readonly [QuantityKey, Quantity])[] = [
  quantity('pressure-absolute', 'absolute pressure', 'p', 'Pa', [kPa, bar, mbar, hPa, Pa, mmHg, psi, inHg]),
  quantity('pressure-gauge', 'gauge pressure', 'p', 'Pa', [
    kPa,
    { ...bar, decimals: 2, step: 0.05 },
    mbar,
    { ...psi, decimals: 1, step: 0.5 },
    inHg,
    inH2O,
  ]),
  quantity('pressure-difference', 'pressure difference', 'Δp', 'Pa', [
    { ...kPa, decimals: 2, step: 0.1 },
    bar,
    mbar,
    Pa,
    psi,
    inHg,
    inH2O,
  ]),
  quantity('temperature', 'temperature', 'T', 'K', [
    unit('degC', 'degrees Celsius', 1, { decimals: 1, step: 1, offset: f.CELSIUS_ZERO_K, label: '°C' }),
    unit('K', 'kelvins', 1, { decimals: 2, step: 1 }),
    unit('degF', 'degrees Fahrenheit', f.FAHRENHEIT_DEGREE, {
      decimals: 1,
      step: 1,
      offset: f.FAHRENHEIT_ZERO_K,
      label: '°F',
      system: us,
    }),
  ]),
  quantity('temperature-difference', 'temperature difference', 'ΔT', 'K', [
    unit('K', 'kelvins', 1, { decimals: 1, step: 1, label: 'K' }),
    unit('degF', 'Fahrenheit degrees of difference', f.FAHRENHEIT_DEGREE, {
      decimals: 1,
      step: 1,
      label: 'Δ°F',
      system: us,
    }),
  ]),
  quantity('altitude', 'altitude', 'H', 'm', [metres, feet]),
  quantity('length', 'length', 'L', 'm', [
    { ...metres, decimals: 2, step: 0.1, expects: 'decimal' },
    { ...feet, decimals: 2, step: 0.1, expects: 'decimal' },
  ]),
  quantity('wheel-length', 'wheel dimension', 'D', 'm', [
    unit('mm', 'millimetres', 1e-3, { decimals: 2, step: 0.1 }),
    unit('in', 'inches', f.INCH, { decimals: 4, step: 0.005, system: us }),
  ]),
  quantity('displacement', 'displacement', 'V', 'm³', [
    unit('cm3', 'cubic centimetres', 1e-6, { decimals: 0, step: 50, label: 'cm³' }),
    unit('L', 'litres', 1e-3, { decimals: 3, step: 0.05 }),
    unit('in3', 'cubic inches', f.CUBIC_INCH, { decimals: 1, step: 1, label: 'cu in', system: us }),
  ]),
  quantity('mass-flow', 'mass flow', 'W', 'kg/s', [
    kgPerS,
    unit('g/s', 'grams per second', 1e-3, { decimals: 1, step: 1 }),
    unit('kg/h', 'kilograms per hour', 1 / f.HOUR, { decimals: 0, step: 5 }),
    lbPerMin,
  ]),
  quantity('corrected-mass-flow', 'corrected mass flow', 'Wc', 'kg/s', [kgPerS, lbPerMin]),
  quantity('fuel-volume-flow', 'fuel volume flow', 'Q', 'm³/s', [
    unit('cc/min', 'cubic centimetres per minute', 1e-6 / f.MINUTE, { decimals: 0, step: 10 }),
    unit('L/h', 'litres per hour', 1e-3 / f.HOUR, { decimals: 0, step: 5 }),
    unit('gal/h', 'US gallons per hour', f.US_GALLON / f.HOUR, { decimals: 1, step: 1, label: 'US gal/h', system: us }),
  ]),
  quantity('density', 'density', 'ρ', 'kg/m³', [
    unit('kg/m3', 'kilograms per cubic metre', 1, { decimals: 3, step: 0.01, label: 'kg/m³' }),
    unit('lb/ft3', 'pounds per cubic foot', f.POUND / f.CUBIC_FOOT, {
      decimals: 4,
      step: 0.001,
      label: 'lb/ft³',
      system: us,
    }),
  ]),
  quantity('rotational-speed', 'shaft speed', 'N', 'rpm', [
    rpm,
    unit('krpm', 'thousands of revolutions per minute', 1e3, { decimals: 1, step: 1, system: both }),
  ]),
  quantity('engine-speed', 'engine speed', 'n', 'rpm', [{ ...rpm, step: 100 }]),
  quantity('speed', 'speed', 'U', 'm/s', [
    unit('m/s', 'metres per second', 1, { decimals: 0, step: 5 }),
    unit('ft/s', 'feet per second', f.FOOT, { decimals: 0, step: 10, system: us }),
  ]),
  quantity('power', 'power', 'P', 'W', [
    unit('kW', 'kilowatts', 1e3, { decimals: 1, step: 5, expects: integerLike }),
    unit('PS', 'metric horsepower', f.METRIC_HORSEPOWER, { decimals: 0, step: 5 }),
    unit('hp', 'horsepower of 550 foot-pounds per second', f.HORSEPOWER, { decimals: 0, step: 5, system: us }),
  ]),
  quantity('torque', 'torque', 'M', 'N·m', [
    unit('Nm', 'newton metres', 1, { decimals: 0, step: 5, label: 'N·m' }),
    unit('lbft', 'pound-feet', f.POUND_FORCE * f.FOOT, { decimals: 0, step: 5, label: 'lb·ft', system: us }),
  ]),
  quantity('bsfc', 'brake specific fuel consumption', 'bsfc', 'kg/J', [
    unit('g/kWh', 'grams per kilowatt-hour', 1e-6 / f.HOUR, { decimals: 0, step: 5 }),
    unit('lb/(hp h)', 'pounds per horsepower-hour', f.POUND / (f.HORSEPOWER * f.HOUR), {
      decimals: 3,
      step: 0.01,
      label: 'lb/(hp·h)',
      system: us,
    }),
    unit('kg/J', 'kilograms per joule', 1, { decimals: 12, step: 1e-12, system: both }),
  ]),
  quantity('mass', 'mass', 'm', 'kg', [
    unit('kg', 'kilograms', 1, { decimals: 1, step: 1 }),
    unit('g', 'grams', 1e-3, { decimals: 0, step: 1 }),
    unit('lb', 'pounds', f.POUND, { decimals: 1, step: 1, system: us }),
  ]),
  quantity('pressure-ratio', 'pressure ratio', 'PR', '1', [ratio(3, 0.01)]),
  quantity('compression-ratio', 'compression ratio', 'r', '1', [ratio(2, 0.1)]),
  quantity('lambda', 'lambda', 'λ', '1', [ratio(3, 0.01)]),
  quantity('fraction', 'fraction', '', '1', [percent, plain]),
  quantity('efficiency', 'efficiency', 'η', '1', [percent, plain]),
  quantity('volumetric-efficiency', 'volumetric efficiency', 'ηv', '1', [percent, plain]),
  quantity('dimensionless', 'number', '', '1', [plain]),
  quantity('count', 'count', '', '1', [ratio(0, 1)]),
];

/** The one table of quantities and units; labels, fields, axes and file headers are made from it. */
export const quantities: Readonly<Record<QuantityKey, Quantity>> = Object.fromEntries(rows) as Record<
  QuantityKey,
  Quantity
>;
