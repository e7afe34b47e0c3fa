import { plainNumber } from './format.ts';
import { parseNumber } from './parse.ts';
import { convert, type Expects, type QuantityKey, unitOf } from './quantities.ts';

/** True when the text's last comma is its decimal sign. */
function hasDecimalComma(text: string, value: number): boolean {
  const comma = text.lastIndexOf(',');
  if (comma === -1 || text.lastIndexOf('.') > comma) return false;
  return Number(`${text.slice(0, comma).replace(/[^\d-]/g, '')}.${text.slice(comma + 1)}`) === Math.abs(value);
}

/** A plain number with the decimal sign of the text before, unless that could be misread. */
export function inSameStyle(plain: string, before: string, beforeValue: number, expects: Expects): string {
  if (!hasDecimalComma(before, beforeValue)) return plain;
  const withComma = plain.replace('.', ',');
  const read = parseNumber(withComma, expects);
  return read.ok && read.value === Number(plain) ? withComma : plain;
}

/**
 * A typed text in another unit of its quantity: at least six significant digits, so that results do not move, and no more than were
 * typed beyond that. A text that cannot be read is kept as it is.
 * @param expects how a lone comma is read, where that is not the units' own way
 * @param share of the value that may be lost for fewer digits (620 m is 2034 ft to a ten-thousandth)
 */
export function convertText(
  text: string,
  quantity: QuantityKey,
  [from, to]: readonly [string, string],
  { expects, share = 0 }: { expects?: Expects | undefined; share?: number } = {},
): string {
  const parsed = parseNumber(text, expects ?? unitOf(quantity, from).expects);
  if (!parsed.ok || from === to) return text;
  const typedDigits = text
    .replace(/[eE].*$/, '')
    .replace(/\D/g, '')
    .replace(/^0+/, '').length;
  const value = convert(parsed.value, quantity, from, to);
  const plain = shortestNumber(value, share, Math.min(12, Math.max(6, typedDigits)));
  return inSameStyle(plain, text, parsed.value, expects ?? unitOf(quantity, to).expects);
}

/** The text with the fewest digits, from two to `most`, that is the value to within a share of it. */
export function shortestNumber(value: number, share: number, most = 6): string {
  for (let digits = share > 0 ? 2 : most; digits < most; digits++) {
    const text = plainNumber(value, digits);
    if (Math.abs(Number(text) - value) <= share * Math.abs(value)) return text;
  }
  return plainNumber(value, most);
}
