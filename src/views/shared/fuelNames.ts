import type { FuelKey } from '../../engine/index.ts';

/** What each fuel is called in a sentence and in a list. */
export const FUEL_NAMES: Readonly<Record<FuelKey, string>> = {
  petrol: 'petrol',
  e10: 'petrol E10',
  e85: 'E85',
  ethanol: 'ethanol',
  methanol: 'methanol',
  diesel: 'diesel',
  'natural-gas': 'natural gas',
};
