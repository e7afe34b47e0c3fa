import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type Expects, formatNumber, parseNumber } from '../../src/units/index.ts';

const value = (text: string, expects?: Expects) => {
  const parsed = parseNumber(text, expects);
  return parsed.ok ? parsed.value : parsed.reason;
};

describe('parseNumber reads what people type', () => {
  it.each([
    ['20.5', 20.5],
    ['20,5', 20.5],
    [' 20,5 ', 20.5],
    ['.5', 0.5],
    [',5', 0.5],
    ['5.', 5],
    ['007', 7],
    ['+3', 3],
    ['-3', -3],
    ['−3,25', -3.25],
    ['–3', -3],
    ['1.8e5', 180000],
    ['1,8E5', 180000],
    ['2.5e−3', 0.0025],
    ['1.8×10^5', 180000],
    ['1 234', 1234],
    ['1\u202f234\u202f567', 1234567],
    ["148'200", 148200],
    ['148’200,5', 148200.5],
    ['1 234,567', 1234.567],
    ['1,234,567', 1234567],
    ['1.234.567', 1234567],
    ['1,234.5', 1234.5],
    ['1.234,5', 1234.5],
    ['1,234.567', 1234.567],
    ['0', 0],
    ['-0', 0],
  ])('%j is %d whatever is expected', (text, expected) => {
    expect(value(text, 'decimal')).toBe(expected);
    expect(value(text, 'integer-like')).toBe(expected);
  });

  it('decides a lone comma before three digits by what is expected, and nothing else', () => {
    expect(value('1,234', 'decimal')).toBe(1.234);
    expect(value('1,234', 'integer-like')).toBe(1234);
    expect(value('-148,200', 'integer-like')).toBe(-148200);
    for (const text of ['0,234', '1,23', '1,2345', '1234,567', '1,234e0']) {
      expect(value(text, 'integer-like')).toBe(value(text, 'decimal'));
      expect(value(text, 'integer-like')).not.toBe('bad-grouping');
    }
    expect(value('0,234', 'integer-like')).toBe(0.234);
  });

  it('reads a lone point as the decimal sign always', () => {
    expect(value('1.234', 'integer-like')).toBe(1.234);
    expect(value('6.400', 'integer-like')).toBe(6.4);
  });

  it.each([
    ['', 'empty'],
    ['   ', 'empty'],
    ['abc', 'not-a-number'],
    ['-', 'not-a-number'],
    ['.', 'not-a-number'],
    ['1e', 'not-a-number'],
    ['NaN', 'not-a-number'],
    ['Infinity', 'not-a-number'],
    ['0x10', 'not-a-number'],
    ['20 psi', 'unit-in-text'],
    ['20%', 'unit-in-text'],
    ['12 34', 'bad-grouping'],
    ['1 2345', 'bad-grouping'],
    ["1 234'567", 'bad-grouping'],
    ['1.5 2', 'bad-grouping'],
    ['20..5', 'two-decimal-signs'],
    ['1.2.3', 'two-decimal-signs'],
    ['1,234.5,6', 'bad-grouping'],
    ['1e999', 'too-large'],
  ])('%j fails as %s', (text, reason) => {
    expect(value(text)).toBe(reason);
  });

  it('says what, where and what to do', () => {
    expect(parseNumber('20x5')).toEqual({
      ok: false,
      reason: 'not-a-number',
      message: "'20x5' cannot be read as a number: 'x' at character 3. Type a number such as 20.5 or 20,5.",
    });
    expect(parseNumber(' 1O')).toMatchObject({
      reason: 'not-a-number',
      message:
        "'1O' cannot be read as a number: 'O' at character 3 is a letter, not a zero. Type a number such as 20.5 or 20,5.",
    });
    expect(parseNumber('20 psi')).toMatchObject({
      message: "'20 psi' has 'psi' after the number. Type the number alone and choose the unit beside it.",
    });
    expect(parseNumber('')).toEqual({ ok: false, reason: 'empty', message: 'Nothing is entered. Type a number.' });
  });

  it('never throws and never gives anything but a finite number or a message, for any text', () => {
    const characters = fc.constantFrom(..."0123456789.,- −+eE \u202f'’×^10x%kPa");
    fc.assert(
      fc.property(fc.oneof(fc.string(), fc.string({ unit: characters, maxLength: 14 })), (text) => {
        for (const expects of ['decimal', 'integer-like'] as const) {
          const parsed = parseNumber(text, expects);
          if (parsed.ok) expect(Number.isFinite(parsed.value)).toBe(true);
          else expect(parsed.message.length).toBeGreaterThan(10);
        }
      }),
      { numRuns: 2000 },
    );
  });

  it('gives back what formatNumber shows, to the decimals shown', () => {
    fc.assert(
      fc.property(
        fc.double({ min: -1e9, max: 1e9, noNaN: true }),
        fc.integer({ min: 0, max: 9 }),
        (number, decimals) => {
          // Without decimals the thousands separator is read as such when an integer is expected; with them it cannot be mistaken.
          const read = parseNumber(formatNumber(number, decimals), 'integer-like');
          expect(read.ok && read.value).toBe(Number(number.toFixed(decimals)) + 0);
        },
      ),
    );
  });

  it('reads the same number under every way of writing it', () => {
    const separators = fc.constantFrom(' ', '\u00a0', '\u2009', '\u202f', "'", '’');
    fc.assert(
      fc.property(
        fc.integer({ min: 1000, max: 999_999_999 }),
        fc.nat(999_999),
        separators,
        (whole, part, separator) => {
          const fraction = String(part).padStart(6, '0');
          const grouped = String(whole).replace(/\B(?=(\d{3})+$)/g, separator);
          const expected = Number(`${whole}.${fraction}`);
          expect(value(`${grouped}.${fraction}`)).toBe(expected);
          expect(value(`${grouped},${fraction}`)).toBe(expected);
          expect(value(`${whole},${fraction}`)).toBe(expected);
        },
      ),
    );
  });
});
