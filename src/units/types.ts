/** Names of everything that the program measures. Quantities that could be mistaken for each other are kept apart on purpose. */
export type QuantityKey =
  | 'pressure-absolute'
  | 'pressure-gauge'
  | 'pressure-difference'
  | 'temperature'
  | 'temperature-difference'
  | 'altitude'
  | 'length'
  | 'wheel-length'
  | 'displacement'
  | 'mass-flow'
  | 'corrected-mass-flow'
  | 'fuel-volume-flow'
  | 'density'
  | 'rotational-speed'
  | 'engine-speed'
  | 'speed'
  | 'power'
  | 'torque'
  | 'bsfc'
  | 'mass'
  | 'pressure-ratio'
  | 'compression-ratio'
  | 'lambda'
  | 'fraction'
  | 'efficiency'
  | 'volumetric-efficiency'
  | 'dimensionless'
  | 'count';

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
  system: 'metric' | 'us' | 'both';
}

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
