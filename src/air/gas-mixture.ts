import { UNIVERSAL_GAS_CONSTANT } from './constants.ts';
import { type NasaRange, SPECIES, type SpeciesKey } from './species.ts';

/** Mole amounts; they need not sum to 1. */
export type Composition = Readonly<Partial<Record<SpeciesKey, number>>>;

export const LOWEST_TEMPERATURE_K = 200;
export const HIGHEST_TEMPERATURE_K = 6000;
const RANGE_BREAK_K = 1000;
const MAX_NEWTON_STEPS = 40;
const RELATIVE_STEP = 1e-9;

/**
 * An ideal gas of fixed composition with temperature-dependent heat capacity. The species' polynomials are summed once, when the
 * mixture is made, so that a property costs the same whatever the gas is made of. Properties hold from 200 to 6000 K
 * (NASA/TP-2002-211556); outside, the polynomial is evaluated as it stands and the inverses answer null.
 */
export class GasMixture {
  /** J/(kg K) */
  readonly gasConstant: number;
  readonly molarMassKgPerMol: number;
  readonly #low: NasaRange;
  readonly #high: NasaRange;

  /** @param low,high polynomials of cp in J/(kg K), h in J/kg and s0 in J/(kg K), not dimensionless. */
  constructor(molarMassKgPerMol: number, low: NasaRange, high: NasaRange) {
    this.molarMassKgPerMol = molarMassKgPerMol;
    this.gasConstant = UNIVERSAL_GAS_CONSTANT / molarMassKgPerMol;
    this.#low = low;
    // The printed ranges meet at 1000 K only to their digits (about 1 J/kg): joined, so that h and s0 are continuous and their
    // inverses exist everywhere.
    const T = RANGE_BREAK_K;
    const b1 = high.b1 + enthalpyOf(low, T) - enthalpyOf(high, T);
    const b2 = high.b2 + entropyOf(low, T) - entropyOf(high, T);
    this.#high = { ...high, b1, b2 };
  }

  /** Specific heat at constant pressure, J/(kg K), at T in K. */
  specificHeat(T: number): number {
    const c = T < RANGE_BREAK_K ? this.#low : this.#high;
    return (c.a1 / T + c.a2) / T + c.a3 + T * (c.a4 + T * (c.a5 + T * (c.a6 + T * c.a7)));
  }

  /** Ratio of specific heats at T in K. */
  gamma(T: number): number {
    const cp = this.specificHeat(T);
    return cp / (cp - this.gasConstant);
  }

  /** Specific enthalpy, J/kg, at T in K; elements at 298.15 K are the zero, so only differences mean something here. */
  enthalpy(T: number): number {
    return enthalpyOf(T < RANGE_BREAK_K ? this.#low : this.#high, T);
  }

  /** Pressure-free part of the specific entropy, J/(kg K), at T in K; without the entropy of mixing, a constant. */
  entropyFunction(T: number): number {
    return entropyOf(T < RANGE_BREAK_K ? this.#low : this.#high, T);
  }

  /**
   * Temperature at which the gas has an enthalpy.
   * @param enthalpyJPerKg on the scale of `enthalpy`
   * @param guessK where to start, any temperature in range
   * @returns K, or null when there is none from 200 to 6000 K
   */
  temperatureAtEnthalpy(enthalpyJPerKg: number, guessK = 400): number | null {
    let T = guessK;
    for (let i = 0; i < MAX_NEWTON_STEPS; i++) {
      const step = (enthalpyJPerKg - this.enthalpy(T)) / this.specificHeat(T);
      T = held(T, T + step);
      if (!(Math.abs(step) > RELATIVE_STEP * T)) break;
    }
    return this.#checked(T, this.enthalpy(T) - enthalpyJPerKg);
  }

  /**
   * Temperature at which `entropyFunction` has a value.
   * @param entropyJPerKgK on the scale of `entropyFunction`
   * @param guessK where to start, any temperature in range
   * @returns K, or null when there is none from 200 to 6000 K
   */
  temperatureAtEntropyFunction(entropyJPerKgK: number, guessK = 400): number | null {
    // Newton in ln T, in which s0 is nearly a straight line.
    let T = guessK;
    for (let i = 0; i < MAX_NEWTON_STEPS; i++) {
      const step = (entropyJPerKgK - this.entropyFunction(T)) / this.specificHeat(T);
      T = held(T, T * Math.exp(step));
      if (!(Math.abs(step) > RELATIVE_STEP)) break;
    }
    return this.#checked(T, (this.entropyFunction(T) - entropyJPerKgK) * T);
  }

  /** Newton held at an end of the range has not met its target: no answer, rather than the end of the range. */
  #checked(T: number, residualJPerKg: number): number | null {
    return Math.abs(residualJPerKg) <= 1e-6 * this.gasConstant * T ? T : null;
  }
}

function enthalpyOf(c: NasaRange, T: number): number {
  const powers = c.a3 + T * (c.a4 / 2 + T * (c.a5 / 3 + T * (c.a6 / 4 + (T * c.a7) / 5)));
  return -c.a1 / T + c.a2 * Math.log(T) + T * powers + c.b1;
}

function entropyOf(c: NasaRange, T: number): number {
  const powers = c.a4 + T * (c.a5 / 2 + T * (c.a6 / 3 + (T * c.a7) / 4));
  return (-c.a1 / (2 * T) - c.a2) / T + c.a3 * Math.log(T) + T * powers + c.b2;
}

function held(from: number, to: number): number {
  if (Number.isNaN(to)) return from;
  return Math.min(HIGHEST_TEMPERATURE_K, Math.max(LOWEST_TEMPERATURE_K, to));
}

const SPECIES_KEYS = Object.keys(SPECIES) as SpeciesKey[];

/**
 * Mixture of ideal gases by mole amounts.
 * @param composition mole amounts, none negative, not all zero; they need not sum to 1
 * @returns the mixture, or null for amounts that are negative, not finite or all zero
 */
export function mixGases(composition: Composition): GasMixture | null {
  let moles = 0;
  let massKg = 0;
  for (const key of SPECIES_KEYS) {
    const amount = composition[key];
    if (amount === undefined) continue;
    if (!(amount >= 0) || !Number.isFinite(amount)) return null;
    moles += amount;
    massKg += amount * SPECIES[key].molarMassKgPerMol;
  }
  if (!(moles > 0)) return null;
  const low = noRange();
  const high = noRange();
  for (const key of SPECIES_KEYS) {
    const amount = composition[key];
    if (amount === undefined || amount === 0) continue;
    const perKg = (amount * UNIVERSAL_GAS_CONSTANT) / massKg;
    addRange(low, SPECIES[key].low, perKg);
    addRange(high, SPECIES[key].high, perKg);
  }
  return new GasMixture(massKg / moles, low, high);
}

function noRange(): NasaRange {
  return { a1: 0, a2: 0, a3: 0, a4: 0, a5: 0, a6: 0, a7: 0, b1: 0, b2: 0 };
}

/** Written out: a spread mixes the exhaust of some ten thousand engine speeds. */
function addRange(sum: NasaRange, part: NasaRange, factor: number): void {
  sum.a1 += factor * part.a1;
  sum.a2 += factor * part.a2;
  sum.a3 += factor * part.a3;
  sum.a4 += factor * part.a4;
  sum.a5 += factor * part.a5;
  sum.a6 += factor * part.a6;
  sum.a7 += factor * part.a7;
  sum.b1 += factor * part.b1;
  sum.b2 += factor * part.b2;
}
