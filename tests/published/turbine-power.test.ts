import { describe, expect, it } from 'vitest';
import { isentropicEnthalpyRise, isentropicTemperature } from '../../src/air/gas.ts';
import { compress, constantPropertyGas } from '../../src/air/index.ts';
import { lossCoefficient, pressureLoss } from '../../src/engine/index.ts';
import { bladeSpeedRatio, speedRatioEfficiency } from '../../src/turbine/index.ts';
import { spoutingVelocity } from '../../src/turbine/laws.ts';

/** Constant-property exponents of the textbooks turned into gamma. */
const gasOfExponent = (exponent: number, cp: number) => constantPropertyGas(1 / (1 - exponent), cp);

describe('textbook turbines with constant properties', () => {
  it('Gorla and Khan example 7.1: 28 kg/s from 1000 K, 5.2 to 1.03 bar, efficiency 0.88: 669.16 K, 708.86 K, 9350 kW', () => {
    const gas = constantPropertyGas(1.33, 1147);
    const ideal = isentropicTemperature(gas, 1000, 1.03 / 5.2)!;
    expect(Math.abs(ideal - 669.16)).toBeLessThan(0.01);
    const dropJPerKg = -isentropicEnthalpyRise(gas, 1000, 1.03 / 5.2)! * 0.88;
    expect(Math.abs(gas.temperatureAtEnthalpy(gas.enthalpy(1000) - dropJPerKg)! - 708.86)).toBeLessThan(0.01);
    expect(Math.abs(28 * dropJPerKg - 9_350_000)).toBeLessThan(1000);
  });

  it('Gorla and Khan example 7.11: work of U2 squared at efficiency 0.9 from 1145 K, 310 to 100 kPa: U2 539.45 m/s', () => {
    const drop = -isentropicEnthalpyRise(gasOfExponent(0.2498, 1147), 1145, 100 / 310)!;
    const tip = Math.sqrt(0.9 * drop);
    expect(Math.abs(tip - 539.45)).toBeLessThan(0.05);
    // With work U2^2 = 0.9 C0^2/2 the speed ratio is sqrt(0.45), whatever the wheel.
    const shaftSpeedRpm = (60 * tip) / (Math.PI * 0.2);
    expect(Math.abs(bladeSpeedRatio(shaftSpeedRpm, 0.2, drop)! - Math.sqrt(0.45))).toBeLessThan(1e-12);
  });

  it('Dixon and Hall ch. 8 radial turbine: 230 kW per kg/s from 1050 K at efficiency 0.81 needs p01/p3 of 2.924', () => {
    const gas = constantPropertyGas(1.333, 1150.2);
    expect(Math.abs(-isentropicEnthalpyRise(gas, 1050, 1 / 2.924)! * 0.81 - 230_000)).toBeLessThan(50);
    // W = U2^2 cos(beta2) with cos(beta2) = 1 - 2/Z of twelve blades: printed tip speed 525.1 m/s.
    expect(Math.abs(Math.sqrt(230_000 / (1 - 2 / 12)) - 525.1)).toBeLessThan(0.4);
  });

  it('Dixon and Hall ch. 8 model test: pressure ratio 1.5 from 400 K, 48,200 rpm, 72.5 mm: U/C0 0.617', () => {
    const drop = -isentropicEnthalpyRise(constantPropertyGas(1.4, 1005), 400, 1 / 1.5)!;
    expect(Math.abs((Math.PI * 0.0725 * 48_200) / 60 - 182.97)).toBeLessThan(0.01);
    expect(Math.abs(bladeSpeedRatio(48_200, 0.0725, drop)! - 0.617)).toBeLessThan(5e-4);
    expect(Math.abs(182.97 / spoutingVelocity(drop) - 0.617)).toBeLessThan(5e-4);
  });

  it('power balance by hand: 0.2 kg/s compressed to ratio 2 at 0.75 takes 17.500 kW, expanded from 1.8 gives 26.706 kW', () => {
    const compressor = 0.2 * compress(constantPropertyGas(1.4, 1005), 298.15, 2, 0.75)!.enthalpyRiseJPerKg;
    expect(Math.abs(compressor - 17_500)).toBeLessThan(1);
    const flow = 0.2 * (1 + 1 / 14.6);
    const drop = -isentropicEnthalpyRise(constantPropertyGas(4 / 3, 1148), 1173.15, 1 / 1.8)!;
    expect(Math.abs(flow * drop * 0.7 * 0.97 - 26_706)).toBeLessThan(2);
  });
});

describe('the parabola over U/C0 (Guzzella & Onder; Watson & Janota, from memory)', () => {
  it('has at the optimum of 0.7 the best, at 0.5 and 0.9 0.9184 of it, at 0.35 0.75, at standstill none', () => {
    expect(speedRatioEfficiency(0.72, 0.7, 0.7)).toBeCloseTo(0.72, 12);
    expect(Math.abs(speedRatioEfficiency(1, 0.7, 0.5) - 0.9184)).toBeLessThan(5e-5);
    expect(Math.abs(speedRatioEfficiency(1, 0.7, 0.9) - 0.9184)).toBeLessThan(5e-5);
    expect(speedRatioEfficiency(1, 0.7, 0.35)).toBeCloseTo(0.75, 12);
    expect(speedRatioEfficiency(1, 0.7, 0)).toBe(0);
  });

  it('is negative beyond twice the optimum: the wheel drives the gas', () => {
    expect(speedRatioEfficiency(0.72, 0.7, 1.4)).toBeCloseTo(0, 12);
    expect(speedRatioEfficiency(0.72, 0.7, 1.5)).toBeLessThan(0);
  });
});

it('gives no spouting velocity and no speed ratio without a drop', () => {
  expect(spoutingVelocity(0)).toBe(0);
  expect(spoutingVelocity(-5)).toBe(0);
  expect(bladeSpeedRatio(100_000, 0.05, 0)).toBeNull();
});

it('takes the exhaust loss as W squared over density, by hand: 20 kPa at 0.2 kg/s and 0.42 kg/m3 is 54 kPa at 0.3 and 0.35', () => {
  const coefficient = lossCoefficient({ lossPa: 20_000, atMassFlowKgPerS: 0.2, atDensityKgPerM3: 0.42 });
  expect(pressureLoss(coefficient, 0.2, 0.42)).toBeCloseTo(20_000, 6);
  expect(pressureLoss(coefficient, 0.3, 0.35)).toBeCloseTo(54_000, 6);
  expect(pressureLoss(coefficient, 0, 0.35)).toBe(0);
});
