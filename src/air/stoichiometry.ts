import { type FuelComposition, stoichiometricOxygen } from './exhaust.ts';
import { DRY_AIR, DRY_AIR_COMPOSITION } from './moist-air.ts';

/** kg/mol; IUPAC conventional atomic weights. */
const ATOMIC_MASS = { carbon: 0.012011, hydrogen: 0.001008, oxygen: 0.015999 };

/** Mass of one mole of a fuel of the given atoms, kg/mol. */
export function fuelMolarMass(fuel: FuelComposition): number {
  return fuel.carbon * ATOMIC_MASS.carbon + fuel.hydrogen * ATOMIC_MASS.hydrogen + fuel.oxygen * ATOMIC_MASS.oxygen;
}

/**
 * Stoichiometric mass of dry air per mass of fuel, from the fuel's atoms and the oxygen share of dry air (0.209476 by mole).
 * @returns kg/kg, or null for a fuel that needs no oxygen
 */
export function stoichiometricAirFuelRatio(fuel: FuelComposition): number | null {
  const oxygen = stoichiometricOxygen(fuel);
  if (!(oxygen > 0)) return null;
  return ((oxygen / DRY_AIR_COMPOSITION.O2) * DRY_AIR.molarMassKgPerMol) / fuelMolarMass(fuel);
}
