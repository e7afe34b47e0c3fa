import { scaleLinear } from 'd3';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { linearScale, tickText, valueText } from '../../src/plot/frame/axes.ts';

it('a value that is pointed at has four digits at most before the point', () => {
  const rpm = { decimals: 0, unit: 'rpm' };
  const said = [155_603, -158_889, 75_034, 9999, 0, Number.NaN].map((value) => valueText(value, rpm));
  expect(said).toEqual(['155\u202f600 rpm', '−158\u202f900 rpm', '75\u202f030 rpm', '9999 rpm', '0 rpm', '– rpm']);
  expect(valueText(0.2304, { decimals: 3, unit: 'bar' })).toBe('0.230 bar');
});

describe('the text of ticks', () => {
  it('has the decimals of the step, commas and the typographic minus', () => {
    expect([0, 0.5, 1].map(tickText([0, 1], 2))).toEqual(['0.0', '0.5', '1.0']);
    expect([0, 50_000, 100_000].map(tickText([0, 100_000], 2))).toEqual(['0', '50\u202f000', '100\u202f000']);
    expect([-0.02, 0, 0.02].map(tickText([-0.02, 0.02], 2))).toEqual(['−0.02', '0.00', '0.02']);
  });

  const ungrouped = (text: string) => text.replace(/[,\u202f]/g, '');
  // Source: d3-scale's own tickFormat, an independent implementation, which the built page leaves out for its size.
  it('says what d3-scale says, but for how thousands are parted', () => {
    const magnitude = fc.tuple(fc.double({ min: 1, max: 10, noNaN: true }), fc.integer({ min: -5, max: 6 }));
    fc.assert(
      fc.property(
        fc.double({ min: -10, max: 10, noNaN: true }),
        magnitude,
        fc.integer({ min: 2, max: 20 }),
        (start, [span, power], count) => {
          const from = start * 10 ** power;
          const axis = scaleLinear([from, from + span * 10 ** power], [0, 1]);
          const ticks = axis.ticks(count);
          expect(ticks.map(tickText(axis.domain(), count)).map(ungrouped)).toEqual(
            ticks.map((tick) => ungrouped(axis.tickFormat(count)(tick))),
          );
        },
      ),
      { numRuns: 2000 },
    );
  });

  it('can write a span of nothing', () => {
    expect(tickText([3, 3], 5)(3)).toBe('3');
    expect(tickText([], 5)(0.2)).toBe('0.2');
  });
});

describe('the straight scale', () => {
  // Source: d3-scale's scaleLinear, an independent implementation.
  it('puts a value where d3-scale puts it, on a span of nothing too', () => {
    const number = fc.double({ min: -1e6, max: 1e6, noNaN: true });
    const domain = fc.oneof(
      fc.tuple(number, number),
      number.map((at): [number, number] => [at, at]),
    );
    fc.assert(
      fc.property(domain, number, ([low, high], value) => {
        fc.pre(low === high || Math.abs(high - low) > 1e-3);
        const expected = scaleLinear([low, high], [65, 464])(value);
        expect(Math.abs(linearScale([low, high], [65, 464])(value) - expected)).toBeLessThanOrEqual(
          1e-9 * Math.max(1, Math.abs(expected)),
        );
      }),
    );
  });
});
