/**
 * Isentropic efficiency over the blade speed ratio as a parabola: best (2 v - v^2) with v = (U/C0) / optimum; 0 at standstill, `best` at
 * the optimum. Beyond v = 2 it is negative: the wheel then drives the gas (windage), which a solver must see as such.
 * Source: Guzzella & Onder, Introduction to Modeling and Control of Internal Combustion Engine Systems; Watson & Janota,
 * Turbocharging the Internal Combustion Engine (both from memory).
 * @param best efficiency at the optimum, 0..1
 * @param optimum U/C0 at which it is best, about 0.6 to 0.75
 * @param speedRatio U/C0, U at the rotor's larger diameter
 */
export function speedRatioEfficiency(best: number, optimum: number, speedRatio: number): number {
  const v = speedRatio / optimum;
  return best * v * (2 - v);
}

/**
 * Spouting velocity C0, m/s: what the gas would reach expanding isentropically from the total state before the turbine to the pressure
 * behind it.
 * @param isentropicDropJPerKg h03 - h4s, J/kg; 0 where there is none
 */
export function spoutingVelocity(isentropicDropJPerKg: number): number {
  return isentropicDropJPerKg > 0 ? Math.sqrt(2 * isentropicDropJPerKg) : 0;
}

/**
 * Blade speed ratio U/C0; an ideal radial turbine without swirl behind it is best at 1/sqrt(2).
 * @param shaftSpeedRpm physical
 * @param wheelDiameterM the rotor's larger diameter
 * @param isentropicDropJPerKg h03 - h4s
 * @returns U/C0, or null without a drop
 */
export function bladeSpeedRatio(
  shaftSpeedRpm: number,
  wheelDiameterM: number,
  isentropicDropJPerKg: number,
): number | null {
  const velocity = spoutingVelocity(isentropicDropJPerKg);
  return velocity > 0 ? (Math.PI * wheelDiameterM * shaftSpeedRpm) / (60 * velocity) : null;
}
