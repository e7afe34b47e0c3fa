/**
 * A number as text for an input field or a file: at most `significant` digits (1 to 17), no thousands separators, point as decimal sign,
 * plain minus, no trailing zeros. Reads back with parseNumber under either expectation. What is not finite becomes the empty text.
 */
export function plainNumber(value: number, significant = 6): string {
  if (!Number.isFinite(value)) return '';
  const rounded = Number(value.toPrecision(significant));
  if (rounded === 0) return '0';
  return String(rounded);
}
