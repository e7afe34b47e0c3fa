import { DRY_AIR_GAS_CONSTANT, density, dryMassFraction, type GasMixture, moistAir } from '../air/index.ts';
import { dependsOnFlow, FUELS, type Fuel, lossCoefficient } from '../engine/index.ts';
import type { MatchInput } from './types.ts';

/** What is the same at every engine speed of a line, worked out once. SI. */
export interface LineModel {
  input: MatchInput;
  fuel: Fuel;
  gas: GasMixture;
  dryShare: number;
  /** p0/(R T0), before any heating: the density that the inlet loss refers to. */
  ambientDensityKgPerM3: number;
  /** T01 */
  inletTemperatureK: number;
  /** h01 */
  inletEnthalpyJPerKg: number;
  /** s0(T01) */
  inletEntropyJPerKgK: number;
  /** cp(T01) */
  inletSpecificHeatJPerKgK: number;
  inletLossCoefficient: number;
  chargeLossCoefficient: number;
  /** Of the exhaust system; 0 without a turbine. */
  exhaustLossCoefficient: number;
  coolerDependsOnFlow: boolean;
  /** Wc = W flowFactor / p01 */
  flowFactor: number;
  /** N = Nc speedFactor */
  speedFactor: number;
}

/** @returns the model, or null when the vapour fraction is impossible (the input check says so before). */
export function lineModel(input: MatchInput): LineModel | null {
  const { ambient, inletPath, chargePath, compressor } = input;
  const gas = moistAir(ambient.vapourMoleFraction);
  const dryShare = dryMassFraction(ambient.vapourMoleFraction);
  if (gas === null || dryShare === null) return null;
  const inletTemperatureK = ambient.temperatureK + inletPath.heatingK;
  const { temperatureK, pressurePa } = compressor.reference;
  const speedFactor = Math.sqrt((gas.gasConstant * inletTemperatureK) / (DRY_AIR_GAS_CONSTANT * temperatureK));
  return {
    input,
    fuel: FUELS[input.engine.fuel],
    gas,
    dryShare,
    ambientDensityKgPerM3: density(gas, ambient.pressurePa, ambient.temperatureK),
    inletTemperatureK,
    inletEnthalpyJPerKg: gas.enthalpy(inletTemperatureK),
    inletEntropyJPerKgK: gas.entropyFunction(inletTemperatureK),
    inletSpecificHeatJPerKgK: gas.specificHeat(inletTemperatureK),
    inletLossCoefficient: lossCoefficient(inletPath),
    chargeLossCoefficient: lossCoefficient(chargePath),
    exhaustLossCoefficient: input.turbine === undefined ? 0 : lossCoefficient(input.turbine.exhaustLoss),
    coolerDependsOnFlow: dependsOnFlow(chargePath.cooler),
    flowFactor: speedFactor * pressurePa,
    speedFactor,
  };
}

/** Outlet temperature that no charge reaches: a loop that runs into it has no solution. */
export const HOTTEST_OUTLET_K = 3000;

/** T02 of a compression from the compressor inlet, K; HOTTEST_OUTLET_K where it would be hotter; T01 at a pressure ratio up to 1. */
export function outletTemperature(model: LineModel, pressureRatio: number, efficiency: number): number {
  const { gas, inletTemperatureK: T01 } = model;
  if (pressureRatio <= 1) return T01;
  // As isentropicEnthalpyRise of src/air, with what belongs to the inlet worked out once a line: this is where a study spends its time.
  const rise = gas.gasConstant * Math.log(pressureRatio);
  const ideal = gas.temperatureAtEntropyFunction(
    model.inletEntropyJPerKgK + rise,
    Math.min(5000, T01 * Math.exp(rise / model.inletSpecificHeatJPerKgK)),
  );
  if (ideal === null) return HOTTEST_OUTLET_K;
  const work = (gas.enthalpy(ideal) - model.inletEnthalpyJPerKg) / efficiency;
  const middle = Math.min(HOTTEST_OUTLET_K, T01 + work / 2100);
  const guess = Math.min(HOTTEST_OUTLET_K, T01 + work / gas.specificHeat(middle));
  const T = gas.temperatureAtEnthalpy(model.inletEnthalpyJPerKg + work, guess);
  return T === null ? HOTTEST_OUTLET_K : Math.min(T, HOTTEST_OUTLET_K);
}
