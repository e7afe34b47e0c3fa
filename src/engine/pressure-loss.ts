import type { LossInput } from './types.ts';

/**
 * Coefficient K of a loss that grows as dp = K W^2 / rho, from one measured loss.
 * @returns Pa kg/m3 / (kg/s)^2, 0 for a path without loss
 */
export function lossCoefficient(loss: LossInput): number {
  return (loss.lossPa * loss.atDensityKgPerM3) / (loss.atMassFlowKgPerS * loss.atMassFlowKgPerS);
}

/**
 * Pressure loss of a filter, duct or cooler: turbulent, so with the square of the flow and inversely with density.
 * @param coefficient of lossCoefficient
 * @param massFlowKgPerS kg/s
 * @param densityKgPerM3 at the inlet of the path
 * @returns Pa
 */
export function pressureLoss(coefficient: number, massFlowKgPerS: number, densityKgPerM3: number): number {
  return (coefficient * massFlowKgPerS * massFlowKgPerS) / densityKgPerM3;
}

/**
 * Pressure before a path whose end pressure is known, the density being that of the gas before it: the positive root of
 * p^2 - p_end p - K W^2 R T = 0.
 * @param endPressurePa absolute
 * @returns Pa, at least endPressurePa
 */
export function pressureBefore(
  endPressurePa: number,
  coefficient: number,
  massFlowKgPerS: number,
  gasConstant: number,
  temperatureK: number,
): number {
  const half = endPressurePa / 2;
  return half + Math.sqrt(half * half + coefficient * massFlowKgPerS * massFlowKgPerS * gasConstant * temperatureK);
}
