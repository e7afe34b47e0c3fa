import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { convert, convertText, parseQuantity, quantities, toSi } from '../../src/units/index.ts';
import { readQuantityText, stepQuantityText } from '../../src/widgets/useQuantityField.ts';

const anyUnit = fc.constantFrom(
  ...Object.values(quantities).flatMap((quantity) => quantity.units.map((unit) => ({ quantity: quantity.key, unit }))),
);
/** Numbers as typed, with either decimal sign. */
const typed = fc
  .tuple(fc.integer({ min: -99_999, max: 999_999 }), fc.integer({ min: 0, max: 4 }), fc.constantFrom('.', ','))
  .map(([whole, decimals, sign]) => (whole / 10 ** decimals).toFixed(decimals).replace('.', sign));

describe('convertText', () => {
  it('keeps six significant digits in any other unit', () => {
    fc.assert(
      fc.property(anyUnit, fc.nat(), typed, ({ quantity, unit }, pick, text) => {
        const { units } = quantities[quantity];
        const to = units[pick % units.length]?.key ?? unit.key;
        const read = parseQuantity(text, quantity, unit.key);
        const converted = parseQuantity(convertText(text, quantity, [unit.key, to]), quantity, to);
        if (!read.ok || !converted.ok) throw new Error(`${text} or its conversion cannot be read`);
        const exact = convert(read.value, quantity, unit.key, to);
        expect(Math.abs(converted.value - exact)).toBeLessThanOrEqual(5.1e-6 * Math.abs(exact) + 1e-12);
      }),
    );
  });

  it('keeps the decimal comma, except where it would be read as thousands', () => {
    expect(convertText('20,5', 'temperature', ['degC', 'degF'])).toBe('68,9');
    expect(convertText('0,12345', 'pressure-absolute', ['kPa', 'mbar'])).toBe('1,2345');
    expect(convertText('0,1234', 'pressure-absolute', ['kPa', 'mbar'])).toBe('1.234');
    expect(convertText('1,984', 'displacement', ['L', 'cm3'])).toBe('1984');
  });

  it('leaves a text alone that cannot be read', () => {
    expect(convertText('2o', 'power', ['kW', 'hp'])).toBe('2o');
  });
});

describe('stepQuantityText', () => {
  it('moves the value by exactly the steps, in every unit and way of typing', () => {
    fc.assert(
      fc.property(anyUnit, typed, fc.integer({ min: -10, max: 10 }), ({ quantity, unit }, text, steps) => {
        const before = parseQuantity(text, quantity, unit.key);
        const next = stepQuantityText(text, { quantity, unit: unit.key }, steps);
        const after = next === null ? null : parseQuantity(next, quantity, unit.key);
        if (!before.ok || !after?.ok) throw new Error(`${text} could not be stepped`);
        const expected = before.value + steps * unit.step;
        expect(Math.abs(after.value - expected)).toBeLessThanOrEqual(1e-11 * Math.max(1, Math.abs(expected)));
      }),
    );
  });

  it('goes up and down again to the same number', () => {
    fc.assert(
      fc.property(anyUnit, typed, ({ quantity, unit }, text) => {
        const rule = { quantity, unit: unit.key };
        const up = stepQuantityText(text, rule, 1);
        const down = up === null ? null : stepQuantityText(up, rule, -1);
        const [start, end] = [text, down ?? ''].map((each) => parseQuantity(each, quantity, unit.key));
        if (!start?.ok || !end?.ok) throw new Error(`${text} could not be stepped`);
        expect(end.value).toBeCloseTo(start.value, 9);
      }),
    );
  });

  it('shows no leftovers of binary fractions, and no negative zero', () => {
    expect(stepQuantityText('0.1', { quantity: 'lambda', unit: '1' }, 2)).toBe('0.12');
    expect(stepQuantityText('1', { quantity: 'pressure-gauge', unit: 'kPa' }, -1)).toBe('0');
    expect(stepQuantityText('0.05', { quantity: 'pressure-gauge', unit: 'bar' }, -1)).toBe('0.00');
  });

  it('has nowhere to go from no number, or over a bound', () => {
    expect(stepQuantityText('', { quantity: 'power', unit: 'kW' }, 1)).toBeNull();
    expect(stepQuantityText('2o', { quantity: 'power', unit: 'kW' }, 1)).toBeNull();
    expect(stepQuantityText('100', { quantity: 'fraction', unit: '%', max: 1 }, 1)).toBeNull();
  });
});

describe('readQuantityText', () => {
  it('accepts bounds themselves in every unit, in spite of binary fractions', () => {
    fc.assert(
      fc.property(anyUnit, typed, ({ quantity, unit }, text) => {
        const read = parseQuantity(text, quantity, unit.key);
        if (!read.ok) return;
        const bound = toSi(read.value, quantity, unit.key);
        expect(readQuantityText(text, { quantity, unit: unit.key, min: bound, max: bound }).ok).toBe(true);
      }),
    );
  });

  it.each([
    ['5', { min: 0.06 }, "'5' is too low. Type 6\u00a0% or more."],
    ['70', { max: 0.6 }, "'70' is too high. Type 60\u00a0% or less."],
    ['-1', { min: 0, max: 1 }, "'-1' is too low. Type 0 to 100\u00a0%."],
    ['0.74', { min: 0.05, max: 1 }, "'0.74' is too low. Type 5 to 100\u00a0%, or choose 0–1."],
  ])('says which values it takes: %s', (text, bounds, message) => {
    expect(readQuantityText(text, { quantity: 'fraction', unit: '%', ...bounds })).toMatchObject({
      ok: false,
      message,
    });
  });

  it('names the units in which the number would do, of those that the field has', () => {
    const rule = { quantity: 'rotational-speed', unit: 'rpm', min: 1000, max: 1e6 } as const;
    const said = "'146' is too low. Type 1000 to 1\u202f000\u202f000\u00a0rpm";
    expect(readQuantityText('146', rule)).toMatchObject({ message: `${said}, or choose krpm.` });
    expect(readQuantityText('146', { ...rule, units: ['rpm'] })).toMatchObject({ message: `${said}.` });
  });
});
