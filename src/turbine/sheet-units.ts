import { DRY_AIR_GAS_CONSTANT } from '../air/index.ts';
import type { TurbineSheet } from './types.ts';

const KG_PER_S = { 'kg/s': 1, 'lb/min': 0.45359237 / 60 } as const;
const PASCALS = { kPa: 1e3, bar: 1e5, MPa: 1e6 } as const;

/**
 * What a sheet's flow times this is W sqrt(R T03)/p03 in m2. A corrected flow is referred with the gas constant of dry air, 287.05
 * J/(kg K), which sheets mean (or measure with); a parameter sheet's W sqrt(T03)/p03 lacks just the root of it.
 */
export function flowParameterFactor({ flow }: Pick<TurbineSheet, 'flow'>): number {
  if (flow.kind === 'parameter') return Math.sqrt(DRY_AIR_GAS_CONSTANT) / PASCALS[flow.pressureUnit];
  const { temperatureK, pressurePa } = flow.reference;
  return (KG_PER_S[flow.unit] * Math.sqrt(DRY_AIR_GAS_CONSTANT * temperatureK)) / pressurePa;
}

/** What a sheet's speed times this is N / sqrt(R T03), rpm per (m/s). */
export function reducedSpeedFactor({ flow }: Pick<TurbineSheet, 'flow'>): number {
  const referenceK = flow.kind === 'corrected' ? flow.reference.temperatureK : 1;
  return 1 / Math.sqrt(DRY_AIR_GAS_CONSTANT * referenceK);
}
