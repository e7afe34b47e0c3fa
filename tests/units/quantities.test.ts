import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  bareNumber,
  convert,
  formatNumber,
  formatQuantity,
  fromSi,
  parseQuantity,
  plainNumber,
  type QuantityKey,
  quantities,
  toSi,
  unitOf,
  unitsOf,
} from '../../src/units/index.ts';

const everyUnit = Object.values(quantities).flatMap((quantity) =>
  quantity.units.map((unit) => ({ quantity: quantity.key, unit })),
);
/** Any sign and any size that a person could mean; denormals carry no digits to keep. */
const ordinary = fc.double({ min: -1e6, max: 1e6, noNaN: true }).map((value) => (Math.abs(value) < 1e-30 ? 0 : value));
const anyUnit = fc.constantFrom(...everyUnit);

describe('the table of quantities', () => {
  it('has one entry per key, distinct unit keys, and a metric and a US choice for each', () => {
    for (const [key, quantity] of Object.entries(quantities)) {
      expect(quantity.key).toBe(key);
      expect(new Set(quantity.units.map((unit) => unit.key)).size).toBe(quantity.units.length);
      expect(unitsOf(quantity.key, 'metric').length).toBeGreaterThan(0);
      expect(unitsOf(quantity.key, 'us').length).toBeGreaterThan(0);
    }
  });

  it('keeps absolute, gauge and difference pressures apart, and temperatures from their differences', () => {
    expect(Object.keys(quantities)).toEqual(
      expect.arrayContaining(['pressure-absolute', 'pressure-gauge', 'pressure-difference']),
    );
    expect(toSi(10, 'temperature', 'degF')).not.toBeCloseTo(toSi(10, 'temperature-difference', 'degF'), 3);
    expect(unitOf('temperature-difference', 'degF').label).toBe('Δ°F');
  });

  it('names the quantity and its units when a unit does not belong to it', () => {
    expect(() => toSi(1, 'torque', 'kPa')).toThrow(/'kPa' is not a unit of torque \(Nm, lbft\)/);
  });

  it('converts there and back to 1e-12 of the value, or of the unit zero for temperatures', () => {
    fc.assert(
      fc.property(anyUnit, ordinary, ({ quantity, unit }, value) => {
        const back = fromSi(toSi(value, quantity, unit.key), quantity, unit.key);
        const scale = Math.max(Math.abs(value), unit.offset === 0 ? 0 : Math.abs(unit.offset / unit.toSi));
        expect(Math.abs(back - value)).toBeLessThanOrEqual(1e-12 * scale);
      }),
    );
  });

  it('converts between any two units of a quantity and back', () => {
    fc.assert(
      fc.property(anyUnit, fc.nat(), fc.double({ min: 0.01, max: 1e5, noNaN: true }), (from, pick, value) => {
        const { units } = quantities[from.quantity];
        const to = units[pick % units.length]?.key ?? from.unit.key;
        const there = convert(value, from.quantity, from.unit.key, to);
        const back = convert(there, from.quantity, to, from.unit.key);
        expect(Math.abs(back - value)).toBeLessThanOrEqual(1e-12 * Math.max(value, 1000));
      }),
    );
  });
});

describe('formatting', () => {
  it.each([
    [148200, 'rotational-speed', 'rpm', '148\u202f200\u00a0rpm'],
    [293.65, 'temperature', 'degC', '20.5\u00a0°C'],
    [0.724, 'efficiency', '%', '72.4\u00a0%'],
    [2.345, 'pressure-ratio', '1', '2.345'],
    [-12345.6, 'pressure-gauge', 'kPa', '−12.3\u00a0kPa'],
    [0.00199, 'displacement', 'cm3', '1990\u00a0cm³'],
  ] as const)('%d of %s in %s', (si, quantity: QuantityKey, unit, expected) => {
    expect(formatQuantity(si, quantity, unit)).toBe(expected);
  });

  it('leaves the unit out, changes the decimals, and signs on request', () => {
    expect(formatQuantity(0.012, 'fraction', '%', { withUnit: false })).toBe('1.2');
    expect(formatQuantity(0.012, 'fraction', '%', { signed: true })).toBe('+1.2\u00a0%');
    expect(formatQuantity(0, 'fraction', '%', { signed: true })).toBe('0.0\u00a0%');
    expect(formatQuantity(-0.012, 'fraction', '%', { signed: true, decimals: 2 })).toBe('−1.20\u00a0%');
  });

  it('never shows NaN, infinity or a negative zero', () => {
    expect(formatNumber(Number.NaN, 1)).toBe('–');
    expect(formatQuantity(Number.POSITIVE_INFINITY, 'power', 'kW')).toBe('–');
    expect(formatNumber(-0.04, 1)).toBe('0.0');
    expect(formatNumber(1e21, 0)).toBe('1\u202f000\u202f000\u202f000\u202f000\u202f000\u202f000\u202f000');
  });

  // ISO 80000-1, 7.3, and SI brochure, 5.4.4 (from memory): groups of three digits, parted by a small space and by nothing else; four digits are customarily left whole.
  it('parts thousands by a narrow no-break space, never by a comma; files and the clipboard get bare digits', () => {
    fc.assert(
      fc.property(fc.double({ min: -1e9, max: 1e9, noNaN: true }), fc.nat(4), (value, decimals) => {
        const shown = formatNumber(value, decimals);
        expect(shown).toMatch(/^−?(?:\d{1,4}|\d{2,3}(?:\u202f\d{3})+|\d(?:\u202f\d{3}){2,})(?:\.\d+)?$/);
        expect(Number(bareNumber(shown))).toBe(Number(value.toFixed(decimals)) + 0);
      }),
    );
    expect(bareNumber('–')).toBe('');
  });

  it('reads back what it shows with the usual decimals, in every unit', () => {
    fc.assert(
      fc.property(anyUnit, fc.double({ min: -1e7, max: 1e7, noNaN: true }), ({ quantity, unit }, value) => {
        const shown = formatNumber(value, unit.decimals);
        const read = parseQuantity(shown, quantity, unit.key);
        expect(read.ok && read.value).toBe(Number(value.toFixed(unit.decimals)) + 0);
      }),
    );
  });

  it('writes field texts that read back to the digits kept, in every unit', () => {
    fc.assert(
      fc.property(
        anyUnit,
        fc.double({ min: -1e12, max: 1e12, noNaN: true }),
        fc.integer({ min: 1, max: 15 }),
        ({ quantity, unit }, value, digits) => {
          const read = parseQuantity(plainNumber(value, digits), quantity, unit.key);
          expect(read.ok && read.value).toBe(Number(value.toPrecision(digits)) + 0);
        },
      ),
    );
  });
});
