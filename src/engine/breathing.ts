import type { Fuel } from './fuels.ts';

/**
 * Volume that the pistons sweep for intake, m3/s: Vd n / 120 for a four-stroke, Vd n / 60 for a two-stroke.
 * @param displacementM3 of all cylinders
 * @param strokesPerCycle 2 or 4
 * @param engineSpeedRpm rev/min
 */
export function sweptVolumeFlow(displacementM3: number, strokesPerCycle: 2 | 4, engineSpeedRpm: number): number {
  return (displacementM3 * engineSpeedRpm) / (strokesPerCycle === 4 ? 120 : 60);
}

export interface FuelVapourInput {
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

export interface BreathingInput {
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
