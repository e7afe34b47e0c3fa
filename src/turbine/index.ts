/**
 * The turbine side, SI inside. Whatever cannot be answered is null or a list of what is missing, never a number.
 *
 * - `fitCapacity(sheet)`: flow capacity (and efficiency) through the points of a sheet; `auditTurbineSheet` what is doubtful on it.
 * - `estimateCapacity(measurements)`: the same from wheel and housing, with its band; `speedRatioEfficiency`: efficiency without points.
 * - `estimatedInletTemperature(...)`: turbine inlet temperature from the engine's energy balance.
 */
export { auditTurbineSheet, type TurbineRemark } from './audit.ts';
export { estimateCapacity } from './estimate-capacity.ts';
export { fitCapacity, type TurbineWordUnits } from './fit-capacity.ts';
export { estimatedInletTemperature, heatLossShare } from './inlet-temperature.ts';
export {
  bladeSpeedRatio,
  flowParameterFactor,
  guessedInertia,
  INERTIA_BAND,
  lawFlowParameter,
  openingFor,
  reducedSpeedFactor,
  speedRatioEfficiency,
  trifilarInertia,
} from './laws.ts';
export type * from './types.ts';
