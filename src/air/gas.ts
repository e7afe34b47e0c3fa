/** J/(mol K). The value that the NASA polynomials were fitted with (NASA/TP-2002-211556); CODATA 2018 differs by 6 ppm. */
const UNIVERSAL_GAS_CONSTANT = 8.31451;

/** J/(kg K). Gas constant of dry air to which every map's corrected flow and speed refer. */
export const DRY_AIR_GAS_CONSTANT = 287.05;

/**
 * One temperature range of a NASA 9-coefficient polynomial, dimensionless:
 * cp/R = a1 T^-2 + a2 T^-1 + a3 + a4 T + a5 T^2 + a6 T^3 + a7 T^4, with b1 and b2 the constants of h/R and s/R.
 */
export interface NasaRange {
  a1: number;
  a2: number;
  a3: number;
  a4: number;
  a5: number;
  a6: number;
  a7: number;
  b1: number;
  b2: number;
}

interface Species {
  molarMassKgPerMol: number;
  /** 200 to 1000 K */
  low: NasaRange;
  /** 1000 to 6000 K */
  high: NasaRange;
}

export type SpeciesKey = 'N2' | 'O2' | 'Ar' | 'CO2' | 'H2O' | 'CO' | 'H2';

/** biome-ignore format: one row a range, as the source prints them. */
function range(...c: [number, number, number, number, number, number, number, number, number]): NasaRange {
  return { a1: c[0], a2: c[1], a3: c[2], a4: c[3], a5: c[4], a6: c[5], a7: c[6], b1: c[7], b2: c[8] };
}

/**
 * Coefficients of McBride, Zehe, Gordon, "NASA Glenn Coefficients for Calculating Thermodynamic Properties of Individual Species",
 * NASA/TP-2002-211556. Enthalpy counts the elements at 298.15 K as zero. Valid 200 to 6000 K.
 */
// biome-ignore format: columns as in the source
export const SPECIES: Readonly<Record<SpeciesKey, Species>> = {
  N2: {
    molarMassKgPerMol: 0.0280134,
    low: range(2.210371497e4, -3.81846182e2, 6.08273836, -8.53091441e-3, 1.384646189e-5, -9.62579362e-9, 2.519705809e-12, 7.10846086e2, -1.076003744e1),
    high: range(5.87712406e5, -2.239249073e3, 6.06694922, -6.1396855e-4, 1.491806679e-7, -1.923105485e-11, 1.061954386e-15, 1.283210415e4, -1.586640027e1),
  },
  O2: {
    molarMassKgPerMol: 0.0319988,
    low: range(-3.42556342e4, 4.84700097e2, 1.119010961, 4.29388924e-3, -6.83630052e-7, -2.0233727e-9, 1.039040018e-12, -3.39145487e3, 1.84969947e1),
    high: range(-1.037939022e6, 2.344830282e3, 1.819732036, 1.267847582e-3, -2.188067988e-7, 2.053719572e-11, -8.19346705e-16, -1.689010929e4, 1.738716506e1),
  },
  Ar: {
    molarMassKgPerMol: 0.039948,
    low: range(0, 0, 2.5, 0, 0, 0, 0, -7.45375e2, 4.37967491),
    high: range(2.010538475e1, -5.99266107e-2, 2.500069401, -3.99214116e-8, 1.20527214e-11, -1.819015576e-15, 1.078576636e-19, -7.44993961e2, 4.37918011),
  },
  CO2: {
    molarMassKgPerMol: 0.0440095,
    low: range(4.94365054e4, -6.26411601e2, 5.30172524, 2.503813816e-3, -2.127308728e-7, -7.68998878e-10, 2.849677801e-13, -4.52819846e4, -7.04827944),
    high: range(1.176962419e5, -1.788791477e3, 8.29152319, -9.22315678e-5, 4.86367688e-9, -1.891053312e-12, 6.33003659e-16, -3.90835059e4, -2.652669281e1),
  },
  H2O: {
    molarMassKgPerMol: 0.01801528,
    low: range(-3.94796083e4, 5.75573102e2, 9.31782653e-1, 7.22271286e-3, -7.34255737e-6, 4.95504349e-9, -1.336933246e-12, -3.30397431e4, 1.724205775e1),
    high: range(1.034972096e6, -2.412698562e3, 4.64611078, 2.291998307e-3, -6.83683048e-7, 9.42646893e-11, -4.82238053e-15, -1.384286509e4, -7.97814851),
  },
  CO: {
    molarMassKgPerMol: 0.0280101,
    low: range(1.489045326e4, -2.922285939e2, 5.72452717, -8.17623503e-3, 1.456903469e-5, -1.087746302e-8, 3.027941827e-12, -1.303131878e4, -7.85924135),
    high: range(4.61919725e5, -1.944704863e3, 5.91671418, -5.66428283e-4, 1.39881454e-7, -1.787680361e-11, 9.62093557e-16, -2.466261084e3, -1.387413108e1),
  },
  H2: {
    molarMassKgPerMol: 0.00201588,
    low: range(4.07832321e4, -8.00918604e2, 8.21470201, -1.269714457e-2, 1.753605076e-5, -1.20286027e-8, 3.36809349e-12, 2.682484665e3, -3.043788844e1),
    high: range(5.60812801e5, -8.37150474e2, 2.975364532, 1.252249124e-3, -3.74071619e-7, 5.9366252e-11, -3.6069941e-15, 5.33982441e3, -2.202774769),
  },
};

/** Mole amounts; they need not sum to 1. */
export type Composition = Readonly<Partial<Record<SpeciesKey, number>>>;

const LOWEST_TEMPERATURE_K = 200;
const HIGHEST_TEMPERATURE_K = 6000;
const RANGE_BREAK_K = 1000;
const MAX_NEWTON_STEPS = 40;
/**
 * Newton's error is the square of its step, times a tenth for these nearly straight functions: after a step as small as this it is below
 * 1e-11, and is not looked at again.
 */
const LAST_STEP = 1e-5;

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
      const next = T + (enthalpyJPerKg - this.enthalpy(T)) / this.specificHeat(T);
      if (Math.abs(next - T) <= LAST_STEP * T) return inRange(next);
      T = held(T, next);
    }
    return null;
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
      if (Math.abs(step) <= LAST_STEP) return inRange(T * (1 + step + 0.5 * step * step));
      T = held(T, T * Math.exp(step));
    }
    return null;
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

/** Newton held at an end of the range has not met its target: no answer, rather than the end of the range. */
function inRange(T: number): number | null {
  const room = 1e-9 * T;
  return T >= LOWEST_TEMPERATURE_K - room && T <= HIGHEST_TEMPERATURE_K + room ? T : null;
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

/**
 * A gas of constant heat capacity, only for comparing with textbook examples that assume one; never the default.
 * @param gamma ratio of specific heats, above 1
 * @param specificHeatJPerKgK at constant pressure
 */
export function constantPropertyGas(gamma: number, specificHeatJPerKgK: number): GasMixture {
  const R = specificHeatJPerKgK * (1 - 1 / gamma);
  const flat = { a1: 0, a2: 0, a3: specificHeatJPerKgK, a4: 0, a5: 0, a6: 0, a7: 0, b1: 0, b2: 0 };
  return new GasMixture(UNIVERSAL_GAS_CONSTANT / R, flat, flat);
}

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
