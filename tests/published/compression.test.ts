import { describe, expect, it } from 'vitest';
import { isentropicTemperature } from '../../src/air/gas.ts';
import { compress, constantPropertyGas, DRY_AIR } from '../../src/air/index.ts';

const KELVIN = 273.15;

describe('compression with heat capacity varying', () => {
  it('Cengel and Boles, "Effect of Efficiency on Compressor Power Input": 569.5 K and 58.0 kW', () => {
    const result = compress(DRY_AIR, 285, 8, 0.8)!;
    expect(Math.abs(result.outletTemperatureK - 569.5)).toBeLessThan(0.2);
    expect(Math.abs(0.2 * result.enthalpyRiseJPerKg - 58_000)).toBeLessThan(50);
  });

  it('Moran and Shapiro ch. 9, pressure ratio 10 from 300 K: h2s 579.9 kJ/kg, work 349.6 kJ/kg at 0.80', () => {
    const result = compress(DRY_AIR, 300, 10, 0.8)!;
    expect(Math.abs(result.isentropicRiseJPerKg / 1000 + 300.19 - 579.9)).toBeLessThan(0.3);
    expect(Math.abs(result.enthalpyRiseJPerKg / 1000 - 349.6)).toBeLessThan(0.3);
  });
});

describe('textbook examples with constant properties', () => {
  const air = constantPropertyGas(1.4, 1005);

  it('University Physics (Young and Freedman) 19.62: 15.0 degC from 1.01e5 to 1.45e5 Pa, masses in 575 cm3', () => {
    const T2 = isentropicTemperature(constantPropertyGas(1.4, 1004.5), 288.15, 1.45 / 1.01)!;
    const cooled = (1.23 * 1.45) / 1.01;
    expect(Math.abs(T2 - 319.51)).toBeLessThan(0.02);
    // Printed: (b) 1.02e-3 kg and 44 %; (c) 9.16e-4 kg and 29 %.
    expect(Math.abs(cooled * 575e-6 - 1.02e-3)).toBeLessThan(0.006e-3);
    expect(Math.abs(cooled * (288.15 / T2) * 575e-6 - 9.16e-4)).toBeLessThan(0.005e-4);
    expect(Math.round(((cooled * 288.15) / T2 / 1.23 - 1) * 100)).toBe(29);
  });

  it('power-plant problem (physicsforums 400588): 4 kg/s from 25 to 200 degC is 703.5 kW, efficiency 0.83 over 1 to 4 bar', () => {
    const isentropic = isentropicTemperature(air, 25 + KELVIN, 4)! - (25 + KELVIN);
    const result = compress(air, 25 + KELVIN, 4, isentropic / 175)!;
    expect(Math.abs(4 * result.enthalpyRiseJPerKg - 703_500)).toBeLessThan(1);
    expect(Math.abs(isentropic / 175 - 0.83)).toBeLessThan(0.005);
  });

  it('Gorla and Khan example 4.4: pressure ratio 2.2 from 298 K, exponent 0.286, rise 86.77 K, 2441.8 kW at 28 kg/s', () => {
    const gas = constantPropertyGas(1 / (1 - 0.286), 1005);
    const result = compress(gas, 298, 2.2, 0.8687)!;
    expect(Math.abs(result.outletTemperatureK - 384.77)).toBeLessThan(0.02);
    expect(Math.abs((28 * result.enthalpyRiseJPerKg) / 1000 - 2441.8)).toBeLessThan(1);
  });

  it('Gorla and Khan example 4.10: exponent 0.286, pressure ratio 4 from 308.46 K, efficiency 0.89, rise 168.64 K, 1355.9 kW at 8 kg/s', () => {
    const result = compress(constantPropertyGas(1 / (1 - 0.286), 1005), 308.46, 4, 0.89)!;
    expect(Math.abs(result.outletTemperatureK - 308.46 - 168.64)).toBeLessThan(0.03);
    expect(Math.abs((8 * result.enthalpyRiseJPerKg) / 1000 - 1355.9)).toBeLessThan(0.3);
  });

  it('Saravanamuttoo et al. example 4.1: rise 193 K from 295 K at efficiency 0.78 gives pressure ratio 4.23 (0.3 %, rounding path)', () => {
    const result = compress(air, 295, 4.23, 0.78)!;
    expect(Math.abs((result.outletTemperatureK - 295) / 193 - 1)).toBeLessThan(0.003);
  });
});
