/**
 * The engine, SI inside: what it breathes (`sweptVolumeFlow`, `airPressureShare`, `airMassFlow`), what it burns (`FUELS`,
 * `fuelMassFlow`, `brakePower` and their inverse `dryAirForPower`), the losses of its inlet and charge path (`lossCoefficient`,
 * `pressureLoss`, `pressureBefore`), its charge cooler, and the check of its fuel supply.
 */
export {
  airMassFlow,
  airPressureShare,
  type BreathingInput,
  type FuelVapourInput,
  sweptVolumeFlow,
} from './breathing.ts';
export { cooledTemperature, coolerEffectiveness, dependsOnFlow } from './charge-cooler.ts';
export { fuelVolumeFlow, type InjectorDuty, injectorDuty } from './fuel-supply.ts';
export { FUELS, type Fuel } from './fuels.ts';
export { brakePower, dryAirForPower, fuelMassFlow, thermalEfficiency, torque, wheelPower } from './power.ts';
export { lossCoefficient, pressureBefore, pressureLoss } from './pressure-loss.ts';
export type * from './types.ts';
