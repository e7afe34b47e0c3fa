import { findUnit, fromSi, type QuantityKey, unitOf } from './quantities.ts';

/** Shown where a number is missing or not finite. */
export const NO_NUMBER = '–';

/** Between thousands. parseNumber takes it back. */
const NARROW_SPACE = '\u202f';

/**
 * A number for reading: fixed decimals, point as decimal sign, the typographic minus, no negative zero; from five digits on thousands are
 * parted by a narrow no-break space, never by a comma, which may be a decimal sign (ISO 80000-1, 7.3; SI brochure, 5.4.4: customary with
 * more than four digits only).
 * Decimals 0 to 12. What is not finite becomes an en dash, never 'NaN'.
 */
export function formatNumber(value: number, decimals: number): string {
  if (!Number.isFinite(value)) return NO_NUMBER;
  const fixed = fixedDecimals(Math.abs(value), decimals);
  const [whole = '0', fraction] = fixed.split('.');
  const grouped = whole.length < 5 ? whole : whole.replace(/\B(?=(\d{3})+$)/g, NARROW_SPACE);
  const negative = value < 0 && /[1-9]/.test(fixed);
  return `${negative ? '−' : ''}${grouped}${fraction === undefined ? '' : `.${fraction}`}`;
}

/** toFixed falls into exponents from 1e21; such numbers are written out so that grouping still holds. */
function fixedDecimals(magnitude: number, decimals: number): string {
  return magnitude < 1e21 ? magnitude.toFixed(decimals) : BigInt(magnitude).toString();
}

/** Between a number and its unit, so that a line never breaks there. */
export const NO_BREAK_SPACE = '\u00a0';

/** A shown number as a machine reads it: digits without spaces, a plain minus, the empty text where there is no number. */
export function bareNumber(text: string): string {
  return text === NO_NUMBER ? '' : text.replaceAll(NARROW_SPACE, '').replace('−', '-');
}

/** Words for a file or the clipboard, with blanks that every program knows. */
export function plainBlanks(text: string): string {
  return text.replace(/[\u00a0\u202f]/g, ' ');
}

export interface FormatOptions {
  /** Instead of the unit's usual decimals. */
  decimals?: number;
  /** false: the number alone, for a table whose heading carries the unit. */
  withUnit?: boolean;
  /** true: a plus sign before positive numbers (differences and margins). */
  signed?: boolean;
}

/** An SI value in a unit with its label: '148 200 rpm' (no line breaks in it). What is not finite becomes an en dash without unit. */
export function formatQuantity(si: number, quantity: QuantityKey, unit: string, options: FormatOptions = {}): string {
  if (!Number.isFinite(si)) return formatNumber(si, 0);
  const found = unitOf(quantity, unit);
  const number = formatNumber(fromSi(si, quantity, unit), options.decimals ?? found.decimals);
  const sign = options.signed === true && /^[^−]*[1-9]/.test(number) ? '+' : '';
  const label = options.withUnit === false || found.label === '' ? '' : `${NO_BREAK_SPACE}${found.label}`;
  return `${sign}${number}${label}`;
}

/** As formatQuantity, without trailing zeros and to at most six digits, three of them decimals: '101.325 kPa', '59 °F'. For what sheets print. */
export function formatPrinted(si: number, quantity: QuantityKey, unit: string): string {
  const value = Number(Number(fromSi(si, quantity, unit).toPrecision(6)).toFixed(3));
  return formatQuantity(si, quantity, unit, { decimals: (String(value).split('.')[1] ?? '').length });
}

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

/** '6,400 rpm' (with a no-break space), to the last turn. */
export const rpmText = (rpm: number): string => `${formatNumber(rpm, 0)}${NO_BREAK_SPACE}rpm`;

/** A number in the digits in which it was typed, with its unit; '' where nothing was. */
export function typedText({ text, unit }: { text: string; unit: string }, quantity: QuantityKey): string {
  const label = findUnit(quantity, unit)?.label ?? unit;
  return text.trim() === '' ? '' : joined([text.trim(), label], NO_BREAK_SPACE);
}

/** '1 row', '12 rows'. */
export const counted = (count: number, one: string): string =>
  `${formatNumber(count, 0)} ${one}${count === 1 ? '' : 's'}`;

/** What is not empty, one after the other. */
export const joined = (parts: readonly string[], by = ', '): string => parts.filter((part) => part !== '').join(by);

/** The first letter as a capital: a sentence made of a name. */
export const capital = (words: string): string => words.charAt(0).toUpperCase() + words.slice(1);
