import { productOfPowers } from './measured.ts';
import type { Measured, WheelAtSpeed, WheelMeasurement } from './types.ts';
import { wheelFigures } from './wheel-figures.ts';

/**
 * Tip speed U = pi D N/60, m/s. Textbook (e.g. Dixon and Hall, ch. 7).
 * @param diameter larger tip diameter of the wheel, m
 * @param shaftSpeedRpm physical, rev/min
 */
export function tipSpeed(diameter: Measured, shaftSpeedRpm: number): Measured {
  return productOfPowers((Math.PI * shaftSpeedRpm) / 60, [{ of: diameter, power: 1 }]);
}

/**
 * Blade-pass frequency N/60 Z, Hz: what a shaft-speed sensor counts.
 * @param blades that pass the sensor in one turn: the full ones at the inducer's tip, all where splitters reach as far
 */
export function bladePassFrequency(shaftSpeedRpm: number, blades: number): number {
  return (shaftSpeedRpm / 60) * blades;
}

/**
 * Tip speed and blade-pass frequencies of a wheel at a physical shaft speed.
 * @returns null where a measurement is missing, and for all of it where the speed is not a number above 0
 */
export function wheelAtSpeed(wheel: WheelMeasurement, shaftSpeedRpm: number): WheelAtSpeed {
  const { tipDiameterM, blades } = wheelFigures(wheel);
  const turns = shaftSpeedRpm > 0 && Number.isFinite(shaftSpeedRpm);
  return {
    shaftSpeedRpm,
    tipSpeedMPerS: turns && tipDiameterM !== null ? tipSpeed(tipDiameterM, shaftSpeedRpm) : null,
    fullBladePassHz: turns && blades !== null ? bladePassFrequency(shaftSpeedRpm, blades.full) : null,
    allBladePassHz: turns && blades !== null ? bladePassFrequency(shaftSpeedRpm, blades.all) : null,
  };
}
