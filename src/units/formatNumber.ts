/** Shown where a number is missing or not finite. */
export const NO_NUMBER = '–';

/**
 * A number for reading: fixed decimals, point as decimal sign, commas between thousands, the typographic minus, no negative zero.
 * Decimals 0 to 12. What is not finite becomes an en dash, never 'NaN'.
 */
export function formatNumber(value: number, decimals: number): string {
  if (!Number.isFinite(value)) return NO_NUMBER;
  const fixed = fixedDecimals(Math.abs(value), decimals);
  const [whole = '0', fraction] = fixed.split('.');
  const grouped = whole.replace(/\B(?=(\d{3})+$)/g, ',');
  const negative = value < 0 && /[1-9]/.test(fixed);
  return `${negative ? '−' : ''}${grouped}${fraction === undefined ? '' : `.${fraction}`}`;
}

/** toFixed falls into exponents from 1e21; such numbers are written out so that grouping still holds. */
function fixedDecimals(magnitude: number, decimals: number): string {
  return magnitude < 1e21 ? magnitude.toFixed(decimals) : BigInt(magnitude).toString();
}
