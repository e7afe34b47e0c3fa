import { describe, expect, it } from 'vitest';
import { waterGasShiftConstant } from '../../src/air/exhaust.ts';
import type { SpeciesKey } from '../../src/air/gas.ts';
import { DRY_AIR, exhaustMixture, mixGases } from '../../src/air/index.ts';

// JANAF Thermochemical Tables, 4th ed. (quoted from memory, agree with the NASA polynomials): cp at 300 and 1000 K, J/(mol K).
const JANAF = [
  ['N2', 29.125, 32.697, 21.462],
  ['O2', 29.385, 34.87, 22.707],
  ['Ar', 20.786, 20.786, 14.589],
  ['CO2', 37.221, 54.308, 33.4],
  ['H2O', 33.596, 41.268, 26.003],
  ['CO', 29.142, 33.183, 21.69],
  ['H2', 28.849, 30.205, 20.68],
] as const;

describe('species, JANAF 4th ed.', () => {
  it.each(JANAF)('%s: cp %f at 300 K, %f at 1000 K, H1000-H298 %f kJ/mol', (key: SpeciesKey, cp300, cp1000, rise) => {
    const gas = mixGases({ [key]: 1 })!;
    const M = gas.molarMassKgPerMol;
    expect(Math.abs((gas.specificHeat(300) * M) / cp300 - 1)).toBeLessThan(3e-4);
    expect(Math.abs((gas.specificHeat(1000) * M) / cp1000 - 1)).toBeLessThan(6e-4);
    expect(Math.abs(((gas.enthalpy(1000) - gas.enthalpy(298.15)) * M) / 1000 / rise - 1)).toBeLessThan(6e-4);
  });

  it.each([
    ['N2', 191.61, 0],
    ['O2', 205.149, 0],
    ['CO2', 213.787, -393.51],
    ['H2O', 188.829, -241.826],
    ['CO', 197.66, -110.535],
    ['H2', 130.68, 0],
  ] as const)(
    '%s: S298 %f J/mol K and heat of formation %f kJ/mol (NASA/TP-2002-211556)',
    (key, entropy, formation) => {
      const gas = mixGases({ [key]: 1 })!;
      expect(Math.abs(gas.entropyFunction(298.15) * gas.molarMassKgPerMol - entropy)).toBeLessThan(0.02);
      expect(Math.abs((gas.enthalpy(298.15) * gas.molarMassKgPerMol) / 1000 - formation)).toBeLessThan(0.005);
    },
  );
});

// Moran and Shapiro, Fundamentals of Engineering Thermodynamics, tables A-20 and A-22 (after Keenan and Kaye), from memory:
// T K, cp J/(kg K), gamma, h kJ/kg, s0 kJ/(kg K), pr.
const AIR = [
  [300, 1005, 1.4, 300.19, 1.70203, 1.386],
  [350, 1008, 1.398, 350.49, 1.85708, 2.379],
  [400, 1013, 1.395, 400.98, 1.99194, 3.806],
  [450, 1020, 1.391, 451.8, 2.11161, 5.775],
  [500, 1029, 1.387, 503.02, 2.21952, 8.411],
  [1000, 1142, 1.336, 1046.04, 2.9677, 114.0],
  [1200, 1173, 1.324, 1277.79, 3.17888, 238.0],
] as const;

describe('dry air, Moran and Shapiro A-20 and A-22', () => {
  it.each(AIR)('%d K: cp %f, gamma %f, h %f, s0 %f, pr %f', (T, cp, gamma, h, s0, pr) => {
    expect(Math.abs(DRY_AIR.specificHeat(T) / cp - 1)).toBeLessThan(1.5e-3);
    expect(Math.abs(DRY_AIR.gamma(T) - gamma)).toBeLessThan(1e-3);
    const rise = (DRY_AIR.enthalpy(T) - DRY_AIR.enthalpy(300)) / 1000;
    expect(Math.abs(rise - (h - 300.19))).toBeLessThan(3e-4 * h);
    const entropy = (DRY_AIR.entropyFunction(T) - DRY_AIR.entropyFunction(300)) / 1000;
    expect(Math.abs(entropy - (s0 - 1.70203))).toBeLessThan(3e-4 * s0);
    expect(Math.abs((1.386 * Math.exp((entropy * 1000) / DRY_AIR.gasConstant)) / pr - 1)).toBeLessThan(2e-3);
  });

  it('has the molar mass and gas constant of ISO 2533 (28.9644 g/mol, 287.053 J/kg K) within 5e-5', () => {
    expect(Math.abs(DRY_AIR.molarMassKgPerMol / 0.0289644 - 1)).toBeLessThan(5e-5);
    expect(Math.abs(DRY_AIR.gasConstant / 287.05287 - 1)).toBeLessThan(5e-5);
  });
});

// Independent code, the same polynomials: fuel CHy, lambda, molar mass g/mol, R, cp and gamma at 800, 1000, 1200 K.
const EXHAUST = [
  [1.87, 1.0, 29.013, 286.58, 1204.1, 1.3123, 1260.3, 1.2943, 1306.7, 1.2809],
  [1.8, 1.0, 29.072, 285.99, 1202.2, 1.3122, 1258.2, 1.2942, 1304.4, 1.2808],
  [1.8, 1.5, 29.038, 286.33, 1169.2, 1.3243, 1220.9, 1.3064, 1263.0, 1.2932],
  [1.8, 2.0, 29.02, 286.51, 1152.2, 1.331, 1201.6, 1.3131, 1241.7, 1.3],
] as const;

describe('combustion products', () => {
  it.each(EXHAUST)(
    'CH%f at lambda %f (independent code)',
    (y, lambda, M, R, c800, g800, c1000, g1000, c1200, g1200) => {
      const gas = exhaustMixture({ carbon: 1, hydrogen: y, oxygen: 0 }, lambda, 0)!;
      expect(Math.abs((gas.molarMassKgPerMol * 1000) / M - 1)).toBeLessThan(5e-5);
      expect(Math.abs(gas.gasConstant / R - 1)).toBeLessThan(5e-5);
      for (const [T, cp, gamma] of [
        [800, c800, g800],
        [1000, c1000, g1000],
        [1200, c1200, g1200],
      ] as const) {
        expect(Math.abs(gas.specificHeat(T) / cp - 1)).toBeLessThan(2e-4);
        expect(Math.abs(gas.gamma(T) - gamma)).toBeLessThan(2e-4);
      }
    },
  );

  it('comes to the gas-turbine textbook value for a lean exhaust: cp 1148, gamma 1.333 (Saravanamuttoo et al., from memory), within 2 % and 0.008 at 950 K and lambda 3.5', () => {
    const gas = exhaustMixture({ carbon: 1, hydrogen: 1.9, oxygen: 0 }, 3.5, 0)!;
    expect(Math.abs(gas.specificHeat(950) / 1148 - 1)).toBeLessThan(0.02);
    expect(Math.abs(gas.gamma(950) - 1.333)).toBeLessThan(0.008);
  });

  it("has the water-gas equilibrium near 3.5 at 1740 K in Heywood's form, CO H2O over CO2 H2 (section 4.9, from memory)", () => {
    expect(Math.abs(1 / waterGasShiftConstant(1740) / 3.5 - 1)).toBeLessThan(0.07);
  });

  it("follows Heywood's fit of the water-gas equilibrium (eq. 4.63 or near, from memory) within 5 % from 1000 to 2000 K", () => {
    for (let T = 1000; T <= 2000; T += 100) {
      const fit = Math.exp(2.743 - 1.761e3 / T - 1.611e6 / T ** 2 + 0.2803e9 / T ** 3);
      expect(Math.abs(1 / waterGasShiftConstant(T) / fit - 1)).toBeLessThan(0.05);
    }
  });
});
