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

export {
  standardAtmosphere,
  stationPressure,
  stationToSeaLevel,
} from './atmosphere.ts';
export { exhaustMixture, type FuelComposition, fuelMolarMass, stoichiometricAirFuelRatio } from './exhaust.ts';
export { compress, constantPropertyGas, DRY_AIR_GAS_CONSTANT, type GasMixture, mixGases } from './gas.ts';
export { DRY_AIR, density, dryMassFraction, moistAir, saturationPressure, vapourMoleFraction } from './humid.ts';
