import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { bladePassFrequency, wheelAtSpeed, wheelFigures, wheelRatios } from '../../../src/compressor/index.ts';
import type { Measured, WheelMeasurement } from '../../../src/compressor/types.ts';

const millimetres = (low: number, high: number) => fc.double({ min: low, max: high, noNaN: true });
const anyWheel: fc.Arbitrary<WheelMeasurement> = fc
  .record({
    exducer: millimetres(30, 120),
    share: fc.double({ min: 0.5, max: 0.95, noNaN: true }),
    height: millimetres(1, 12),
    caliper: fc.double({ min: 0, max: 0.2, noNaN: true }),
    full: fc.integer({ min: 1, max: 12 }),
    splitters: fc.integer({ min: 0, max: 12 }),
  })
  .map(({ exducer, share, height, caliper, full, splitters }) => ({
    kind: 'compressor',
    inducerM: (exducer * share) / 1000,
    exducerM: exducer / 1000,
    tipHeightM: height / 1000,
    fullBlades: full,
    splitterBlades: splitters,
    caliperM: caliper / 1000,
  }));

const square = (x: number) => x * x;

/** Ends of the exact interval of 100 (d/D)^2 for lengths anywhere within the calipers' width. */
function trimInterval(smaller: number, larger: number, w: number): [number, number] {
  return [100 * square((smaller - w) / (larger + w)), 100 * square((smaller + w) / (larger - w))];
}

function expectFirstOrderOf(got: Measured, [low, high]: readonly [number, number], relative: number) {
  const half = (high - low) / 2;
  // The linear part of the interval: what is missing is of second order in the relative width and never much.
  expect(Math.abs(got.plusMinus - half)).toBeLessThanOrEqual(got.value * 12 * relative * relative + 1e-12 * got.value);
  expect(got.value).toBeGreaterThan(low - 1e-12);
  expect(got.value).toBeLessThan(high + 1e-12);
}

describe('widths of the calipers', () => {
  it('are, to first order, those of interval arithmetic: trim, areas, tip speed, ratios', () => {
    fc.assert(
      fc.property(anyWheel, anyWheel, (wheel, other) => {
        const [d, D, w] = [wheel.inducerM!, wheel.exducerM!, wheel.caliperM];
        const figures = wheelFigures(wheel);
        const relative = w / d;
        expectFirstOrderOf(figures.trim!, trimInterval(d, D, w), relative);
        const circle = (x: number) => (Math.PI / 4) * x * x;
        expectFirstOrderOf(figures.inducerAreaM2!, [circle(d - w), circle(d + w)], relative);
        expectFirstOrderOf(figures.exducerAreaM2!, [circle(D - w), circle(D + w)], relative);
        const speed = (x: number) => (Math.PI * x * 120_000) / 60;
        expectFirstOrderOf(wheelAtSpeed(wheel, 120_000).tipSpeedMPerS!, [speed(D - w), speed(D + w)], relative);
        const [e, v] = [other.inducerM!, other.caliperM];
        const area = wheelRatios(wheel, other).inducerArea!;
        const interval = [square((d - w) / (e + v)), square((d + w) / (e - v))] as const;
        expectFirstOrderOf(area, interval, w / d + v / e);
      }),
    );
  });

  it('are nothing with exact calipers, and twice as much with calipers twice as coarse', () => {
    fc.assert(
      fc.property(anyWheel, (wheel) => {
        expect(wheelFigures({ ...wheel, caliperM: 0 }).trim!.plusMinus).toBe(0);
        const once = wheelFigures({ ...wheel, caliperM: 5e-5 }).trim!.plusMinus;
        expect(wheelFigures({ ...wheel, caliperM: 1e-4 }).trim!.plusMinus).toBeCloseTo(2 * once, 10);
      }),
    );
  });

  it('45.2 / 58.0 mm by 0.05 mm: trim 60.73 by 0.24 (hand calculation: 2 (0.05/45.2 + 0.05/58) = 0.394 %)', () => {
    const { trim } = wheelFigures({ kind: 'compressor', inducerM: 0.0452, exducerM: 0.058, caliperM: 5e-5 });
    expect(trim!.value).toBeCloseTo(60.73, 2);
    expect(trim!.plusMinus).toBeCloseTo(0.239, 3);
  });
});

describe('properties', () => {
  it('areas and trims are positive, and grow with the diameter that they are of', () => {
    fc.assert(
      fc.property(anyWheel, fc.double({ min: 1.001, max: 1.05, noNaN: true }), (wheel, more) => {
        const small = wheelFigures(wheel);
        const large = wheelFigures({ ...wheel, inducerM: wheel.inducerM! * more });
        expect(small.trim!.value).toBeGreaterThan(0);
        expect(small.inducerAreaM2!.value).toBeGreaterThan(0);
        expect(large.trim!.value).toBeGreaterThan(small.trim!.value);
        expect(large.inducerAreaM2!.value).toBeGreaterThan(small.inducerAreaM2!.value);
        expect(large.exducerAreaM2).toEqual(small.exducerAreaM2);
      }),
    );
  });

  it('a wheel over itself is 1, and one way times the other way is 1', () => {
    fc.assert(
      fc.property(anyWheel, anyWheel, (a, b) => {
        expect(wheelRatios(a, a).tipPassageArea!.value).toBeCloseTo(1, 12);
        const { trim } = wheelRatios(a, b);
        expect(trim!.value * wheelRatios(b, a).trim!.value).toBeCloseTo(1, 12);
      }),
    );
  });
});

describe('what is missing or cannot be', () => {
  it('gives null, not a number, for every figure whose measurement is missing', () => {
    const none = wheelFigures({ kind: 'compressor', caliperM: 5e-5 });
    expect(none).toEqual({
      trim: null,
      inducerAreaM2: null,
      exducerAreaM2: null,
      tipPassageAreaM2: null,
      tipDiameterM: null,
      blades: null,
      doubts: [],
    });
    const half = wheelFigures({ kind: 'compressor', exducerM: 0.058, inducerM: 0, caliperM: 5e-5 });
    expect(half.trim).toBeNull();
    expect(half.tipDiameterM?.value).toBe(0.058);
    expect(wheelAtSpeed({ kind: 'compressor', exducerM: 0.05, caliperM: 0 }, Number.NaN).tipSpeedMPerS).toBeNull();
  });

  it('a turbine wheel has its larger diameter at the inlet: trim and tip speed go by it', () => {
    const turbine = { kind: 'turbine', inducerM: 0.052, exducerM: 0.045, caliperM: 0 } as const;
    expect(wheelFigures(turbine).trim!.value).toBeCloseTo(100 * square(45 / 52), 10);
    expect(wheelFigures(turbine).tipDiameterM!.value).toBe(0.052);
    expect(wheelFigures(turbine).doubts).toEqual([]);
  });

  it('doubts diameters that stand the wrong way round, a rare trim and a blade too high', () => {
    const doubts = (inducerM: number, exducerM: number, tipHeightM = 0.004) =>
      wheelFigures({ kind: 'compressor', inducerM, exducerM, tipHeightM, caliperM: 0 }).doubts;
    expect(doubts(0.058, 0.045)).toEqual(['swapped']);
    expect(doubts(0.03, 0.058)).toEqual(['trim-unusual']);
    expect(doubts(0.045, 0.058, 0.02)).toEqual(['tip-height-unusual']);
    expect(doubts(0.045, 0.058)).toEqual([]);
  });
});

it('a sensor sees 6 blades at 120,000 rev/min 12,000 times a second; with splitters twice as often (hand calculation)', () => {
  expect(bladePassFrequency(120_000, 6)).toBe(12_000);
  const at = wheelAtSpeed({ kind: 'compressor', fullBlades: 6, splitterBlades: 6, caliperM: 0 }, 120_000);
  expect(at).toMatchObject({ fullBladePassHz: 12_000, allBladePassHz: 24_000, tipSpeedMPerS: null });
});
