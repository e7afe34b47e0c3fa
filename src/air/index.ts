/**
 * Air and gases, SI inside: pressures in Pa absolute, temperatures in K. Whatever cannot be answered is null or a named reason,
 * never a number.
 *
 * - `standardAtmosphere(altitudeM)`: temperature, pressure, density at -500..6000 m (ISO 2533).
 * - `stationPressure({ kind, altitudeM, pressurePa })`: pressure at the place from the standard atmosphere, a barometer on site or a
 *   weather report, with a warning when the last two look mixed up.
 * - `saturationPressure(T)`, `vapourMoleFraction(rh, T, p)`: water vapour (Hyland and Wexler).
 * - `DRY_AIR`, `moistAir(x)`, `exhaustMixture(fuel, lambda, x)`, `mixGases(moles)`: a `GasMixture` with `gasConstant`,
 *   `molarMassKgPerMol`, `specificHeat(T)`, `gamma(T)`, `enthalpy(T)`, `entropyFunction(T)` and the inverses of the last two.
 * - `isentropicTemperature`, `isentropicEnthalpyRise`, `compress`: changes of state with heat capacity varying.
 * - `density(gas, p, T)`, `dryMassFraction(x)`, `stoichiometricAirFuelRatio(fuel)`, `fuelMolarMass(fuel)`.
 * - `DRY_AIR_GAS_CONSTANT`: the 287.05 J/(kg K) to which corrected flow and speed refer.
 */
export { constantPropertyGas } from './constant-property-gas.ts';
export { DRY_AIR_GAS_CONSTANT, UNIVERSAL_GAS_CONSTANT } from './constants.ts';
export {
  exhaustComposition,
  exhaustMixture,
  type FuelComposition,
  SHIFT_FREEZE_TEMPERATURE_K,
  stoichiometricOxygen,
} from './exhaust.ts';
export {
  type Composition,
  type GasMixture,
  HIGHEST_TEMPERATURE_K,
  LOWEST_TEMPERATURE_K,
  mixGases,
} from './gas-mixture.ts';
export { type Compression, compress, isentropicEnthalpyRise, isentropicTemperature } from './isentropic.ts';
export { DRY_AIR, DRY_AIR_COMPOSITION, density, dryMassFraction, moistAir, vapourMoleFraction } from './moist-air.ts';
export { saturationPressure } from './saturation-pressure.ts';
export type { SpeciesKey } from './species.ts';
export {
  HIGHEST_ALTITUDE_M,
  LOWEST_ALTITUDE_M,
  type StandardAtmosphere,
  standardAtmosphere,
} from './standard-atmosphere.ts';
export {
  type StationPressure,
  type StationPressureInput,
  type StationPressureWarning,
  stationPressure,
  stationToSeaLevel,
} from './station-pressure.ts';
export { fuelMolarMass, stoichiometricAirFuelRatio } from './stoichiometry.ts';
export { waterGasShiftConstant } from './water-gas-shift.ts';
