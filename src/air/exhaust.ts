import { type Composition, type GasMixture, mixGases, type NasaRange, SPECIES, type SpeciesKey } from './gas.ts';
import { DRY_AIR, DRY_AIR_COMPOSITION } from './humid.ts';

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

/**
 * Equilibrium constant of CO + H2O = CO2 + H2, that is (xCO2 xH2) / (xCO xH2O), from the Gibbs energies of the NASA polynomials.
 * @param temperatureK 200 to 6000 K
 * @returns dimensionless
 */
export function waterGasShiftConstant(temperatureK: number): number {
  const gibbs = (key: SpeciesKey) => gibbsOverRt(key, temperatureK);
  return Math.exp(gibbs('CO') + gibbs('H2O') - gibbs('CO2') - gibbs('H2'));
}

function gibbsOverRt(key: SpeciesKey, T: number): number {
  const c: NasaRange = T < 1000 ? SPECIES[key].low : SPECIES[key].high;
  const ln = Math.log(T);
  const enthalpy =
    -c.a1 / T / T + (c.a2 * ln + c.b1) / T + c.a3 + T * (c.a4 / 2 + T * (c.a5 / 3 + T * (c.a6 / 4 + (T * c.a7) / 5)));
  const entropy =
    (-c.a1 / (2 * T) - c.a2) / T + c.a3 * ln + c.b2 + T * (c.a4 + T * (c.a5 / 2 + T * (c.a6 / 3 + (T * c.a7) / 4)));
  return enthalpy - entropy;
}

/** Atoms per molecule of fuel, or of its average molecule; only their ratios count here. */
export interface FuelComposition {
  carbon: number;
  hydrogen: number;
  oxygen: number;
}

/**
 * The water-gas shift of a rich exhaust is taken as frozen at this temperature: Heywood (Internal Combustion Engine Fundamentals,
 * section 4.9.1, from memory) finds that exhaust analyses fit a constant evaluated near 1740 K.
 */
export const SHIFT_FREEZE_TEMPERATURE_K = 1740;

const FROZEN_SHIFT = waterGasShiftConstant(SHIFT_FREEZE_TEMPERATURE_K);
const LEANEST = 20;

/** Moles of oxygen gas that burn one mole of the fuel completely. */
function stoichiometricOxygen(fuel: FuelComposition): number {
  return fuel.carbon + fuel.hydrogen / 4 - fuel.oxygen / 2;
}

/**
 * Mole amounts of the exhaust of one mole of fuel, unburned fuel, soot, NO and dissociation left out. Lean: complete combustion with
 * the oxygen left over. Rich: CO and H2 share the missing oxygen by the water-gas shift CO + H2O = CO2 + H2, frozen at 1740 K.
 *
 * @param fuel atoms per molecule
 * @param lambda air over stoichiometric air, up to 20; rich down to where the oxygen just turns all carbon into CO
 * @param vapourMoleFraction of the air drawn, 0 <= x < 1
 * @returns moles by species, or null when an input is out of range
 */
export function exhaustComposition(
  fuel: FuelComposition,
  lambda: number,
  vapourMoleFraction: number,
): Composition | null {
  const { carbon: C, hydrogen: H, oxygen: O } = fuel;
  const oxygenNeeded = stoichiometricOxygen(fuel);
  if (!(C >= 0 && H >= 0 && O >= 0 && oxygenNeeded > 0 && lambda > 0 && lambda <= LEANEST)) return null;
  if (!(vapourMoleFraction >= 0 && vapourMoleFraction < 1)) return null;
  const air = DRY_AIR_COMPOSITION;
  const oxygen = lambda * oxygenNeeded;
  const dryAir = oxygen / air.O2;
  const vapour = (dryAir * vapourMoleFraction) / (1 - vapourMoleFraction);
  const N2 = dryAir * air.N2;
  const Ar = dryAir * air.Ar;
  const carbon = C + dryAir * air.CO2;
  const hydrogen = H / 2 + vapour;
  if (lambda >= 1) return { N2, Ar, CO2: carbon, H2O: hydrogen, O2: oxygen - oxygenNeeded };
  // Oxygen atoms that CO2, CO and H2O share; each missing atom makes one CO or one H2.
  const atoms = 2 * carbon + hydrogen - 2 * (oxygenNeeded - oxygen);
  if (atoms < carbon) return null;
  const CO2 = shiftedCarbonDioxide(carbon, hydrogen, atoms);
  if (CO2 === null) return null;
  const H2O = atoms - carbon - CO2;
  return { N2, Ar, CO2, CO: carbon - CO2, H2O, H2: hydrogen - H2O };
}

/** CO2 = x, CO = c - x, H2O = n - c - x, H2 = h - H2O with x (h - H2O) = K (c - x) H2O: a quadratic with one root in range. */
function shiftedCarbonDioxide(c: number, h: number, n: number): number | null {
  const K = FROZEN_SHIFT;
  const water = n - c;
  const qa = 1 - K;
  const qb = h - water + K * (c + water);
  const qc = -K * c * water;
  const low = Math.max(0, water - h);
  const high = Math.min(c, water);
  const disc = Math.sqrt(Math.max(0, qb * qb - 4 * qa * qc));
  // The form without cancellation for qb > 0, which also holds as K goes to 1.
  const x = (-2 * qc) / (qb + disc);
  const slack = 1e-9 * (c + h);
  if (!(x >= low - slack && x <= high + slack)) return null;
  return Math.min(high, Math.max(low, x));
}

/**
 * Exhaust gas of a fuel at a lambda, as a mixture with temperature-dependent properties. See `exhaustComposition` for what it holds.
 * @returns the mixture, or null when an input is out of range
 */
export function exhaustMixture(fuel: FuelComposition, lambda: number, vapourMoleFraction: number): GasMixture | null {
  const composition = exhaustComposition(fuel, lambda, vapourMoleFraction);
  return composition === null ? null : mixGases(composition);
}
