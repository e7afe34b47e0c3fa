/**
 * The engine, SI inside: what it breathes (`sweptVolumeFlow`, `airPressureShare`), what it burns (`FUELS`,
 * `fuelMassFlow`, `brakePower` and their inverse `dryAirForPower`), the losses of its inlet and charge path (`lossCoefficient`,
 * `pressureLoss`, `pressureBefore`), its charge cooler, and the check of its fuel supply.
 */
export {
  airPressureShare,
  cooledTemperature,
  coolerEffectiveness,
  coolerOfOne,
  dependsOnFlow,
  lossCoefficient,
  pressureBefore,
  pressureLoss,
  sweptVolumeFlow,
} from './flow-path.ts';
export {
  brakePower,
  dryAirForPower,
  FUELS,
  type Fuel,
  fuelMassFlow,
  fuelName,
  fuelNeed,
  fuelVolumeFlow,
  injectorDuty,
  thermalEfficiency,
  torque,
  wheelPower,
} from './fuels.ts';
export {
  POWER_CORRECTION_NAMES,
  POWER_CORRECTIONS,
  type PowerCorrection,
  powerCorrectionFactor,
} from './power-correction.ts';
export type * from './types.ts';
