import type { Fuel } from './fuels.ts';
import type { CoolerInput, LossInput, PathOf } from './types.ts';

/**
 * Volume that the pistons sweep for intake, m3/s: Vd n / 120 for a four-stroke, Vd n / 60 for a two-stroke.
 * @param displacementM3 of all cylinders
 * @param strokesPerCycle 2 or 4
 * @param engineSpeedRpm rev/min
 */
export function sweptVolumeFlow(displacementM3: number, strokesPerCycle: 2 | 4, engineSpeedRpm: number): number {
  return (displacementM3 * engineSpeedRpm) / (strokesPerCycle === 4 ? 120 : 60);
}

interface FuelVapourInput {
  injection: 'port' | 'direct';
  fuel: Fuel;
  lambda: number;
  /** Of the air drawn, 0 <= x < 1. */
  vapourMoleFraction: number;
  dryMassFraction: number;
  /** Of the moist air, kg/mol. */
  airMolarMassKgPerMol: number;
}

/**
 * Share of the manifold pressure that is left to the moist air when fuel vapour takes its partial pressure:
 * 1 / (1 + moles of fuel vapour per mole of moist air). 1 with direct injection, which puts the fuel in after the valve.
 *
 * Source: Heywood, Internal Combustion Engine Fundamentals, eq. 6.2 (from memory), there for the dry air alone.
 *
 * @returns 0 < share <= 1
 */
export function airPressureShare(input: FuelVapourInput): number {
  if (input.injection === 'direct') return 1;
  const { fuel } = input;
  const fuelPerKgAir = input.dryMassFraction / (input.lambda * fuel.stoichiometricAirFuelRatio);
  const molesPerMole = (fuelPerKgAir * input.airMolarMassKgPerMol) / fuel.molarMassKgPerMol;
  return 1 / (1 + fuel.portEvaporatedShare * molesPerMole);
}

interface BreathingInput {
  /** Referred to manifold conditions. */
  volumetricEfficiency: number;
  /** m3/s, see sweptVolumeFlow */
  sweptVolumeFlowM3PerS: number;
  /** Absolute. */
  manifoldPressurePa: number;
  manifoldTemperatureK: number;
  /** Of the moist air, J/(kg K) */
  gasConstant: number;
  /** See airPressureShare. */
  airPressureShare: number;
}

/**
 * Mass flow of moist air that an engine draws, kg/s: volumetric efficiency times swept volume flow times density in the manifold.
 * Source: Heywood eq. 2.27 (from memory). All inputs positive.
 */
export function airMassFlow(input: BreathingInput): number {
  const airPressurePa = input.manifoldPressurePa * input.airPressureShare;
  const densityKgPerM3 = airPressurePa / (input.gasConstant * input.manifoldTemperatureK);
  return input.volumetricEfficiency * input.sweptVolumeFlowM3PerS * densityKgPerM3;
}

/**
 * Effectiveness of a charge cooler at a flow: a constant, or linear between entered flows and constant outside them.
 * @param cooler entered flows in rising order
 * @param massFlowKgPerS of charge air
 * @returns 0..1; 0 without a cooler
 */
export function coolerEffectiveness(cooler: CoolerInput, massFlowKgPerS: number): number {
  if (cooler.kind === 'none') return 0;
  const points = cooler.effectivenessAtFlow;
  const first = points?.[0];
  if (points === undefined || first === undefined) return cooler.effectiveness;
  let below = first;
  for (const point of points) {
    if (massFlowKgPerS <= point.massFlowKgPerS) {
      const width = point.massFlowKgPerS - below.massFlowKgPerS;
      const share = width > 0 ? (massFlowKgPerS - below.massFlowKgPerS) / width : 1;
      return below.effectiveness + share * (point.effectiveness - below.effectiveness);
    }
    below = point;
  }
  return below.effectiveness;
}

/** True where the effectiveness changes with flow. */
export function dependsOnFlow(cooler: CoolerInput): boolean {
  return cooler.kind === 'cooler' && (cooler.effectivenessAtFlow?.length ?? 0) > 1;
}

/**
 * Temperature after the cooler: T - effectiveness (T - coolant temperature). A coolant warmer than the charge heats it.
 * @param temperatureK before it, K
 * @returns K; the temperature before it without a cooler
 */
export function cooledTemperature(cooler: CoolerInput, massFlowKgPerS: number, temperatureK: number): number {
  if (cooler.kind === 'none') return temperatureK;
  return temperatureK - coolerEffectiveness(cooler, massFlowKgPerS) * (temperatureK - cooler.coolantTemperatureK);
}

/**
 * Coefficient K of a loss that grows as dp = K W^2 / rho, from one measured loss.
 * @param turbos equal ones in parallel: W is the flow of one of them, through a branch of its own, or together with the others through a
 *   path that they share, where dp = K (turbos W)^2 / rho
 * @returns Pa kg/m3 / (kg/s)^2, 0 for a path without loss
 */
export function lossCoefficient(loss: LossInput, turbos = 1): number {
  const measured = (loss.lossPa * loss.atDensityKgPerM3) / (loss.atMassFlowKgPerS * loss.atMassFlowKgPerS);
  return loss.of === 'shared' ? measured * turbos * turbos : measured;
}

/** The cooler of a path over the flow of one of several turbos: where they share it, its flows are divided by their number. */
export function coolerOfOne(
  { cooler, of }: { cooler: CoolerInput; of?: PathOf | undefined },
  turbos: number,
): CoolerInput {
  if (of !== 'shared' || turbos === 1 || cooler.kind === 'none' || cooler.effectivenessAtFlow === undefined)
    return cooler;
  const effectivenessAtFlow = cooler.effectivenessAtFlow.map((point) => ({
    ...point,
    massFlowKgPerS: point.massFlowKgPerS / turbos,
  }));
  return { ...cooler, effectivenessAtFlow };
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
