import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  cooledTemperature,
  coolerEffectiveness,
  dependsOnFlow,
  pressureBefore,
  pressureLoss,
} from '../../src/engine/index.ts';

const falling = {
  kind: 'cooler',
  effectiveness: 0.8,
  effectivenessAtFlow: [
    { massFlowKgPerS: 0.1, effectiveness: 0.8 },
    { massFlowKgPerS: 0.3, effectiveness: 0.6 },
  ],
  coolantTemperatureK: 300,
} as const;

describe('charge cooler', () => {
  it.each([
    [0, 0.8],
    [0.1, 0.8],
    [0.2, 0.7],
    [0.3, 0.6],
    [1, 0.6],
  ])('at %f kg/s has effectiveness %f: linear between its flows, constant outside', (flow, effectiveness) => {
    expect(coolerEffectiveness(falling, flow)).toBeCloseTo(effectiveness, 12);
  });

  it('of one number is a constant, none has 0 and changes nothing', () => {
    const plain = { kind: 'cooler', effectiveness: 0.7, coolantTemperatureK: 300 } as const;
    expect(coolerEffectiveness(plain, 5)).toBe(0.7);
    expect(dependsOnFlow(plain)).toBe(false);
    expect(dependsOnFlow(falling)).toBe(true);
    expect(coolerEffectiveness({ kind: 'none' }, 0.2)).toBe(0);
    expect(cooledTemperature({ kind: 'none' }, 0.2, 412.5)).toBe(412.5);
  });

  it('never cools below its coolant, never heats above the charge; a coolant warmer than the charge heats it', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0, max: 1, noNaN: true }),
        fc.double({ min: 250, max: 370, noNaN: true }),
        fc.double({ min: 260, max: 500, noNaN: true }),
        (effectiveness, coolantTemperatureK, T) => {
          const out = cooledTemperature({ kind: 'cooler', effectiveness, coolantTemperatureK }, 0.2, T);
          expect(out).toBeGreaterThanOrEqual(Math.min(T, coolantTemperatureK) - 1e-9);
          expect(out).toBeLessThanOrEqual(Math.max(T, coolantTemperatureK) + 1e-9);
        },
      ),
      { seed: 3, numRuns: 1000 },
    );
  });
});

describe('pressure before a path', () => {
  it('is the end pressure plus the loss at its own density, for any path', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 5e4, max: 5e5, noNaN: true }),
        fc.double({ min: 0, max: 1e6, noNaN: true }),
        fc.double({ min: 0, max: 1, noNaN: true }),
        fc.double({ min: 250, max: 600, noNaN: true }),
        (end, coefficient, flow, T) => {
          const before = pressureBefore(end, coefficient, flow, 287, T);
          const loss = pressureLoss(coefficient, flow, before / (287 * T));
          expect(Math.abs((before - loss) / end - 1)).toBeLessThan(1e-9);
        },
      ),
      { seed: 4, numRuns: 1000 },
    );
  });
});
