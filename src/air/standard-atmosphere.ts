/** J/(kg K), as the standard defines it; maps refer to the rounded 287.05. */
const STANDARD_GAS_CONSTANT = 287.05287;

export const SEA_LEVEL_TEMPERATURE_K = 288.15;
export const SEA_LEVEL_PRESSURE_PA = 101325;
/** K/m */
export const LAPSE_RATE = 0.0065;
/** g0 / (R lapse rate) with g0 9.80665 m/s2 and R 287.05287 J/(kg K) */
export const PRESSURE_EXPONENT = 5.25588;
export const LOWEST_ALTITUDE_M = -500;
export const HIGHEST_ALTITUDE_M = 6000;

export interface StandardAtmosphere {
  temperatureK: number;
  pressurePa: number;
  densityKgPerM3: number;
}

/**
 * International Standard Atmosphere, troposphere.
 *
 * Source: ISO 2533:1975 (the same layer as the U.S. Standard Atmosphere 1976).
 *
 * @param altitudeM geopotential metres, -500 to 6000. A surveyed height may be entered as it is: at 3000 m the difference is 13 Pa.
 * @returns the state, or null outside the range
 */
export function standardAtmosphere(altitudeM: number): StandardAtmosphere | null {
  if (!(altitudeM >= LOWEST_ALTITUDE_M && altitudeM <= HIGHEST_ALTITUDE_M)) return null;
  const temperatureK = SEA_LEVEL_TEMPERATURE_K - LAPSE_RATE * altitudeM;
  const pressurePa = SEA_LEVEL_PRESSURE_PA * (temperatureK / SEA_LEVEL_TEMPERATURE_K) ** PRESSURE_EXPONENT;
  return { temperatureK, pressurePa, densityKgPerM3: pressurePa / (STANDARD_GAS_CONSTANT * temperatureK) };
}
