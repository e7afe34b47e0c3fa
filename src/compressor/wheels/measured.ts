import type { Measured } from './types.ts';

/** A length and the half width of the calipers' reading. */
export function measured(value: number, plusMinus: number): Measured {
  return { value, plusMinus };
}

/**
 * A product of powers with its first-order worst-case width: |result| times the sum of |power| x (width / value) over the factors.
 * Exact interval arithmetic gives a width that is larger by terms of second order only.
 *
 * @param constant multiplies the result; exactly known
 * @param factors values above 0, each with the power it stands to
 */
export function productOfPowers(constant: number, factors: readonly { of: Measured; power: number }[]): Measured {
  let value = constant;
  let share = 0;
  for (const { of, power } of factors) {
    value *= of.value ** power;
    share += Math.abs(power) * (of.plusMinus / of.value);
  }
  return { value, plusMinus: Math.abs(value) * share };
}

/** a / b with its first-order worst-case width; null where one of them is not known. */
export function ratioOf(a: Measured | null, b: Measured | null): Measured | null {
  if (a === null || b === null) return null;
  return productOfPowers(1, [
    { of: a, power: 1 },
    { of: b, power: -1 },
  ]);
}
