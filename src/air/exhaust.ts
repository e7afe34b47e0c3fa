import { type Composition, type GasMixture, mixGases } from './gas-mixture.ts';
import { DRY_AIR_COMPOSITION } from './moist-air.ts';
import { waterGasShiftConstant } from './water-gas-shift.ts';

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
export function stoichiometricOxygen(fuel: FuelComposition): number {
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
