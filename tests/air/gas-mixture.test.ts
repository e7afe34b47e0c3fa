import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { exhaustComposition, SHIFT_FREEZE_TEMPERATURE_K, waterGasShiftConstant } from '../../src/air/exhaust.ts';
import { isentropicTemperature } from '../../src/air/gas.ts';
import {
  compress,
  constantPropertyGas,
  DRY_AIR,
  exhaustMixture,
  mixGases,
  moistAir,
  vapourMoleFraction,
} from '../../src/air/index.ts';

const gases = {
  dry: DRY_AIR,
  moist: moistAir(0.04)!,
  exhaust: exhaustMixture({ carbon: 1, hydrogen: 1.87, oxygen: 0 }, 0.85, 0.01)!,
};
const temperature = fc.double({ min: 201, max: 4000, noNaN: true });

describe.each(Object.entries(gases))('%s gas', (_name, gas) => {
  it('gives each temperature back from its enthalpy and its entropy function, from any start', () => {
    fc.assert(
      fc.property(temperature, temperature, (T, guess) => {
        expect(Math.abs(gas.temperatureAtEnthalpy(gas.enthalpy(T), guess)! / T - 1)).toBeLessThan(1e-9);
        expect(Math.abs(gas.temperatureAtEntropyFunction(gas.entropyFunction(T), guess)! / T - 1)).toBeLessThan(1e-9);
      }),
      { seed: 1, numRuns: 2000 },
    );
  });

  it('has cp = dh/dT and cp/T = ds0/dT', () => {
    for (let T = 210; T < 2500; T += 37) {
      const d = 0.01;
      const cp = gas.specificHeat(T);
      expect(Math.abs((gas.enthalpy(T + d) - gas.enthalpy(T - d)) / (2 * d) / cp - 1)).toBeLessThan(1e-6);
      expect(
        Math.abs(((gas.entropyFunction(T + d) - gas.entropyFunction(T - d)) / (2 * d)) * (T / cp) - 1),
      ).toBeLessThan(1e-6);
    }
  });

  it('joins its two ranges at 1000 K without a step', () => {
    const [below, above] = [999.999999, 1000.000001];
    expect(Math.abs(gas.specificHeat(above) / gas.specificHeat(below) - 1)).toBeLessThan(2e-6);
    expect(Math.abs(gas.enthalpy(above) - gas.enthalpy(below))).toBeLessThan(0.01);
    expect(Math.abs(gas.entropyFunction(above) - gas.entropyFunction(below))).toBeLessThan(1e-5);
  });

  it('undoes an isentropic compression by the expansion back', () => {
    for (const ratio of [1.05, 1.5, 3, 6]) {
      const up = isentropicTemperature(gas, 290, ratio)!;
      expect(isentropicTemperature(gas, up, 1 / ratio)).toBeCloseTo(290, 8);
    }
  });

  it('has no temperature beyond 200 to 6000 K', () => {
    expect(gas.temperatureAtEnthalpy(gas.enthalpy(6000) * 2 + 1e9)).toBeNull();
    expect(gas.temperatureAtEnthalpy(-1e12)).toBeNull();
    expect(gas.temperatureAtEnthalpy(Number.NaN)).toBeNull();
    expect(gas.temperatureAtEntropyFunction(1e9)).toBeNull();
    expect(isentropicTemperature(gas, 300, 1e30)).toBeNull();
    expect(isentropicTemperature(gas, 300, 1e-9)).toBeNull();
    expect(isentropicTemperature(gas, 300, -1)).toBeNull();
  });
});

describe('mixtures', () => {
  it('become lighter and hold more heat with water vapour', () => {
    expect(gases.moist.gasConstant).toBeGreaterThan(DRY_AIR.gasConstant);
    expect(gases.moist.specificHeat(300)).toBeGreaterThan(DRY_AIR.specificHeat(300));
  });

  it('refuse amounts that mean nothing', () => {
    expect(mixGases({ N2: -1, O2: 2 })).toBeNull();
    expect(mixGases({})).toBeNull();
    expect(moistAir(1)).toBeNull();
    expect(moistAir(Number.NaN)).toBeNull();
    expect(vapourMoleFraction(1.1, 300, 1e5)).toBeNull();
    expect(vapourMoleFraction(1, 400, 1e5)).toBeNull();
    expect(compress(DRY_AIR, 300, 0.9, 0.7)).toBeNull();
    expect(compress(DRY_AIR, 300, 2, 0)).toBeNull();
  });

  it('of constant properties follow T2/T1 = (p2/p1)^((gamma-1)/gamma)', () => {
    const gas = constantPropertyGas(1.4, 1005);
    expect(isentropicTemperature(gas, 288.15, 2)).toBeCloseTo(288.15 * 2 ** (0.4 / 1.4), 8);
  });
});

describe('exhaust', () => {
  const fuels = [
    { carbon: 1, hydrogen: 1.87, oxygen: 0 },
    { carbon: 2, hydrogen: 6, oxygen: 1 },
    { carbon: 1, hydrogen: 4, oxygen: 1 },
    { carbon: 1, hydrogen: 4, oxygen: 0 },
  ];
  const lambdas = [0.6, 0.75, 0.85, 0.95, 0.999, 1, 1.001, 1.5, 3];

  it('keeps every atom that went in', () => {
    for (const fuel of fuels) {
      for (const lambda of lambdas) {
        const x = 0.02;
        const out = { CO2: 0, CO: 0, H2O: 0, H2: 0, O2: 0, N2: 0, ...exhaustComposition(fuel, lambda, x)! };
        const dry = (lambda * (fuel.carbon + fuel.hydrogen / 4 - fuel.oxygen / 2)) / 0.209476;
        const water = (dry * x) / (1 - x);
        expect(out.CO2 + out.CO).toBeCloseTo(fuel.carbon + dry * 0.000319, 10);
        expect(2 * (out.H2O + out.H2)).toBeCloseTo(fuel.hydrogen + 2 * water, 10);
        expect(2 * out.CO2 + out.CO + out.H2O + 2 * out.O2).toBeCloseTo(
          fuel.oxygen + water + 2 * dry * (0.209476 + 0.000319),
          10,
        );
        expect(out.N2).toBeCloseTo(dry * 0.78084, 10);
        for (const moles of Object.values(out)) expect(moles).toBeGreaterThanOrEqual(0);
      }
    }
  });

  it('stands in the water-gas equilibrium when rich, and holds no oxygen', () => {
    for (const fuel of fuels) {
      const out = { CO2: 0, CO: 0, H2O: 0, H2: 0, ...exhaustComposition(fuel, 0.85, 0)! };
      expect((out.CO2 * out.H2) / (out.CO * out.H2O)).toBeCloseTo(waterGasShiftConstant(SHIFT_FREEZE_TEMPERATURE_K), 8);
      expect(exhaustComposition(fuel, 0.85, 0)).not.toHaveProperty('O2');
    }
  });

  it('goes over from rich to lean without a step', () => {
    const fuel = { carbon: 1, hydrogen: 1.87, oxygen: 0 };
    const [rich, lean] = [exhaustMixture(fuel, 1 - 1e-9, 0)!, exhaustMixture(fuel, 1 + 1e-9, 0)!];
    expect(Math.abs(rich.specificHeat(1100) / lean.specificHeat(1100) - 1)).toBeLessThan(1e-8);
    expect(Math.abs(rich.gasConstant / lean.gasConstant - 1)).toBeLessThan(1e-8);
  });

  it('has no answer where soot would form or an input means nothing', () => {
    expect(exhaustMixture({ carbon: 1, hydrogen: 1.87, oxygen: 0 }, 0.3, 0)).toBeNull();
    expect(exhaustMixture({ carbon: 1, hydrogen: 1.87, oxygen: 0 }, 0, 0)).toBeNull();
    expect(exhaustMixture({ carbon: 0, hydrogen: 0, oxygen: 1 }, 1, 0)).toBeNull();
    expect(exhaustMixture({ carbon: 1, hydrogen: 1.87, oxygen: 0 }, 1, Number.NaN)).toBeNull();
  });
});
