import { formatNumber, plainNumber } from './format.ts';
import { convert, type Expects, type QuantityKey, toSi, unitOf } from './quantities.ts';

export type ParseFailureReason =
  | 'empty'
  | 'not-a-number'
  | 'unit-in-text'
  | 'bad-grouping'
  | 'two-decimal-signs'
  | 'too-large';

interface ParseFailure {
  ok: false;
  reason: ParseFailureReason;
  /** Plain words: what, where and what to do. */
  message: string;
}

type ParsedNumber = { ok: true; value: number } | ParseFailure;

const MINUS = /[-\u2212\u2010\u2011\u2012\u2013]/;
/** Always thousands separators: space, no-break, thin, narrow no-break and figure space, apostrophes. */
const NEUTRAL_GROUPING = /[ \u00a0\u2009\u202f\u2007'\u2019]/;
const EXPONENT = /^(.*?)(?:[eE]|\s?[×x*]\s?10\^)([+\-\u2212]?)(\d{1,4})$/u;

/** A unit typed after the number ('psi', '%', 'kg/m3') ... */
const UNIT_TEXT = /^[\p{L}%°µ"][\p{L}/·³%°().]*\d?$/u;
/** ... but neither an unfinished exponent, nor a slip inside a number ('20x5'), nor the letter O for a zero. */
const NOT_A_UNIT = /^(?:[eEoO]|\p{L}\d)$/u;

/** A text of many numbers without the spaces that formatNumber puts between thousands, so that blanks part numbers only. */
export function ungrouped(text: string): string {
  return text.replace(/(?<=\d)\u202f(?=\d{3}(?!\d))/g, '');
}

function fail(reason: ParseFailureReason, message: string): ParseFailure {
  return { ok: false, reason, message };
}

/** No quantity of an engine comes near it in any unit; beyond it sums and scales of charts overflow. */
const LARGEST = 1e18;

/**
 * Reads a number as people type it: decimal point or comma, thousands separated by space, thin space, apostrophe, comma or point,
 * an exponent, a sign (also the typographic minus).
 *
 * Rules: the sign that comes last, when both point and comma are there, is the decimal one. A sign that repeats separates
 * thousands. A lone point is always the decimal sign ('1.234' is 1.234: the program itself writes points). A lone comma with exactly
 * three digits after it and one to three before it, the first not a zero, could be either; `expects` decides (see Expects). With an
 * exponent or with another thousands separator in front it is the decimal sign. Groups of thousands must have three digits and not begin
 * with a zero.
 *
 * @param text What was typed; blanks around it do not matter.
 * @returns The value (at most 1e18 in size), or a reason with a message that says what, where and what to do. Empty text is a failure, never zero.
 */
export function parseNumber(text: string, expects: Expects = 'decimal'): ParsedNumber {
  const start = text.length - text.trimStart().length;
  const trimmed = text.trim();
  if (trimmed === '') return { ok: false, reason: 'empty', message: 'Nothing is entered. Type a number.' };

  const signLength = /^[+]/.test(trimmed) || MINUS.test(trimmed.charAt(0)) ? 1 : 0;
  const negative = signLength === 1 && trimmed.charAt(0) !== '+';
  const unsigned = trimmed.slice(signLength);
  const exponentMatch = EXPONENT.exec(unsigned);
  const mantissa = exponentMatch?.[1] ?? unsigned;
  const offset = start + signLength;

  const stray = findStray(mantissa);
  if (stray !== null) return describeStray(text, mantissa, stray, offset);

  const decimalAt = decimalSign(mantissa, exponentMatch ? 'decimal' : expects);
  const whole = decimalAt === -1 ? mantissa : mantissa.slice(0, decimalAt);
  const fraction = decimalAt === -1 ? '' : mantissa.slice(decimalAt + 1);
  const badDigit = fraction.search(/\D/);
  if (badDigit !== -1) return describeFraction(text, fraction, badDigit, offset + decimalAt + 1);
  const grouping = checkGroups(text, whole, offset);
  if (grouping !== null) return grouping;

  const digits = whole.replace(/\D/g, '');
  const exponent = exponentMatch
    ? `e${exponentMatch[2] === '' || exponentMatch[2] === '+' ? '' : '-'}${exponentMatch[3]}`
    : '';
  const value = Number(`${digits === '' ? '0' : digits}.${fraction === '' ? '0' : fraction}${exponent}`);
  if (!(value <= LARGEST)) return fail('too-large', `'${trimmed}' is too large. Type a smaller number.`);
  return { ok: true, value: negative && value !== 0 ? -value : value };
}

/** First character that belongs in no mantissa, or null; a mantissa without any digit is stray from its first character. */
function findStray(mantissa: string): number | null {
  for (let i = 0; i < mantissa.length; i++) {
    const c = mantissa.charAt(i);
    if (!/[\d.,]/.test(c) && !NEUTRAL_GROUPING.test(c)) return i;
  }
  return /\d/.test(mantissa) ? null : 0;
}

function describeStray(text: string, mantissa: string, at: number, offset: number): ParseFailure {
  const shown = text.trim();
  const before = mantissa.slice(0, at);
  const rest = mantissa.slice(at);
  if (/\d/.test(before) && UNIT_TEXT.test(rest) && !NOT_A_UNIT.test(rest)) {
    return fail(
      'unit-in-text',
      `'${shown}' has '${rest.trim()}' after the number. Type the number alone and choose the unit beside it.`,
    );
  }
  const character = text.charAt(offset + at);
  const isLetterO = /^[oO]/.test(character) && /\d/.test(mantissa);
  return fail(
    'not-a-number',
    character === ''
      ? `'${shown}' has no digits. Type a number such as 20.5 or 20,5.`
      : `'${shown}' cannot be read as a number: '${character}' at character ${offset + at + 1}${isLetterO ? ' is a letter, not a zero' : ''}. Type a number such as 20.5 or 20,5.`,
  );
}

/** Index of the decimal sign in the mantissa, or -1. */
function decimalSign(mantissa: string, expects: Expects): number {
  const point = mantissa.lastIndexOf('.');
  const comma = mantissa.lastIndexOf(',');
  if (point !== -1 && comma !== -1) return Math.max(point, comma);
  const sign = point !== -1 ? '.' : ',';
  const last = Math.max(point, comma);
  if (last === -1) return -1;
  const repeats = mantissa.indexOf(sign) !== last;
  // '1.5.2' is no grouping either; reading stops there with a message about groups.
  if (repeats) return -1;
  const couldBeThousands = sign === ',' && /^[1-9]\d{0,2},\d{3}$/.test(mantissa);
  return couldBeThousands && expects === 'integer-like' ? -1 : last;
}

function describeFraction(text: string, fraction: string, badDigit: number, offset: number): ParseFailure {
  const c = fraction.charAt(badDigit);
  const isSign = c === '.' || c === ',';
  return fail(
    isSign ? 'two-decimal-signs' : 'bad-grouping',
    isSign
      ? `'${text.trim()}' has a second decimal sign at character ${offset + badDigit + 1}. Keep one, as in 20.5 or 20,5.`
      : `'${text.trim()}' has a gap at character ${offset + badDigit + 1}, after the decimal sign. Type the digits without gaps.`,
  );
}

/** Groups of thousands: one separator throughout, one to three digits first (no zero in front), then three each. Null when they are right. */
function checkGroups(text: string, whole: string, offset: number): ParseFailure | null {
  const separators = [...whole.matchAll(/\D/g)];
  const first = separators[0];
  if (first === undefined) return null;
  const groups = whole.split(/\D/);
  const mixed = separators.find((separator) => separator[0] !== first[0]);
  const badGroup = groups.findIndex((group, i) => (i === 0 ? !/^[1-9]\d{0,2}$/.test(group) : group.length !== 3));
  if (mixed === undefined && badGroup === -1) return null;
  const at = offset + (mixed?.index ?? separators[Math.max(badGroup - 1, 0)]?.index ?? 0);
  const twoSigns = /[.,]/.test(first[0]) && mixed === undefined;
  return fail(
    twoSigns ? 'two-decimal-signs' : 'bad-grouping',
    twoSigns
      ? `'${text.trim()}' has more than one '${first[0]}' and they do not separate thousands. Keep one, as in 20.5 or 20,5.`
      : `'${text.trim()}' is not split in thousands at character ${at + 1}. Type it without gaps, such as 6400 or 20.5.`,
  );
}

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

/** Control characters but tab and line ends, halves of a pair, and two that stand for nothing: XML 1.0, section 2.2, forbids them. */
const FORBIDDEN = /(?![\t\n\r\u007f-\u009f])\p{Cc}|\p{Cs}|[\ufffe\uffff]/gu;

/** The text without the characters that no drawing, page or file may hold; the same text where there are none. */
export function writableText(text: string): string {
  return text.replace(FORBIDDEN, '');
}

/*
 * One limit for what is pasted, typed and opened: what could be made here must open again, and the page must not stall.
 */

/** Points of a map, and rows of any table. */
export const MOST_ROWS = 5_000;
/** A table of so many rows is shorter than this; nothing longer is looked at. */
const MOST_CHARACTERS = 500_000;

const many = (count: number) => formatNumber(count, 0);

/** Why a pasted text is not looked at, or null. */
export function pasteTooLong(text: string): string | null {
  if (text.length <= MOST_CHARACTERS) return null;
  return `The clipboard holds ${many(text.length)} characters; at most ${many(MOST_CHARACTERS)} are read as a table. Nothing is pasted: copy less of it.`;
}

/** Why a table of so many rows is not taken, or null. */
export function tableTooLong(rows: number): string | null {
  if (rows <= MOST_ROWS) return null;
  return `That would be ${many(rows)} rows; a table holds at most ${many(MOST_ROWS)}. Nothing is taken: thin it out.`;
}

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
