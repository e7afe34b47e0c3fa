import { formatQuantity, fromSi, type QuantityKey, type UnitSystem, unitOf } from '../units/index.ts';

/** Kinds of results whose unit the user chooses, with the units there are; the first is the usual one, `us` the one where US units are chosen. */
export const UNIT_CHOICES = {
  pressure: { name: 'Unit of pressure', quantity: 'pressure-absolute', units: ['kPa', 'bar', 'psi'], us: 'psi' },
  'mass-flow': { name: 'Unit of air flow', quantity: 'mass-flow', units: ['kg/s', 'g/s', 'lb/min'], us: 'lb/min' },
  temperature: { name: 'Unit of temperature', quantity: 'temperature', units: ['degC', 'degF'], us: 'degF' },
  power: { name: 'Unit of power', quantity: 'power', units: ['kW', 'PS', 'hp'], us: 'hp' },
  torque: { name: 'Unit of torque', quantity: 'torque', units: ['Nm', 'lbft'], us: 'lbft' },
  'shaft-speed': { name: 'Unit of shaft speed', quantity: 'rotational-speed', units: ['rpm', 'krpm'], us: 'rpm' },
  speed: { name: 'Unit of tip speed', quantity: 'speed', units: ['m/s', 'ft/s'], us: 'ft/s' },
} as const satisfies Record<
  string,
  { name: string; quantity: QuantityKey; units: readonly [string, ...string[]]; us: string }
>;

export type UnitChoice = keyof typeof UNIT_CHOICES;

/**
 * The unit of every kind of result, complete, and the system that fuels are named in. `several`: more than one turbo feeds the engine, so
 * that of every number it must be said whose it is.
 */
export type ResultUnits = Readonly<Record<UnitChoice, string>> & {
  readonly system: UnitSystem;
  readonly several?: true | undefined;
};

/** The chosen units, and the usual one of the system where none is chosen or the chosen one is not known here. */
export function resultUnits({
  system = 'metric',
  resultUnits: chosen,
  several,
}: {
  system?: UnitSystem | undefined;
  resultUnits?: Readonly<Partial<Record<UnitChoice, string>>> | undefined;
  several?: true | undefined;
}): ResultUnits {
  const entries = Object.entries(UNIT_CHOICES).map(([kind, { units, us }]) => {
    const unit = chosen?.[kind as UnitChoice];
    return [kind, units.find((known) => known === unit) ?? (system === 'us' ? us : units[0])];
  });
  const units = { ...(Object.fromEntries(entries) as Record<UnitChoice, string>), system };
  return several ? { ...units, several } : units;
}

/** What a number means decides how it is written. `known`: rounded to what is known of it. */
interface Kind {
  quantity: QuantityKey;
  unit: UnitChoice | { fixed: string; us?: string };
  /** By unit; one number: the same in every unit. */
  decimals: number | Readonly<Record<string, number>>;
  known?: (value: number) => number;
}

/** No map is read to one revolution of the shaft: to 10 rpm, and from 100,000 rpm to four digits. */
export function knownShaftSpeed(rpm: number): number {
  const step = Math.abs(rpm) < 100_000 ? 10 : 100;
  return Math.round(rpm / step) * step;
}

const PRESSURE = { kPa: 0, bar: 2, psi: 1 };

/** The one rule of rounding: what a figure of a kind is written with, on screen, in sentences, in tables and on paper. */
const KINDS = {
  boost: { quantity: 'pressure-gauge', unit: 'pressure', decimals: PRESSURE },
  'absolute-pressure': { quantity: 'pressure-absolute', unit: 'pressure', decimals: PRESSURE },
  // What a sensor may be off by.
  'pressure-offset': { quantity: 'pressure-difference', unit: 'pressure', decimals: { kPa: 2, bar: 4, psi: 2 } },
  'air-flow': { quantity: 'mass-flow', unit: 'mass-flow', decimals: { 'kg/s': 3, 'g/s': 0, 'lb/min': 1 } },
  temperature: { quantity: 'temperature', unit: 'temperature', decimals: 0 },
  power: { quantity: 'power', unit: 'power', decimals: 0 },
  torque: { quantity: 'torque', unit: 'torque', decimals: 0 },
  'shaft-speed': {
    quantity: 'rotational-speed',
    unit: 'shaft-speed',
    decimals: { rpm: 0, krpm: 1 },
    known: knownShaftSpeed,
  },
  'tip-speed': { quantity: 'speed', unit: 'speed', decimals: 0 },
  'engine-speed': { quantity: 'engine-speed', unit: { fixed: 'rpm' }, decimals: 0 },
  // Found between the engine speeds of the line: not known to one revolution.
  'threshold-speed': {
    quantity: 'engine-speed',
    unit: { fixed: 'rpm' },
    decimals: 0,
    known: (rpm) => Math.round(rpm / 10) * 10,
  },
  'pressure-ratio': { quantity: 'pressure-ratio', unit: { fixed: '1' }, decimals: 2 },
  number: { quantity: 'dimensionless', unit: { fixed: '1' }, decimals: 3 },
  margin: { quantity: 'fraction', unit: { fixed: '%' }, decimals: 1 },
  share: { quantity: 'fraction', unit: { fixed: '%' }, decimals: 1 },
  'whole-share': { quantity: 'fraction', unit: { fixed: '%' }, decimals: 0 },
  altitude: { quantity: 'altitude', unit: { fixed: 'm', us: 'ft' }, decimals: 0 },
  barometer: { quantity: 'pressure-absolute', unit: { fixed: 'hPa', us: 'inHg' }, decimals: { hPa: 0, inHg: 2 } },
  density: { quantity: 'density', unit: { fixed: 'kg/m3', us: 'lb/ft3' }, decimals: { 'kg/m3': 3, 'lb/ft3': 4 } },
  warming: { quantity: 'temperature-difference', unit: { fixed: 'K', us: 'degF' }, decimals: 0 },
  'temperature-offset': { quantity: 'temperature-difference', unit: { fixed: 'K', us: 'degF' }, decimals: 1 },
  // A flow coefficient is known to a fifth.
  opening: { quantity: 'opening', unit: { fixed: 'mm2', us: 'in2' }, decimals: { mm2: 0, in2: 3 } },
  'fuel-flow': {
    quantity: 'fuel-volume-flow',
    unit: { fixed: 'L/h', us: 'gal/h' },
    decimals: { 'L/h': 0, 'gal/h': 1 },
  },
  consumption: {
    quantity: 'bsfc',
    unit: { fixed: 'g/kWh', us: 'lb/(hp h)' },
    decimals: { 'g/kWh': 0, 'lb/(hp h)': 3 },
  },
  // What flows on a sheet are corrected to: as sheets print it.
  'reference-temperature': { quantity: 'temperature', unit: { fixed: 'K', us: 'degF' }, decimals: { K: 2, degF: 1 } },
  'reference-pressure': {
    quantity: 'pressure-absolute',
    unit: { fixed: 'kPa', us: 'inHg' },
    decimals: { kPa: 2, inHg: 2 },
  },
} as const satisfies Record<string, Kind>;

/** Kind of a figure. */
export type Shown = keyof typeof KINDS;

const kindOf = (shown: Shown): Kind => KINDS[shown];

/** Unit key in which a kind of figure is written. */
export function unitShown(shown: Shown, units: ResultUnits): string {
  const { unit } = kindOf(shown);
  if (typeof unit === 'string') return units[unit];
  return (units.system === 'us' ? unit.us : undefined) ?? unit.fixed;
}

export function quantityShown(shown: Shown): QuantityKey {
  return KINDS[shown].quantity;
}

/** Label of the unit as it stands in a heading: 'kPa', '%', '' for a plain number. */
export function unitLabel(shown: Shown, units: ResultUnits): string {
  return unitOf(quantityShown(shown), unitShown(shown, units)).label;
}

/** Decimals of a kind of figure in its unit. */
export function decimalsShown(shown: Shown, units: ResultUnits): number {
  const { decimals } = kindOf(shown);
  return typeof decimals === 'number' ? decimals : (decimals[unitShown(shown, units)] ?? 0);
}

/** An SI value in the unit in which it is shown, not rounded: for axes and curves. */
export function valueShown(si: number, shown: Shown, units: ResultUnits): number {
  return fromSi(si, quantityShown(shown), unitShown(shown, units));
}

export interface ShowOptions {
  /** false: the number alone, for a table whose heading carries the unit. */
  withUnit?: boolean;
  /** true: a plus sign before positive numbers (differences). */
  signed?: boolean;
}

/** An SI value as the user reads it. '–' for null and for what is not finite. */
export function showResult(
  si: number | null | undefined,
  shown: Shown,
  units: ResultUnits,
  options: ShowOptions = {},
): string {
  const { known } = kindOf(shown);
  const value = si ?? Number.NaN;
  const decimals = decimalsShown(shown, units);
  return formatQuantity(known?.(value) ?? value, quantityShown(shown), unitShown(shown, units), {
    ...options,
    decimals,
  });
}

/**
 * A limit, SI, as it was entered: it is the maker's number or the user's, so none of its digits (up to three decimals) is rounded away.
 * In a unit in which it is no short number, as results are. '–' for undefined and for what is not finite.
 */
export function showLimit(si: number | undefined, shown: Shown, units: ResultUnits): string {
  const value = valueShown(si ?? Number.NaN, shown, units);
  const usual = decimalsShown(shown, units);
  const entered = [0, 1, 2, 3].find(
    (decimals) => Math.abs(value - Number(value.toFixed(decimals))) <= 1e-9 * Math.abs(value),
  );
  const decimals = Math.max(entered ?? usual, usual);
  return formatQuantity(si ?? Number.NaN, quantityShown(shown), unitShown(shown, units), { decimals });
}

/** The size of a margin, '1.2 %'; two decimals where one would read as nothing ('0.03 %'). Its sign is said in words beside it. */
export function marginSize(margin: number | null | undefined): string {
  const size = Math.abs(margin ?? Number.NaN);
  return formatQuantity(size, 'fraction', '%', { decimals: size > 0 && size < 0.001 ? 2 : 1 });
}
