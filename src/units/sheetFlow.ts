import { CUBIC_FOOT, MINUTE, POUND, type Unit } from './quantities.ts';

/** Gas constant of dry air that corrected flow is referred to, J/(kg K) (shared/physics.md section 2, as the trade uses it). */
export const REFERENCE_GAS_CONSTANT = 287.05;

const massFlows = {
  'kg/s': row('kg/s', 'kilograms per second, corrected', 1, 4, 0.001),
  'lb/min': row('lb/min', 'pounds per minute, corrected', POUND / MINUTE, 2, 0.1, 'us'),
};
/** Volume at the sheet's reference state; turbine sheets have none. */
const volumeFlows = {
  'm3/s': row('m³/s', 'cubic metres per second at the reference state', 1, 4, 0.001),
  cfm: row('cfm', 'cubic feet per minute at the reference state', CUBIC_FOOT / MINUTE, 1, 1, 'us'),
};
const table = { ...massFlows, ...volumeFlows };

/** Units in which sheets give corrected flow. */
export type SheetFlowUnit = keyof typeof table;
export type SheetMassFlowUnit = keyof typeof massFlows;

/** Keys of the units in the order of choosers and schemas: all of them, and those of mass flows. */
export const sheetFlowKeys = Object.keys(table) as SheetFlowUnit[];
export const sheetMassFlowKeys = Object.keys(massFlows) as SheetMassFlowUnit[];

/** Whether the unit means volume at the sheet's reference state. */
export function isVolumeFlow(unit: SheetFlowUnit): unit is keyof typeof volumeFlows {
  return unit in volumeFlows;
}

/** Pressures that the flow parameter W sqrt(T03)/p03 of turbine sheets is over, Pa. */
export const flowParameterPressures = { kPa: 1e3, bar: 1e5, MPa: 1e6 } as const;
export type FlowParameterUnit = keyof typeof flowParameterPressures;

/** Unit of a flow parameter: 'kg√K/(s·kPa)'. */
export const flowParameterLabel = (pressure: FlowParameterUnit): string => `kg√K/(s·${pressure})`;

/** How the sheet flow units are shown; toSi is to kg/s for the mass flows and to m³/s for the volume flows. */
export const sheetFlowUnits = Object.fromEntries(sheetFlowKeys.map((key) => [key, { ...table[key], key }])) as Readonly<
  Record<SheetFlowUnit, Unit & { key: SheetFlowUnit }>
>;

/**
 * Factor from a sheet's flow to corrected mass flow, kg/s at the sheet's reference state: 1 for kg/s, the reference density
 * pref/(287.05 Tref) times m³/s for the volume flows.
 * @param reference The sheet's reference state, K and Pa, both above 0 (not checked here). It does not matter for mass flows.
 */
export function sheetFlowFactor(unit: SheetFlowUnit, reference: { temperatureK: number; pressurePa: number }): number {
  const density = isVolumeFlow(unit) ? reference.pressurePa / (REFERENCE_GAS_CONSTANT * reference.temperatureK) : 1;
  return table[unit].toSi * density;
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
  return flow * sheetFlowFactor(unit, reference);
}

/** Corrected mass flow, kg/s at the sheet's reference state, to the sheet's unit: the inverse of sheetFlowToKgPerS. */
export function kgPerSToSheetFlow(
  kgPerS: number,
  unit: SheetFlowUnit,
  reference: { temperatureK: number; pressurePa: number },
): number {
  return kgPerS / sheetFlowFactor(unit, reference);
}

function row(
  label: string,
  name: string,
  toSi: number,
  decimals: number,
  step: number,
  system: Unit['system'] = 'metric',
): Omit<Unit, 'key'> {
  return { label, name, toSi, offset: 0, decimals, step, expects: 'decimal', system };
}
