import type { GasMixture } from './gas-mixture.ts';

/**
 * Temperature after an isentropic change: s0(T2) = s0(T1) + R ln(p2/p1), heat capacity varying with temperature.
 * @param gas the mixture
 * @param temperatureK start, 200 to 6000 K
 * @param pressureRatio p2/p1, above 0 (below 1 for expansion)
 * @returns K, or null when there is none within 200 to 6000 K
 */
export function isentropicTemperature(gas: GasMixture, temperatureK: number, pressureRatio: number): number | null {
  if (!(pressureRatio > 0) || !(temperatureK > 0)) return null;
  const rise = gas.gasConstant * Math.log(pressureRatio);
  const guess = temperatureK * Math.exp(rise / gas.specificHeat(temperatureK));
  return gas.temperatureAtEntropyFunction(
    gas.entropyFunction(temperatureK) + rise,
    Math.min(5000, Math.max(201, guess)),
  );
}

/**
 * Enthalpy change of an isentropic change, J/kg, positive for compression.
 * @param gas the mixture
 * @param temperatureK start, 200 to 6000 K
 * @param pressureRatio p2/p1, above 0
 * @returns J/kg, or null when the end temperature is not within 200 to 6000 K
 */
export function isentropicEnthalpyRise(gas: GasMixture, temperatureK: number, pressureRatio: number): number | null {
  const end = isentropicTemperature(gas, temperatureK, pressureRatio);
  return end === null ? null : gas.enthalpy(end) - gas.enthalpy(temperatureK);
}

export interface Compression {
  outletTemperatureK: number;
  /** h02 - h01, J/kg */
  enthalpyRiseJPerKg: number;
  isentropicRiseJPerKg: number;
}

/**
 * Adiabatic compression with an isentropic efficiency: h02 - h01 = (h02s - h01) / efficiency.
 * @param gas the mixture
 * @param inletTemperatureK total, 200 to 6000 K
 * @param pressureRatio total to total, 1 or more
 * @param efficiency isentropic, 0 < efficiency <= 1
 * @returns outlet state, or null when an input is out of range or the outlet is hotter than 6000 K
 */
export function compress(
  gas: GasMixture,
  inletTemperatureK: number,
  pressureRatio: number,
  efficiency: number,
): Compression | null {
  if (!(efficiency > 0 && efficiency <= 1) || !(pressureRatio >= 1)) return null;
  const isentropicRiseJPerKg = isentropicEnthalpyRise(gas, inletTemperatureK, pressureRatio);
  if (isentropicRiseJPerKg === null) return null;
  const enthalpyRiseJPerKg = isentropicRiseJPerKg / efficiency;
  const guess = inletTemperatureK + enthalpyRiseJPerKg / gas.specificHeat(inletTemperatureK);
  const outletTemperatureK = gas.temperatureAtEnthalpy(
    gas.enthalpy(inletTemperatureK) + enthalpyRiseJPerKg,
    Math.min(5000, guess),
  );
  return outletTemperatureK === null ? null : { outletTemperatureK, enthalpyRiseJPerKg, isentropicRiseJPerKg };
}
