import type { TypedCurve } from '../../../build/index.ts';
import { convert, parseQuantity, plainNumber, type QuantityKey } from '../../../units/index.ts';

/** The curve in another unit, its values converted; what cannot be read stays as it was typed. */
export function withCurveUnit(curve: TypedCurve, quantity: QuantityKey, unit: string): TypedCurve {
  if (unit === curve.unit) return curve;
  return {
    unit,
    rows: curve.rows.map((row) => {
      const parsed = parseQuantity(row.value, quantity, curve.unit);
      return parsed.ok ? { ...row, value: plainNumber(convert(parsed.value, quantity, curve.unit, unit), 5) } : row;
    }),
  };
}
