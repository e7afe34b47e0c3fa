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

export interface Species {
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
