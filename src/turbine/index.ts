/**
 * The turbine side, SI inside. Whatever cannot be answered is null or a list of what is missing, never a number.
 *
 * - `nozzleFlowParameter(expansionRatio, gamma)`, `criticalExpansionRatio(gamma)`, `NozzleLaw`: the isentropic nozzle.
 * - `fitCapacity(sheet)`: flow capacity (and efficiency) through the points of a sheet; `checkTurbineSheet` what stands against it.
 * - `auditTurbineSheet(sheet)`: what is doubtful on a sheet, each remark with its path.
 * - `lawFlowParameter(law, expansionRatio, reducedSpeed)`: the nozzle law of a capacity alone, without its points.
 * - `estimateCapacity(measurements)`: the same from wheel and housing, with its band.
 * - `speedRatioEfficiency`, `spoutingVelocity`, `bladeSpeedRatio`: efficiency without points.
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
