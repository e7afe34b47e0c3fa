/*
 * The moment of inertia of a turbo's rotor about its own axis, kg m2: wheels, shaft and nut together.
 */

/**
 * From the swing of a rotor that hangs by three threads, its axis upright in the middle: J = m g r^2 T^2 / (4 pi^2 L).
 * Source: the trifilar pendulum of small swings. On small rotors Chung et al. (2017, abstract) found 3 % on turbine rotors; compressor
 * wheels are too light to be swung alone.
 *
 * @param massKg of what swings; with a platform its mass, whose own inertia is then to be taken off
 * @param radiusM of the circle on which the threads hold it
 * @param periodS of a whole swing, there and back
 * @param lengthM of the threads, upright
 */
export function trifilarInertia(massKg: number, radiusM: number, periodS: number, lengthM: number): number {
  return (massKg * GRAVITY * radiusM * radiusM * periodS * periodS) / (4 * Math.PI * Math.PI * lengthM);
}

const GRAVITY = 9.80665;

/** Cast nickel alloy of turbine wheels, aluminium alloy of compressor wheels, kg/m3 (common practice, no source). */
const TURBINE_DENSITY = 8_000;
const COMPRESSOR_DENSITY = 2_750;

/**
 * A guess from the larger diameters of both wheels: 0.008 rho_t D_t^5 + 0.006 rho_c D_c^5 (from memory). Inertias of published engines do
 * not follow it: never without INERTIA_GUESS_BAND.
 * @param turbineM inducer diameter of the turbine wheel
 * @param compressorM exducer diameter of the compressor wheel
 */
export function guessedInertia(turbineM: number, compressorM: number): number {
  return 0.008 * TURBINE_DENSITY * turbineM ** 5 + 0.006 * COMPRESSOR_DENSITY * compressorM ** 5;
}

/** Half widths as shares: of a guess from diameters, of a swing as Chung et al. found it, of a number whose origin is not known. */
export const INERTIA_BAND = { diameters: 0.5, trifilar: 0.03, entered: 0.1 } as const;
