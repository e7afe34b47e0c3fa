import { quantities } from './quantities.ts';
import type { QuantityKey, Unit } from './types.ts';

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
export function unitsOf(quantity: QuantityKey, system?: 'metric' | 'us'): readonly Unit[] {
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
