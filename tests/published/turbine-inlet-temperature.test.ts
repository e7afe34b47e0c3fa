import { describe, expect, it } from 'vitest';
import { exhaustComposition } from '../../src/air/exhaust.ts';
import { DRY_AIR, exhaustMixture, fuelMolarMass } from '../../src/air/index.ts';
import { FUELS } from '../../src/engine/index.ts';
import type { FuelKey } from '../../src/engine/types.ts';
import { estimatedInletTemperature } from '../../src/turbine/index.ts';
import { HEAT_LOSS_SHARE } from '../../src/turbine/inlet-temperature.ts';

const estimate = (key: FuelKey, lambda: number, gramsPerKWh: number, intakeTemperatureK?: number) => {
  const { composition, lowerHeatingValueJPerKg } = FUELS[key];
  return estimatedInletTemperature({
    fuel: composition,
    lhvJPerKg: lowerHeatingValueJPerKg,
    lambda,
    bsfcKgPerJ: gramsPerKWh / 3.6e9,
    vapourMoleFraction: 0.01,
    intakeTemperatureK,
  });
};

describe('turbine inlet temperature from the energy balance', () => {
  it('by hand with enthalpies of Moran & Shapiro table A-23 (from memory): methane, lambda 1, balanced at 1200 K', () => {
    // kJ/kmol from 298 to 1200 K. Per kmol of methane, air of 0.209476 oxygen: CO2 1.003, H2O 2, N2 7.4553, Ar 0.0894.
    const [CO2, H2O, N2] = [53_848 - 9_364, 44_380 - 9_904, 36_777 - 8_669];
    const argon = 20.786 * (1200 - 298.15);
    const exhaustKJ = 1.003 * CO2 + 2 * H2O + 7.4553 * N2 + 0.0894 * argon;
    const lhvKJPerKg = 50_010;
    const workKJPerKg = lhvKJPerKg * (1 - HEAT_LOSS_SHARE) - exhaustKJ / 16.043;
    const found = estimatedInletTemperature({
      fuel: { carbon: 1, hydrogen: 4, oxygen: 0 },
      lhvJPerKg: lhvKJPerKg * 1000,
      lambda: 1,
      bsfcKgPerJ: 1 / (workKJPerKg * 1000),
      vapourMoleFraction: 0,
      intakeTemperatureK: 298.15,
    })!;
    expect(Math.abs(found - 1200)).toBeLessThan(1);
  });

  it('leaves the heating values of CO and H2, 283.0 and 241.8 kJ/mol (from memory), in a rich exhaust', () => {
    const { composition: fuel, lowerHeatingValueJPerKg: lhv } = FUELS.petrol;
    const moles = exhaustComposition(fuel, 0.85, 0)!;
    const gas = exhaustMixture(fuel, 0.85, 0)!;
    const fuelKg = fuelMolarMass(fuel);
    const total = Object.values(moles).reduce((sum, n) => sum + n, 0);
    const exhaustKg = (total * gas.molarMassKgPerMol) / fuelKg;
    const released = lhv - ((moles.CO ?? 0) * 283.0e3 + (moles.H2 ?? 0) * 241.8e3) / fuelKg;
    const dry = estimatedInletTemperature({
      fuel,
      lhvJPerKg: lhv,
      lambda: 0.85,
      bsfcKgPerJ: 300 / 3.6e9,
      vapourMoleFraction: 0,
      intakeTemperatureK: 320,
    })!;
    const airHeat = (exhaustKg - 1) * (DRY_AIR.enthalpy(320) - DRY_AIR.enthalpy(298.15));
    const sensible = exhaustKg * (gas.enthalpy(dry) - gas.enthalpy(298.15));
    const left = released * (1 - HEAT_LOSS_SHARE) + airHeat - 3.6e9 / 300;
    expect(Math.abs(sensible / left - 1)).toBeLessThan(1e-3);
    // The same in moist air, whose steam has to be heated too, is a little cooler.
    expect(dry - estimate('petrol', 0.85, 300, 320)!).toBeGreaterThan(0);
    expect(dry - estimate('petrol', 0.85, 300, 320)!).toBeLessThan(15);
  });

  /** Common practice, no source: what pyrometers show at full load. Heat shares within Heywood table 12.1 (from memory). */
  it.each([
    ['petrol', 0.85, 300, 1170, 1230],
    ['petrol', 1, 250, 1230, 1290],
    ['diesel', 1.35, 215, 950, 1050],
  ] as const)('%s at lambda %f and %i g/kWh lies between %i and %i K', (key, lambda, gramsPerKWh, low, high) => {
    const T3 = estimate(key, lambda, gramsPerKWh)!;
    expect(T3).toBeGreaterThan(low);
    expect(T3).toBeLessThan(high);
  });

  it('is somewhat cooler with E85 than with petrol at the same lambda and brake efficiency', () => {
    const ratio = FUELS.petrol.lowerHeatingValueJPerKg / FUELS.e85.lowerHeatingValueJPerKg;
    const cooler = estimate('petrol', 0.85, 300)! - estimate('e85', 0.85, 300 * ratio)!;
    expect(cooler).toBeGreaterThan(15);
    expect(cooler).toBeLessThan(80);
  });

  it('falls with richness, with leanness, with better bsfc; rises with intake temperature', () => {
    expect(estimate('petrol', 0.8, 300)!).toBeLessThan(estimate('petrol', 0.9, 300)!);
    expect(estimate('diesel', 2, 215)!).toBeLessThan(estimate('diesel', 1.4, 215)!);
    expect(estimate('petrol', 0.9, 280)!).toBeLessThan(estimate('petrol', 0.9, 300)!);
    expect(estimate('petrol', 0.9, 300, 340)!).toBeGreaterThan(estimate('petrol', 0.9, 300, 320)!);
    expect(estimate('petrol', 0.9, 300)).toBe(estimate('petrol', 0.9, 300, 320));
  });

  it('has no answer where there is none: too rich, no work left for it, numbers that are none', () => {
    expect(estimate('petrol', 0.3, 300)).toBeNull();
    expect(estimate('petrol', 0.85, 100)).toBeNull();
    expect(estimate('petrol', 0.85, Number.NaN)).toBeNull();
    expect(estimate('petrol', Number.NaN, 300)).toBeNull();
    expect(estimate('petrol', 0.85, 300, -5)).toBeNull();
  });
});
