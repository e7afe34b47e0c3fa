import { describe, expect, it } from 'vitest';
import {
  DRY_AIR,
  density,
  dryMassFraction,
  moistAir,
  saturationPressure,
  vapourMoleFraction,
} from '../../src/air/index.ts';

// ASHRAE Fundamentals (Hyland-Wexler) as published in psychrolib 1.1.1; second column IAPWS (Wagner and Pruss 2002), another equation.
const SATURATION = [
  [0, 611.15, 611.21],
  [10, 1228.0, 1228.11],
  [20, 2338.8, 2339.19],
  [30, 4246.03, 4246.92],
  [35, 5627.82, 5629.06],
  [40, 7383.46, 7385.11],
] as const;

// psychrolib 1.1.1: degC, relative humidity, Pa, vapour pressure Pa, humidity ratio, density kg/m3.
const STATES = [
  [35, 0.6, 101325, 3376.69, 0.021441, 1.1311],
  [20, 0.5, 101325, 1169.4, 0.007262, 1.1989],
  [25, 0.3, 99000, 950.76, 0.006031, 1.15259],
  [40, 0.2, 101325, 1476.69, 0.009198, 1.12104],
  [30, 0.8, 84556, 3396.82, 0.026031, 0.95696],
  [35, 0, 101325, 0, 0, 1.14554],
] as const;

describe('saturation pressure', () => {
  it.each(SATURATION)('at %d degC: %f Pa (ASHRAE), %f Pa (IAPWS, within 0.03 %%)', (celsius, ashrae, iapws) => {
    const pressure = saturationPressure(celsius + 273.15)!;
    expect(Math.abs(pressure - ashrae)).toBeLessThan(0.006);
    expect(Math.abs(pressure / iapws - 1)).toBeLessThan(3e-4);
  });

  it('is 101.42 kPa at 100 degC, 0.09 % above the normal boiling point: a known property of the correlation (ASHRAE)', () => {
    expect(saturationPressure(373.15)! / 1000).toBeCloseTo(101.42, 2);
  });
});

describe('moist air states (psychrolib 1.1.1)', () => {
  it.each(STATES)(
    '%d degC, RH %f, %d Pa: vapour %f Pa, W %f, density %f',
    (celsius, rh, pressurePa, vapourPa, ratio, rho) => {
      const x = vapourMoleFraction(rh, celsius + 273.15, pressurePa)!;
      expect(Math.abs(x * pressurePa - vapourPa)).toBeLessThan(3e-4 * vapourPa + 1e-9);
      expect(Math.abs(1 / dryMassFraction(x)! - 1 - ratio)).toBeLessThan(3e-4 * ratio + 1e-9);
      expect(Math.abs(density(moistAir(x)!, pressurePa, celsius + 273.15) / rho - 1)).toBeLessThan(1e-4);
    },
  );

  it('holds 3.3 % less dry air a volume at 35 degC and 60 % than dry air does (from the same states)', () => {
    const x = vapourMoleFraction(0.6, 308.15, 101325)!;
    const dry = density(moistAir(x)!, 101325, 308.15) * dryMassFraction(x)!;
    expect(Math.abs(dry / 1.10736 - 1)).toBeLessThan(1e-4);
    expect(1 - dry / density(DRY_AIR, 101325, 308.15)).toBeCloseTo(0.0333, 3);
  });
});
