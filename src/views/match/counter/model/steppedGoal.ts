import type { TypedCurve } from '../../../../build/index.ts';
import {
  formatNumber,
  NO_BREAK_SPACE,
  NO_NUMBER,
  parseQuantity,
  plainNumber,
  type QuantityKey,
  unitOf,
} from '../../../../units/index.ts';

/** One step in the unit of the curve: a round figure of about a twentieth of what such a goal usually is. */
const STEPS: Readonly<Record<string, number>> = { bar: 0.05, kPa: 5, psi: 1, mbar: 50, kW: 5, PS: 5, hp: 5 };

export function goalStep(quantity: QuantityKey, unit: string): number {
  return STEPS[unit] ?? unitOf(quantity, unit).step;
}

function readValue(text: string, quantity: QuantityKey, unit: string): number | null {
  const parsed = parseQuantity(text, quantity, unit);
  return parsed.ok ? parsed.value : null;
}

/** The highest value of the curve in its own unit; null where none can be read. */
export function goalPeak(curve: TypedCurve, quantity: QuantityKey): number | null {
  const values = curve.rows.flatMap((row) => readValue(row.value, quantity, curve.unit) ?? []);
  return values.length === 0 ? null : Math.max(...values);
}

/** The peak as it is shown: '1.40 bar'. */
export function goalWords(peak: number | null, quantity: QuantityKey, unit: string): string {
  if (peak === null) return NO_NUMBER;
  const { label } = unitOf(quantity, unit);
  const size = goalStep(quantity, unit);
  return `${formatNumber(peak, size < 0.1 ? 2 : size < 1 ? 1 : 0)}${NO_BREAK_SPACE}${label}`;
}

/**
 * The rows of the curve with its peak so many steps higher, every value in proportion; a text that cannot be read stays as it is.
 * @returns the curve's own rows for no step, and where there is no peak to count from
 */
export function steppedGoal(curve: TypedCurve, quantity: QuantityKey, steps: number): TypedCurve['rows'] {
  const peak = goalPeak(curve, quantity);
  if (steps === 0 || peak === null || !(peak > 0)) return curve.rows;
  const factor = (peak + steps * goalStep(quantity, curve.unit)) / peak;
  return curve.rows.map((row) => {
    const value = readValue(row.value, quantity, curve.unit);
    return value === null ? row : { ...row, value: plainNumber(value * factor, 4) };
  });
}
