/**
 * Fuel that an air flow burns, kg/s.
 * @param dryAirMassFlowKgPerS dry air only: water vapour burns nothing
 * @param lambda air over stoichiometric air, above 0
 * @param stoichiometricAirFuelRatio kg/kg
 */
export function fuelMassFlow(dryAirMassFlowKgPerS: number, lambda: number, stoichiometricAirFuelRatio: number): number {
  return dryAirMassFlowKgPerS / (lambda * stoichiometricAirFuelRatio);
}

/** Brake power, W, of a fuel flow in kg/s at a brake specific fuel consumption in kg/J. */
export function brakePower(fuelMassFlowKgPerS: number, bsfcKgPerJ: number): number {
  return fuelMassFlowKgPerS / bsfcKgPerJ;
}

/** Dry air, kg/s, that a brake power needs: the inverse of fuelMassFlow and brakePower. */
export function dryAirForPower(
  brakePowerW: number,
  bsfcKgPerJ: number,
  lambda: number,
  stoichiometricAirFuelRatio: number,
): number {
  return brakePowerW * bsfcKgPerJ * lambda * stoichiometricAirFuelRatio;
}

/** Power at the wheels, W; the driveline loss is a share of brake power, 0 <= loss < 1. */
export function wheelPower(brakePowerW: number, drivelineLoss: number): number {
  return brakePowerW * (1 - drivelineLoss);
}

/** Torque, N m, of a power in W at an engine speed in rev/min above 0. */
export function torque(powerW: number, engineSpeedRpm: number): number {
  return (powerW * 60) / (2 * Math.PI * engineSpeedRpm);
}

/** Brake thermal efficiency: 1 / (bsfc times lower heating value). */
export function thermalEfficiency(bsfcKgPerJ: number, lowerHeatingValueJPerKg: number): number {
  return 1 / (bsfcKgPerJ * lowerHeatingValueJPerKg);
}
