import { type NasaRange, SPECIES, type SpeciesKey } from './species.ts';

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
