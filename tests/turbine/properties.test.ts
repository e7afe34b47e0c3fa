import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { fitCapacity } from '../../src/turbine/index.ts';
import { NozzleLaw, nozzleFlowParameter } from '../../src/turbine/laws.ts';
import type { TurbineSheet } from '../../src/turbine/types.ts';
import { fitted, M2_PER_KG_PER_S, REDUCED_PER_RPM, sheetOf } from './sheets.ts';

const gammas = fc.double({ min: 1.1, max: 1.67, noNaN: true });
const ratios = fc.double({ min: 1.001, max: 8, noNaN: true });

describe('the nozzle', () => {
  it('rises to its choking and stays, without a step there', () => {
    fc.assert(
      fc.property(gammas, ratios, ratios, (gamma, a, b) => {
        const [low, high] = a < b ? [a, b] : [b, a];
        const law = new NozzleLaw(gamma);
        expect(law.at(low)).toBeLessThanOrEqual(law.at(high) * (1 + 1e-14));
        const critical = law.criticalExpansionRatio;
        expect(law.at(critical * (1 - 1e-7))).toBeCloseTo(law.chokedFlowParameter, 12);
        expect(law.at(critical * 2)).toBe(law.chokedFlowParameter);
        expect(law.at(low)).toBe(nozzleFlowParameter(low, gamma));
      }),
    );
  });

  it('keeps its digits near no expansion: psi^2 / (2 ln ratio) goes to 1', () => {
    fc.assert(
      fc.property(gammas, fc.double({ min: 1e-12, max: 1e-6, noNaN: true }), (gamma, x) => {
        expect(new NozzleLaw(gamma).atLog(x) ** 2 / (2 * x)).toBeCloseTo(1, 5);
      }),
    );
  });

  it('gives 0 and no NaN at and below a ratio of 1', () => {
    expect([1, 0.5, 0, -2].map((ratio) => nozzleFlowParameter(ratio, 1.33))).toEqual([0, 0, 0, 0]);
  });
});

/** A turbine-like sheet with reading noise: lines of a two-restriction law whose area falls with speed. */
const noisySheet = fc
  .record({
    scale: fc.double({ min: 0.02, max: 0.6, noNaN: true }),
    exponent: fc.double({ min: 0.4, max: 1, noNaN: true }),
    lines: fc.array(
      fc.record({
        speedRpm: fc.integer({ min: 20_000, max: 150_000 }),
        from: fc.double({ min: 1.05, max: 2, noNaN: true }),
        steps: fc.array(
          fc.record({
            step: fc.double({ min: 0.02, max: 0.4, noNaN: true }),
            noise: fc.double({ min: -0.004, max: 0.004, noNaN: true }),
            efficiency: fc.option(fc.double({ min: 0.3, max: 0.8, noNaN: true }), { nil: undefined }),
          }),
          { minLength: 1, maxLength: 8 },
        ),
      }),
      { minLength: 1, maxLength: 5 },
    ),
  })
  .map(({ scale, exponent, lines }): TurbineSheet => {
    const speeds = new Set<number>();
    return sheetOf(
      lines
        .filter(({ speedRpm }) => !speeds.has(speedRpm) && speeds.add(speedRpm))
        .map(({ speedRpm, from, steps }) => {
          let expansionRatio = from;
          const points = steps.map(({ step, noise, efficiency }) => {
            expansionRatio += step;
            const flow =
              scale * nozzleFlowParameter(expansionRatio ** exponent, 4 / 3) * (1 - speedRpm * 1e-6) * (1 + noise);
            return { expansionRatio, flow, efficiency };
          });
          return { speedRpm, points };
        }),
    );
  });

const speedsAsked = fc.double({ min: 0, max: 800, noNaN: true });

describe('a fitted sheet', () => {
  it('never passes less at more expansion, whatever the speed', () => {
    fc.assert(
      fc.property(noisySheet, speedsAsked, fc.array(ratios, { minLength: 4, maxLength: 12 }), (sheet, speed, asked) => {
        const { capacity } = fitted(sheet);
        const flows = [...asked].sort((a, b) => a - b).map((ratio) => capacity.flowParameter(ratio, speed));
        flows.forEach((flow, i) => {
          expect(flow).toBeGreaterThan(0);
          if (i > 0) expect(flow).toBeGreaterThanOrEqual(flows[i - 1]! * (1 - 1e-12));
        });
      }),
    );
  });

  it('passes within 0.2 % of entered points that rise', () => {
    fc.assert(
      fc.property(noisySheet, (sheet) => {
        const { capacity } = fitted(sheet);
        for (const { speedRpm, points } of sheet.lines) {
          points.forEach(({ expansionRatio, flow }, i) => {
            const rises = points.every((q, j) => (j < i ? q.flow <= flow : j > i ? q.flow >= flow : true));
            const monotone = points.every((q, j) => j === 0 || q.flow > points[j - 1]!.flow);
            if (!rises || !monotone) return;
            const found = capacity.flowParameter(expansionRatio, speedRpm! * REDUCED_PER_RPM);
            expect(Math.abs(found / (flow * M2_PER_KG_PER_S) - 1)).toBeLessThan(0.002);
          });
        }
      }),
    );
  });

  it('stays within 0.5 % of points whose flow falls by noise', () => {
    fc.assert(
      fc.property(noisySheet, (sheet) => {
        const { capacity } = fitted(sheet);
        for (const { speedRpm, points } of sheet.lines) {
          for (const { expansionRatio, flow } of points) {
            const found = capacity.flowParameter(expansionRatio, speedRpm! * REDUCED_PER_RPM);
            expect(Math.abs(found / (flow * M2_PER_KG_PER_S) - 1)).toBeLessThan(0.0085);
          }
        }
      }),
    );
  });

  it('has no jump: over a hair of expansion or speed the flow changes by a hair', () => {
    fc.assert(
      fc.property(noisySheet, ratios, speedsAsked, (sheet, ratio, speed) => {
        const { capacity } = fitted(sheet);
        const here = capacity.flowParameter(ratio, speed);
        const change = (flow: number) => Math.abs(flow / here - 1);
        expect(change(capacity.flowParameter(ratio * (1 + 1e-9), speed))).toBeLessThan(1e-4);
        expect(change(capacity.flowParameter(ratio, speed + 1e-7))).toBeLessThan(1e-5);
        for (const line of capacity.lines) {
          const at = line.reducedSpeed!;
          const before = capacity.flowParameter(ratio, at - 1e-9);
          expect(Math.abs(capacity.flowParameter(ratio, at) / before - 1)).toBeLessThan(1e-6);
        }
      }),
    );
  });

  it('is choked for good once it is, and then rises by no more than 0.02 %', () => {
    fc.assert(
      fc.property(noisySheet, ratios, speedsAsked, (sheet, ratio, speed) => {
        const { capacity } = fitted(sheet);
        if (!capacity.isChoked(ratio, speed)) return;
        expect(capacity.isChoked(ratio * 1.5, speed)).toBe(true);
        expect(capacity.flowParameter(1e4, speed) / capacity.flowParameter(ratio, speed) - 1).toBeLessThan(2.1e-4);
      }),
    );
  });

  it('gives efficiencies within those entered, and the entered ones at the points', () => {
    fc.assert(
      fc.property(noisySheet, ratios, speedsAsked, (sheet, ratio, speed) => {
        const { capacity } = fitted(sheet);
        const entered = sheet.lines.flatMap(({ points }) => points.flatMap((p) => p.efficiency ?? []));
        const found = capacity.efficiency(ratio, speed);
        if (entered.length === 0) expect(found).toBeNull();
        else {
          expect(found!).toBeGreaterThanOrEqual(Math.min(...entered) - 1e-12);
          expect(found!).toBeLessThanOrEqual(Math.max(...entered) + 1e-12);
        }
        for (const { speedRpm, points } of sheet.lines) {
          for (const { expansionRatio, efficiency } of points) {
            if (efficiency === undefined) continue;
            expect(capacity.efficiency(expansionRatio, speedRpm! * REDUCED_PER_RPM)).toBeCloseTo(efficiency, 6);
          }
        }
      }),
    );
  });

  it('does not depend on the order of lines and points', () => {
    fc.assert(
      fc.property(noisySheet, ratios, speedsAsked, (sheet, ratio, speed) => {
        const turned = sheetOf([...sheet.lines].reverse().map((l) => ({ ...l, points: [...l.points].reverse() })));
        const [a, b] = [fitted(sheet), fitted(turned)].map(({ capacity }) => capacity.flowParameter(ratio, speed));
        expect(Math.abs(a! / b! - 1)).toBeLessThan(1e-9);
      }),
      { numRuns: 40 },
    );
  });
});

const anything = fc.oneof(fc.double(), fc.constantFrom(Number.NaN, 0, -1, 1, 2, 0.1, Infinity), ratios);

it('answers any sheet with a capacity of numbers or with problems that have a place and words', () => {
  const sheets = fc.record({
    temperatureK: fc.oneof(fc.constant(288.15), anything),
    lines: fc.array(
      fc.record({
        speedRpm: fc.option(anything, { nil: undefined }),
        points: fc.array(
          fc.record({ expansionRatio: anything, flow: anything, efficiency: fc.option(anything, { nil: undefined }) }),
          { maxLength: 5 },
        ),
      }),
      { maxLength: 4 },
    ),
  });
  fc.assert(
    fc.property(sheets, ratios, speedsAsked, ({ temperatureK, lines }, ratio, speed) => {
      const reference = { temperatureK, pressurePa: 1e5 };
      const fit = fitCapacity(sheetOf(lines, { flow: { kind: 'corrected', unit: 'kg/s', reference } }));
      if (fit.ok) {
        expect(fit.capacity.flowParameter(ratio, speed)).toBeGreaterThan(0);
        expect(Number.isFinite(fit.capacity.flowParameter(ratio, speed))).toBe(true);
      } else {
        expect(fit.problems.length).toBeGreaterThan(0);
        for (const { path, message } of fit.problems) {
          expect(path).not.toBe('');
          expect(message).toMatch(/\.$/);
          expect(message).not.toMatch(/NaN|Infinity|undefined/);
        }
      }
    }),
    { numRuns: 500 },
  );
});
