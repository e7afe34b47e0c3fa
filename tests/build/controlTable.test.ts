import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type Build, defaultBuild, readControlTable, usualBreakpoints } from '../../src/build/index.ts';
import { controlTable } from '../../src/match/index.ts';
import { exampleInput } from '../match/example-input.ts';

const base = defaultBuild('b', 'Bench');
const build = (changed: Partial<Build['controlTable']>): Build => ({
  ...base,
  controlTable: { ...base.controlTable, ...changed },
});

const setupOf = (changed: Partial<Build['controlTable']>) => {
  const { setup, problems } = readControlTable(build(changed));
  if (setup === null) throw new Error(problems.map(({ message }) => message).join(' '));
  return { ...setup, problems };
};

const messageOf = (changed: Partial<Build['controlTable']>) => {
  const { problems } = readControlTable(build(changed));
  return problems.map(({ message }) => message.replaceAll('\u00a0', ' ')).join(' ');
};

describe('breakpoints, typed or pasted', () => {
  it('are read whatever separates them and whatever the decimal sign is', () => {
    const separators = fc.constantFrom(
      { between: '\t', decimal: ',' },
      { between: '\t', decimal: '.' },
      { between: ';', decimal: ',' },
      { between: '; ', decimal: '.' },
      { between: ' ', decimal: ',' },
      { between: '  ', decimal: '.' },
      { between: '\n', decimal: ',' },
      { between: '\r\n', decimal: '.' },
      { between: ', ', decimal: '.' },
      { between: ', ', decimal: ',' },
      { between: ',', decimal: '.' },
    );
    const values = fc
      .uniqueArray(fc.integer({ min: 301, max: 1199 }), { minLength: 2, maxLength: 32 })
      .map((tenths) => tenths.map((value) => value / 10).toSorted((a, b) => b - a));
    fc.assert(
      fc.property(values, separators, fc.boolean(), (list, { between, decimal }, isFixed) => {
        const text = list
          .map((value) => (isFixed ? value.toFixed(2) : String(value)).replace('.', decimal))
          .join(between);
        expect(setupOf({ barometers: `${text}\n` }).axis.values).toEqual(list);
      }),
      { numRuns: 300 },
    );
  });

  it('a comma before thousands is known by what an engine speed can be', () => {
    for (const text of [
      '1,000 1,500 12,000',
      '1,000; 1,500; 12,000',
      '1,000, 1,500, 12,000',
      "1'000 1'500 12'000",
      '1\u202f000 1\u202f500 12\u202f000',
    ]) {
      expect(setupOf({ engineSpeeds: text }).options.engineSpeedsRpm, text).toEqual([1000, 1500, 12_000]);
    }
    expect(setupOf({ engineSpeeds: '1000,1500,12000' }).options.engineSpeedsRpm).toEqual([1000, 1500, 12_000]);
  });

  it('while none are entered, usual ones hold, and they can be typed as they are shown', () => {
    for (const axis of ['kPa', 'hPa', 'psi', 'inHg', 'm', 'ft'] as const) {
      const shown = usualBreakpoints(build({ axis }));
      const { options } = setupOf({ axis });
      expect(setupOf({ axis, ...shown }).options).toEqual(options);
      expect(Math.max(...options.barometersPa)).toBeGreaterThan(97_000);
      expect(Math.min(...options.barometersPa)).toBeLessThan(70_500);
    }
  });

  it('what cannot be a breakpoint is named with what to do', () => {
    expect(messageOf({ barometers: '100 95 ninety' })).toBe(
      "Breakpoints of the barometric pressure: 'ninety' is not a number. Check it, and the unit.",
    );
    expect(messageOf({ axis: 'psi', barometers: '100 95' })).toMatch(/'100' is not between 4\.4 and 17\.4 psi/);
    expect(messageOf({ engineSpeeds: '2000 3000 2500' })).toMatch(/2500 after 3000 does not/);
    expect(messageOf({ engineSpeeds: Array.from({ length: 33 }, (_, i) => 1000 + i).join(' ') })).toMatch(
      /there are 33; at most 32 are taken/,
    );
    expect(messageOf({ warmest: { text: '-20', unit: 'degC' } })).toMatch(/below the lowest/);
    expect(readControlTable(build({ step: { text: 'x', unit: 'kPa' } })).setup).toBeNull();
  });

  it('any text gives a setup or a problem, never a throw or a NaN', () => {
    fc.assert(
      fc.property(fc.string(), fc.string({ unit: fc.constantFrom(...'0123456789.,;\t\n -+eE') }), (odd, near) => {
        for (const text of [odd, near]) {
          const { setup, problems } = readControlTable(build({ engineSpeeds: text, barometers: text, entered: text }));
          if (setup === null) expect(problems.length).toBeGreaterThan(0);
          const numbers = [...(setup?.options.barometersPa ?? []), ...(setup?.options.engineSpeedsRpm ?? [])];
          for (const value of numbers) expect(Number.isFinite(value)).toBe(true);
        }
      }),
      { numRuns: 500 },
    );
  });
});

describe('altitude and barometric pressure are one axis', () => {
  // ISO 2533:1975, table of pressures over geopotential altitude: 0 m 1013.25, 1,000 m 898.746, 2,000 m 794.952, 3,000 m 701.085 hPa.
  const ISO_2533 = { m: '0 1000 2000 3000', hPa: '1013.25 898.746 794.952 701.085', ft: '0 3280.84 6561.68 9842.52' };

  it('through ISO 2533', () => {
    const byPressure = setupOf({ axis: 'hPa', barometers: ISO_2533.hPa }).options.barometersPa;
    for (const axis of ['m', 'ft'] as const) {
      const byAltitude = setupOf({ axis, barometers: ISO_2533[axis] }).options.barometersPa;
      byAltitude.forEach((pa, i) => {
        expect(Math.abs(pa - byPressure[i]!), `${axis} ${i}`).toBeLessThan(0.2);
      });
    }
  });

  it('the tables are the same, number for number', () => {
    const tables = (['m', 'hPa'] as const).map((axis) => {
      const { options } = setupOf({ axis, barometers: ISO_2533[axis], engineSpeeds: '3000 4500 6000' });
      const result = controlTable(exampleInput(), { ...options, temperaturesK: [293.15], step: 2000 });
      if (!result.ok) throw new Error(result.message);
      return result.table.cells.map((row) => row.map(({ steps, binding }) => [steps, binding]));
    });
    expect(tables[0]).toEqual(tables[1]);
  });
});

describe('the pasted table', () => {
  const axes = { engineSpeeds: '2000 4000 6000', barometers: '100 80', kind: 'gauge' } as const;
  const pascals = [
    [50_000, 40_000],
    [120_500, 90_000],
    [null, 70_000],
  ];
  const withSteps = { ...axes, step: { text: '0.5', unit: 'kPa' } };

  it('is read with tabs or semicolons, decimal comma or point, with or without its breakpoints; an empty cell is none', () => {
    for (const entered of [
      '50\t40\n120.5\t90\n\t70\n',
      '50;40\r\n120,5;90\r\n;70',
      '0\t100\t80\n2000\t50\t40\n4000\t120,5\t90\n6000\t\t70',
      'Engine speed [rpm] / target, kPa\t100\t80\n2000\t50\t40\n4000\t120.5\t90\n6000\t\t70',
      '\t100\t80\n2,000\t50\t40\n4,000\t120.5\t90\n6,000\t\t70',
      '50\t40\t\n120.5\t90\t\n\t70\t\n\t\t\n',
    ]) {
      const { options, problems } = setupOf({ ...withSteps, entered });
      expect(problems, entered).toEqual([]);
      expect(options.entered, entered).toEqual(pascals);
    }
    const { options } = setupOf({ ...withSteps, entered: '50, 40\n120.5, 90\n10, 70' });
    expect(options.entered).toEqual([...pascals.slice(0, 2), [10_000, 70_000]]);
  });

  it('with cells or whole rows without a number, wherever they are, is read back', () => {
    const cell = fc.option(fc.integer({ min: 1, max: 300 }), { nil: null });
    fc.assert(
      fc.property(
        fc.array(fc.tuple(cell, cell), { minLength: 3, maxLength: 3 }),
        fc.constantFrom('\t', ';'),
        (table, at) => {
          const entered = table.map((row) => row.map((value) => value ?? '').join(at)).join('\n');
          const { options, problems } = setupOf({ ...withSteps, entered });
          expect(problems).toEqual([]);
          const isEmpty = table.flat().every((value) => value === null);
          const read = table.map((row) => row.map((value) => (value === null ? null : value * 1000)));
          expect(options.entered).toEqual(isEmpty ? undefined : read);
        },
      ),
    );
  });

  it('turned, where engine speed runs across', () => {
    const { options } = setupOf({ ...withSteps, layout: 'across', entered: '50\t120,5\t\n40\t90\t70' });
    expect(options.entered).toEqual(pascals);
  });

  it('of another size or kind is refused by name, and the rest is computed all the same', () => {
    const wrong = { ...withSteps, entered: '1\t2\t3\n4\t5\t6' };
    expect(messageOf(wrong)).toMatch(/2 rows of 3 numbers; the breakpoints make 3 rows of 2\. It would fit turned/);
    expect(readControlTable(build(wrong)).setup?.options.entered).toBeUndefined();
    expect(messageOf({ ...withSteps, entered: '5000\t2\n3\t4\n5\t6' })).toMatch(/5000 in row 1, column 1 cannot be/);
    expect(messageOf({ ...withSteps, entered: '1 2\n3 four\n5 6' })).toMatch(/'four' is not a number/);
    expect(messageOf({ ...withSteps, entered: '1 2\n3\n5 6' })).toMatch(/row 2 has 1 numbers, another has 2/);
  });

  it('with breakpoints of its own: they are offered', () => {
    const { pastedBreakpoints, problems } = setupOf({
      ...withSteps,
      entered: 'rpm\t101\t90\t80\n1000\t1\t2\t3\n2000\t4\t5\t6',
    });
    expect(problems.map(({ message }) => message).join()).toMatch(/breakpoints of its own/);
    expect(pastedBreakpoints).toEqual({ engineSpeeds: '1000 2000', barometers: '101 90 80' });
    const taken = setupOf({
      ...withSteps,
      ...pastedBreakpoints,
      entered: 'rpm\t101\t90\t80\n1000\t1\t2\t3\n2000\t4\t5\t6',
    });
    expect(taken.options.entered).toEqual([
      [1000, 2000, 3000],
      [4000, 5000, 6000],
    ]);
  });
});
