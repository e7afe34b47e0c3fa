import { describe, expect, it } from 'vitest';
import { totalPressureRatio } from '../../src/reading/outlet-pressure.ts';

const AT = {
  correctedMassFlowKgPerS: 0.2,
  staticPressureRatio: 2,
  outletDiameterM: 0.05,
  reference: { temperatureK: 298.15, pressurePa: 100_000 },
  efficiency: 0.75,
};

describe('total from static outlet pressure', () => {
  // Hand calculation by continuity and the energy equation (Dixon & Hall ch. 1), R = 287.05 J/(kg K), cp = 3.5 R, A = 1.96350e-3 m²,
  // first with PR = 2: T02 = 298.15 (1 + (2^(1/3.5) - 1)/0.75) = 385.215 K. V = W R T2/(p2 A) and T2 = T02 - V²/(2 cp) meet at
  // V = 56.09 m/s, T2 = 383.65 K; p02 = 200 kPa (385.215/383.650)^3.5 = 202.871 kPa. With PR = 2.02871: T02 = 387.193 K, V = 56.37 m/s,
  // p02 = 202.886 kPa; and so it stays.
  it('agrees with a hand calculation by velocity and temperature', () => {
    const total = totalPressureRatio(AT);
    if (!total.ok) throw new Error(total.reason);
    expect(total.pressureRatio).toBeCloseTo(2.02886, 5);
    expect(total.outletVelocityMPerS).toBeCloseTo(56.375, 2);
    expect(total.outletMach).toBeCloseTo(0.1432, 4);
  });

  it('adds half rho V squared where the flow is slow', () => {
    const total = totalPressureRatio({ ...AT, correctedMassFlowKgPerS: 0.05 });
    if (!total.ok) throw new Error(total.reason);
    const density = 200_000 / (287.05 * 385);
    const velocity = 0.05 / (density * 1.9635e-3);
    expect((total.pressureRatio - 2) * 100_000).toBeCloseTo(0.5 * density * velocity ** 2, -1);
  });

  it('grows with flow and falls with diameter, and goes to nothing with the flow', () => {
    const of = (change: Partial<typeof AT>) => {
      const total = totalPressureRatio({ ...AT, ...change });
      return total.ok ? total.pressureRatio : Number.NaN;
    };
    expect(of({ correctedMassFlowKgPerS: 0.25 })).toBeGreaterThan(of({}));
    expect(of({ outletDiameterM: 0.06 })).toBeLessThan(of({}));
    expect(of({ efficiency: 0.6 })).toBeGreaterThan(of({}));
    expect(of({ correctedMassFlowKgPerS: 1e-9 })).toBeCloseTo(2, 12);
  });

  it('says what cannot be', () => {
    expect(totalPressureRatio({ ...AT, outletDiameterM: 0.012 })).toEqual({ ok: false, reason: 'choked' });
    expect(totalPressureRatio({ ...AT, outletDiameterM: 0 })).toEqual({ ok: false, reason: 'not-positive' });
    expect(totalPressureRatio({ ...AT, correctedMassFlowKgPerS: Number.NaN })).toEqual({
      ok: false,
      reason: 'not-positive',
    });
  });
});
