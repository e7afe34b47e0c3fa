import { describe, expect, it } from 'vitest';
import { standardAtmosphere } from '../../src/air/index.ts';

// ISO 2533:1975 / U.S. Standard Atmosphere 1976, geopotential altitude. Sea level and 5000 ft also printed at
// engineeringtoolbox.com/standard-atmosphere-d_604.html (41.17 degF, 12.228 psia, 20.48e-4 slug/ft3 at 5000 ft).
const TABLE = [
  [0, 288.15, 101325.0, 1.225],
  [500, 284.9, 95460.8, 1.16727],
  [1000, 281.65, 89874.6, 1.11164],
  [1500, 278.4, 84556.0, 1.05807],
  [1524, 278.244, 84307.3, 1.05555],
  [2000, 275.15, 79495.2, 1.00649],
  [2500, 271.9, 74682.5, 0.956859],
  [3000, 268.65, 70108.5, 0.909122],
  [4000, 262.15, 61640.2, 0.819129],
] as const;

describe('ISO 2533:1975, troposphere', () => {
  it.each(TABLE)('at %d m: %f K, %f Pa, %f kg/m3', (altitudeM, temperatureK, pressurePa, densityKgPerM3) => {
    const state = standardAtmosphere(altitudeM)!;
    expect(Math.abs(state.temperatureK - temperatureK)).toBeLessThan(5e-4);
    expect(Math.abs(state.pressurePa - pressurePa)).toBeLessThan(0.1);
    expect(Math.abs(state.densityKgPerM3 / densityKgPerM3 - 1)).toBeLessThan(1e-5);
  });

  it('at 5000 ft in the units of the printed table (engineeringtoolbox.com)', () => {
    const state = standardAtmosphere(1524)!;
    expect(state.temperatureK * 1.8 - 459.67).toBeCloseTo(41.17, 2);
    expect(state.pressurePa / 6894.757293).toBeCloseTo(12.228, 3);
    expect(state.densityKgPerM3 / 515.378818).toBeCloseTo(20.48e-4, 6);
  });

  it('at 10,000 ft in the units of the printed table (engineeringtoolbox.com, rounded there)', () => {
    const state = standardAtmosphere(3048)!;
    expect(Math.abs(state.temperatureK * 1.8 - 459.67 - 23.36)).toBeLessThan(0.03);
    expect(Math.abs(state.pressurePa / 6894.757293 - 10.108)).toBeLessThan(0.003);
    expect(Math.abs(state.densityKgPerM3 / 515.378818 - 17.56e-4)).toBeLessThan(1e-6);
  });

  it('agrees with the ASHRAE Fundamentals form p = 14.696 (1 - 6.8754e-6 Z)^5.2559 psia, Z in ft, within 0.02 %', () => {
    for (let feet = 0; feet <= 12000; feet += 500) {
      const ashrae = 14.696 * (1 - 6.8754e-6 * feet) ** 5.2559 * 6894.757293;
      expect(Math.abs(standardAtmosphere(feet * 0.3048)!.pressurePa / ashrae - 1)).toBeLessThan(2e-4);
    }
  });
});
