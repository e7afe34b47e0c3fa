import { UNIVERSAL_GAS_CONSTANT } from './constants.ts';
import { GasMixture } from './gas-mixture.ts';

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
