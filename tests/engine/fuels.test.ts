import { describe, expect, it } from 'vitest';
import { exhaustMixture } from '../../src/air/index.ts';
import { brakePower, dryAirForPower, FUELS, fuelMassFlow, fuelVolumeFlow, wheelPower } from '../../src/engine/index.ts';

describe.each(Object.values(FUELS))('$name', (fuel) => {
  it('names its source and has sensible numbers', () => {
    expect(fuel.source.length).toBeGreaterThan(20);
    expect(fuel.stoichiometricAirFuelRatio).toBeGreaterThan(6);
    expect(fuel.stoichiometricAirFuelRatio).toBeLessThan(18);
    expect(fuel.molarMassKgPerMol).toBeGreaterThan(0.016);
    expect(fuel.molarMassKgPerMol).toBeLessThan(0.2);
  });

  it('heats air about as much as any other: 2.6 to 3.1 MJ in a kilogram of stoichiometric mixture', () => {
    const perKgMixture = fuel.lowerHeatingValueJPerKg / (1 + fuel.stoichiometricAirFuelRatio);
    expect(perKgMixture).toBeGreaterThan(2.55e6);
    expect(perKgMixture).toBeLessThan(3.1e6);
  });

  it('gives an exhaust at any usual lambda', () => {
    for (const lambda of [0.7, 0.85, 1, 1.4, 3]) {
      const gas = exhaustMixture(fuel.composition, lambda, 0.02)!;
      expect(gas.gamma(1100)).toBeGreaterThan(1.25);
      expect(gas.gamma(1100)).toBeLessThan(1.35);
      expect(gas.gasConstant).toBeGreaterThan(280);
      expect(gas.gasConstant).toBeLessThan(345);
    }
  });

  it('burns what a power needs, and back', () => {
    const air = dryAirForPower(150e3, 8e-8, 0.9, fuel.stoichiometricAirFuelRatio);
    const flow = fuelMassFlow(air, 0.9, fuel.stoichiometricAirFuelRatio);
    expect(brakePower(flow, 8e-8)).toBeCloseTo(150e3, 6);
    const volume = fuelVolumeFlow(fuel, flow);
    if (fuel.phase === 'gas') expect(volume).toBeNull();
    else expect(volume! * fuel.densityKgPerM3).toBeCloseTo(flow, 12);
  });
});

describe('fuels beside each other', () => {
  it('ethanol makes petrol need less air, the more the less', () => {
    const ratios = [FUELS.petrol, FUELS.e10, FUELS.e85, FUELS.ethanol].map((fuel) => fuel.stoichiometricAirFuelRatio);
    expect(ratios.toSorted((a, b) => b - a)).toEqual(ratios);
  });

  it('15 % of driveline loss leave 85 %', () => {
    expect(wheelPower(200e3, 0.15)).toBeCloseTo(170e3, 9);
  });
});
