import { type Composition, type GasMixture, mixGases, SPECIES } from './gas.ts';

const TRIPLE_POINT_K = 273.16;

/**
 * Saturation pressure of water vapour, over ice up to the triple point and over water above it.
 *
 * Source: Hyland and Wexler (1983), as in ASHRAE Handbook Fundamentals, chapter Psychrometrics, equations for ice and for water.
 *
 * @param temperatureK 173.15 to 473.15 K
 * @returns Pa, or null outside that range
 */
export function saturationPressure(temperatureK: number): number | null {
  const T = temperatureK;
  if (!(T >= 173.15 && T <= 473.15)) return null;
  if (T <= TRIPLE_POINT_K) {
    const powers = 6.3925247 + T * (-9.677843e-3 + T * (6.2215701e-7 + T * (2.0747825e-9 - T * 9.484024e-13)));
    return Math.exp(-5.6745359e3 / T + powers + 4.1635019 * Math.log(T));
  }
  const powers = 1.3914993 + T * (-4.8640239e-2 + T * (4.1764768e-5 - T * 1.4452093e-8));
  return Math.exp(-5.8002206e3 / T + powers + 6.5459673 * Math.log(T));
}

/** Mole fractions of dry air, ISO 2533:1975 with the trace gases counted as nitrogen; 28.9651 g/mol. */
export const DRY_AIR_COMPOSITION = { N2: 0.78084, O2: 0.209476, Ar: 0.009365, CO2: 0.000319 } as const;

function mixed(composition: Composition): GasMixture {
  const mixture = mixGases(composition);
  if (mixture === null) throw new Error('A fixed composition is wrong: this is a fault of the program.');
  return mixture;
}

/** Dry air: 28.9651 g/mol, 287.05 J/(kg K). */
export const DRY_AIR: GasMixture = mixed(DRY_AIR_COMPOSITION);

/**
 * Dry air with water vapour.
 * @param vapourMoleFraction moles of vapour per mole of moist air, 0 <= x < 1
 * @returns the mixture, or null when the fraction is out of range
 */
export function moistAir(vapourMoleFraction: number): GasMixture | null {
  if (!(vapourMoleFraction >= 0 && vapourMoleFraction < 1)) return null;
  if (vapourMoleFraction === 0) return DRY_AIR;
  const dry = 1 - vapourMoleFraction;
  const { N2, O2, Ar, CO2 } = DRY_AIR_COMPOSITION;
  return mixGases({ N2: N2 * dry, O2: O2 * dry, Ar: Ar * dry, CO2: CO2 * dry, H2O: vapourMoleFraction });
}

/**
 * Share of dry air in the mass of moist air: 1 / (1 + humidity ratio).
 * @param vapourMoleFraction 0 <= x < 1
 * @returns 0 < share <= 1, or null when the fraction is out of range
 */
export function dryMassFraction(vapourMoleFraction: number): number | null {
  if (!(vapourMoleFraction >= 0 && vapourMoleFraction < 1)) return null;
  const dry = (1 - vapourMoleFraction) * DRY_AIR.molarMassKgPerMol;
  return dry / (dry + vapourMoleFraction * SPECIES.H2O.molarMassKgPerMol);
}

/**
 * Moles of water vapour per mole of moist air, as an ideal mixture: relative humidity times saturation pressure over total pressure.
 * @param relativeHumidity 0..1
 * @param temperatureK 173.15 to 473.15 K
 * @param pressurePa total pressure, Pa
 * @returns 0 <= x < 1, or null when an input is out of range or the vapour alone would exceed the total pressure
 */
export function vapourMoleFraction(relativeHumidity: number, temperatureK: number, pressurePa: number): number | null {
  if (!(relativeHumidity >= 0 && relativeHumidity <= 1) || !(pressurePa > 0)) return null;
  const saturation = saturationPressure(temperatureK);
  if (saturation === null) return null;
  const x = (relativeHumidity * saturation) / pressurePa;
  return x < 1 ? x : null;
}

/**
 * Density of an ideal gas, kg/m3.
 * @param gas the mixture
 * @param pressurePa absolute, Pa
 * @param temperatureK K, above 0
 */
export function density(gas: GasMixture, pressurePa: number, temperatureK: number): number {
  return pressurePa / (gas.gasConstant * temperatureK);
}
