/**
 * Air and gases, SI inside: pressures in Pa absolute, temperatures in K. Whatever cannot be answered is null or a named reason, never a
 * number. A `GasMixture` (`moistAir`, `exhaustMixture`, `mixGases`) has its heat capacity, enthalpy and entropy function over temperature.
 * Corrected flow and speed refer to `DRY_AIR_GAS_CONSTANT`, 287.05 J/(kg K).
 */

export {
  standardAtmosphere,
  stationPressure,
  stationToSeaLevel,
} from './atmosphere.ts';
export { exhaustMixture, type FuelComposition, fuelMolarMass, stoichiometricAirFuelRatio } from './exhaust.ts';
export { compress, constantPropertyGas, DRY_AIR_GAS_CONSTANT, type GasMixture, mixGases } from './gas.ts';
export { DRY_AIR, density, dryMassFraction, moistAir, saturationPressure, vapourMoleFraction } from './humid.ts';
