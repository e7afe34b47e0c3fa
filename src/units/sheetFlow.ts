import type { Unit } from './quantities.ts';
import { CUBIC_FOOT, MINUTE, POUND } from './quantities.ts';

/** Units in which sheets give corrected flow. The two volume flows mean volume at the sheet's reference state. */
export type SheetFlowUnit = 'kg/s' | 'lb/min' | 'm3/s' | 'cfm';

/** Gas constant of dry air that corrected flow is referred to, J/(kg K) (shared/physics.md section 2, as the trade uses it). */
export const REFERENCE_GAS_CONSTANT = 287.05;

/** How the sheet flow units are shown; toSi is to kg/s for the mass flows and to m³/s for the volume flows. */
export const sheetFlowUnits: Readonly<Record<SheetFlowUnit, Unit & { key: SheetFlowUnit }>> = {
  'kg/s': shown('kg/s', 'kg/s', 'kilograms per second, corrected', 1, 4, 0.001, 'metric'),
  'lb/min': shown('lb/min', 'lb/min', 'pounds per minute, corrected', POUND / MINUTE, 2, 0.1, 'us'),
  'm3/s': shown('m3/s', 'm³/s', 'cubic metres per second at the reference state', 1, 4, 0.001, 'metric'),
  cfm: shown('cfm', 'cfm', 'cubic feet per minute at the reference state', CUBIC_FOOT / MINUTE, 1, 1, 'us'),
};

/** kg/s per one of the unit: 1 for kg/s, the reference density pref/(287.05 Tref) times m³/s for the volume flows. */
function kgPerSPerUnit(unit: SheetFlowUnit, reference: { temperatureK: number; pressurePa: number }): number {
  const isVolume = unit === 'm3/s' || unit === 'cfm';
  const density = isVolume ? reference.pressurePa / (REFERENCE_GAS_CONSTANT * reference.temperatureK) : 1;
  return sheetFlowUnits[unit].toSi * density;
}

/**
 * Flow as a sheet gives it to corrected mass flow, kg/s at the sheet's reference state: Wc = Q pref/(287.05 Tref) for volume flows.
 * @param reference The sheet's reference state, K and Pa, both above 0 (not checked here). It does not matter for mass flows.
 */
export function sheetFlowToKgPerS(
  flow: number,
  unit: SheetFlowUnit,
  reference: { temperatureK: number; pressurePa: number },
): number {
  return flow * kgPerSPerUnit(unit, reference);
}

/** Corrected mass flow, kg/s at the sheet's reference state, to the sheet's unit: the inverse of sheetFlowToKgPerS. */
export function kgPerSToSheetFlow(
  kgPerS: number,
  unit: SheetFlowUnit,
  reference: { temperatureK: number; pressurePa: number },
): number {
  return kgPerS / kgPerSPerUnit(unit, reference);
}

function shown(
  key: SheetFlowUnit,
  label: string,
  name: string,
  toSi: number,
  decimals: number,
  step: number,
  system: Unit['system'],
): Unit & { key: SheetFlowUnit } {
  return { key, label, name, toSi, offset: 0, decimals, step, expects: 'decimal', system };
}
