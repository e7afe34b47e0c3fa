import { toSi, unitOf } from './convert.ts';
import { type ParseFailure, parseNumber } from './parseNumber.ts';
import type { QuantityKey } from './types.ts';

/**
 * Reads a typed text in a unit of a quantity and turns it into SI. The unit itself says how a lone comma is read (see Expects), so
 * that a field and the saved document can never read the same text differently.
 */
export function parseQuantity(
  text: string,
  quantity: QuantityKey,
  unit: string,
): { ok: true; value: number; si: number } | ParseFailure {
  const parsed = parseNumber(text, unitOf(quantity, unit).expects);
  return parsed.ok ? { ok: true, value: parsed.value, si: toSi(parsed.value, quantity, unit) } : parsed;
}
