import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { estimateCapacity } from '../../src/turbine/index.ts';
import { type TurbineShape, turbineFlow } from '../machines/turbine-machine.ts';

/** Invented wheels and housings of the usual sizes; the last with a rotor whose blades lie flatter than the estimate takes them to. */
const SHAPES: readonly TurbineShape[] = [
  shape('38 mm', 38, 33, 10.5, 5.5),
  shape('44 mm', 44, 38.5, 13, 6, { hubShare: 0.28, exitAngleDeg: 57 }),
  shape('47 mm, lossy', 47, 42, 18, 6.8, { passageLoss: 0.5 }),
  shape('53 mm', 53, 45.5, 16.3, 7.2, { hubShare: 0.33, exitAngleDeg: 52 }),
  shape('60 mm', 60, 53.5, 21, 8.5, { swirlCoefficient: 0.96, throatRadiusShare: 1.4 }),
  shape('70 mm, blades at 60 degrees', 70, 64, 28, 9.8, { exitAngleDeg: 60, leak: 0.03 }),
];

function shape(
  name: string,
  d2: number,
  d3: number,
  ar: number,
  b2: number,
  more: Partial<TurbineShape> = {},
): TurbineShape {
  return {
    name,
    inducerM: d2 / 1000,
    exducerM: d3 / 1000,
    areaRadiusM: ar / 1000,
    tipHeightM: b2 / 1000,
    hubShare: 0.31,
    exitAngleDeg: 55,
    throatRadiusShare: 1.5,
    swirlCoefficient: 0.92,
    voluteLoss: 0.15,
    passageLoss: 0.35,
    leak: 0.04,
    ...more,
  };
}

const made = (measured: Parameters<typeof estimateCapacity>[0]) => {
  const result = estimateCapacity(measured);
  if (!result.ok) throw new Error(result.missing.join(', '));
  return result.capacity;
};
const usual = { inducerM: 0.05, exducerM: 0.0435, areaRadiusM: 0.016 };

describe('against independent mean-line machines, at U/C0 of 0.62', () => {
  const CP = 1.36 / 0.36;
  const errors = SHAPES.map((machine) => {
    const capacity = made(machine);
    const at = (ratio: number) => {
      const tip = 0.62 * Math.sqrt(2 * CP * (1 - ratio ** (-1 / CP)));
      return capacity.flowParameter(ratio, 0) / turbineFlow(machine, ratio, tip)!.flowM2 - 1;
    };
    return { name: machine.name, errors: [1.2, 1.4, 1.7, 2, 2.4].map(at) };
  });

  // Always above: the machines lose more than the one published turbine does (turbine-estimate.test.ts), and the estimate lies between.
  it.each(errors.slice(0, -1))('$name: 5 to 16 % above', (found) => {
    for (const error of found.errors) {
      expect(error).toBeGreaterThan(0.05);
      expect(error).toBeLessThan(0.16);
    }
  });

  it('is beyond its band, 16 to 21 % above, where the blades lie 5 degrees flatter than it takes them to', () => {
    const flat = errors.at(-1)!.errors;
    expect(Math.min(...flat)).toBeGreaterThan(0.15);
    expect(Math.max(...flat)).toBeLessThan(0.21);
  });
});

describe('an estimate', () => {
  it('says its band of 15 % and what the calipers leave, and draws one curve without points', () => {
    const capacity = made({ ...usual, caliperM: 0.0005 });
    expect(capacity.from).toBe('estimate');
    // Hand: twice 0.5 mm of 43.5 mm is 2.3 %; sqrt(0.15^2 + 0.023^2).
    expect(capacity.band).toBeCloseTo(0.15175, 4);
    expect(made(usual).band).toBeCloseTo(0.15, 3);
    expect(capacity.lines).toEqual([{ reducedSpeed: null, points: [] }]);
    expect(capacity.efficiency(2, 100)).toBeNull();
    expect(capacity.isExtended(1.01, 900)).toBe(false);
  });

  it('names what is missing', () => {
    const missing = (measured: Parameters<typeof estimateCapacity>[0]) => {
      const result = estimateCapacity(measured);
      return result.ok ? [] : result.missing;
    };
    expect(missing({})).toHaveLength(3);
    expect(missing({ ...usual, areaRadiusM: null })).toEqual(['turbine A/R']);
    expect(missing({ ...usual, exducerM: Number.NaN })).toEqual(['turbine exducer diameter (the smaller one)']);
    expect(missing({ ...usual, inducerM: 0.04 })[0]).toMatch(/swapped/);
    expect(missing(usual)).toEqual([]);
  });

  it('of a twin scroll takes the A/R of one entry twice', () => {
    const one = made({ ...usual, areaRadiusM: 0.008, entries: 'one' });
    const all = made({ ...usual, areaRadiusM: 0.016, entries: 'all' });
    expect(one.flowParameter(2, 0)).toBe(all.flowParameter(2, 0));
  });

  const sizes = fc.record({
    inducerM: fc.double({ min: 0.025, max: 0.15, noNaN: true }),
    trim: fc.double({ min: 0.6, max: 1, noNaN: true }),
    arShare: fc.double({ min: 0.15, max: 0.9, noNaN: true }),
    tipHeightM: fc.option(fc.double({ min: 0.003, max: 0.02, noNaN: true }), { nil: undefined }),
  });
  const ofSize = ({
    inducerM,
    trim,
    arShare,
    tipHeightM,
  }: {
    inducerM: number;
    trim: number;
    arShare: number;
    tipHeightM?: number | undefined;
  }) => ({
    inducerM,
    exducerM: inducerM * trim,
    areaRadiusM: inducerM * arShare,
    tipHeightM,
  });

  it('rises with expansion, exducer and A/R, and with the square of size', () => {
    fc.assert(
      fc.property(sizes, fc.double({ min: 1.02, max: 3.5, noNaN: true }), (size, ratio) => {
        const measured = ofSize({ ...size, tipHeightM: undefined });
        const at = (m: Parameters<typeof estimateCapacity>[0], r = ratio) => made(m).flowParameter(r, 0);
        const flow = at(measured);
        expect(flow).toBeGreaterThan(0);
        expect(at(measured, ratio * 1.05)).toBeGreaterThanOrEqual(flow * (1 - 1e-9));
        // Where one of the two is choked, more of the other may bring nothing.
        const least = flow * (1 - 1e-9);
        expect(at({ ...measured, areaRadiusM: measured.areaRadiusM * 1.1 })).toBeGreaterThanOrEqual(least);
        if (size.trim < 0.9) {
          expect(at({ ...measured, exducerM: measured.exducerM * 1.1 })).toBeGreaterThanOrEqual(least);
        }
        const twice = {
          inducerM: 2 * measured.inducerM,
          exducerM: 2 * measured.exducerM,
          areaRadiusM: 2 * measured.areaRadiusM,
        };
        expect(at(twice) / flow).toBeCloseTo(4, 6);
      }),
      { numRuns: 40 },
    );
  });

  it('of a usual wheel grows by some 5 % with 10 % more A/R or 10 % more exducer', () => {
    const flow = made(usual).flowParameter(2, 0);
    const more = (of: Partial<typeof usual>) => made({ ...usual, ...of }).flowParameter(2, 0) / flow - 1;
    for (const gain of [more({ areaRadiusM: usual.areaRadiusM * 1.1 }), more({ exducerM: usual.exducerM * 1.1 })]) {
      expect(gain).toBeGreaterThan(0.03);
      expect(gain).toBeLessThan(0.12);
    }
  });

  it('is a finite number for any measurable wheel, tip height measured or not', () => {
    fc.assert(
      fc.property(sizes, fc.double({ min: 1.0001, max: 10, noNaN: true }), (size, ratio) => {
        const flow = made(ofSize(size)).flowParameter(ratio, 300);
        expect(Number.isFinite(flow) && flow > 0).toBe(true);
      }),
      { numRuns: 100 },
    );
  });
});
