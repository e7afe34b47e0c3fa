import { describe, expect, it } from 'vitest';
import { heatLossShare } from '../../src/turbine/index.ts';
import { HEAT_LOSS_SHARE } from '../../src/turbine/inlet-temperature.ts';

describe('the share of heat lost before the turbine', () => {
  it('falls with the Reynolds number to the power -0.2 (Woschni, Heywood 12.4, both from memory)', () => {
    expect(heatLossShare(4000, 0.002)).toBeCloseTo(HEAT_LOSS_SHARE, 12);
    // Hand calculation: 2^0.2 = 1.148698.
    expect(heatLossShare(2000, 0.002) / heatLossShare(4000, 0.002)).toBeCloseTo(1.148698, 6);
    // Eight times the displacement is twice the piston speed at equal engine speed.
    expect(heatLossShare(2000, 0.016)).toBeCloseTo(heatLossShare(4000, 0.002), 12);
    // Cylinders of one size have one piston speed, however many there are.
    expect(heatLossShare(3000, 0.003, 6)).toBeCloseTo(heatLossShare(3000, 0.002, 4), 12);
    expect(heatLossShare(3000, 0.003, 12)).toBeGreaterThan(heatLossShare(3000, 0.003, 6));
  });

  it('stays a share that leaves something for the exhaust, however slow the engine', () => {
    expect(heatLossShare(1, 0.002)).toBe(0.4);
    expect(heatLossShare(20_000, 0.002)).toBeLessThan(0.2);
  });
});
