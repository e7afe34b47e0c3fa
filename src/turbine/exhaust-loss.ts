import type { TurbineInput } from './types.ts';

/** A loss that goes with W^2 / rho. */
type LossMeasured = TurbineInput['exhaustLoss'];

/**
 * Pressure loss of the exhaust system, Pa: dp = K W^2 / rho, K from the loss at one flow and density.
 * @param loss as measured; atMassFlowKgPerS and atDensityKgPerM3 above 0
 * @param massFlowKgPerS all of the exhaust, turbine and gate together
 * @param densityKgPerM3 of the exhaust at ambient pressure and its temperature behind the turbine
 */
export function exhaustLoss(loss: LossMeasured, massFlowKgPerS: number, densityKgPerM3: number): number {
  const share = massFlowKgPerS / loss.atMassFlowKgPerS;
  return (loss.lossPa * share * share * loss.atDensityKgPerM3) / densityKgPerM3;
}
