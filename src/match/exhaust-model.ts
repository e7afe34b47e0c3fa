import { exhaustMixture, type GasMixture } from '../air/index.ts';
import { pressureLoss } from '../engine/index.ts';
import { evaluateCurve } from '../numerics/index.ts';
import { estimatedInletTemperature, heatLossShare } from '../turbine/index.ts';
import type { TurbineInput } from '../turbine/types.ts';
import type { LineModel } from './line-model.ts';

/** The exhaust of one engine speed as the turbine sees it, worked out once: it does not depend on the boost. */
export interface ExhaustModel {
  turbine: TurbineInput;
  gas: GasMixture;
  /** T03 */
  temperatureK: number;
  temperatureEstimated: boolean;
  /** h03 */
  enthalpyJPerKg: number;
  /** s0(T03) */
  entropyJPerKgK: number;
  /** sqrt(R T03) */
  rootRT: number;
  /** Fuel per moist air, kg/kg. */
  fuelShare: number;
  /** See breathingFactor. */
  breathing: { compressionRatio: number; inverseGamma: number; atMeasured: number };
}

/** Colder than any exhaust that drives a turbine, hotter than any that one survives: bounds against slips of unit. */
const COLDEST_K = 400;
const HOTTEST_K = 1800;

/** The exhaust of a speed; a lambda so rich that the carbon does not burn to CO has none. */
export function exhaustModel(
  line: LineModel,
  turbine: TurbineInput,
  engineSpeedRpm: number,
  lambda: number,
  bsfcKgPerJ: number,
): { ok: true; exhaust: ExhaustModel } | { ok: false; message: string } {
  const { fuel, input } = line;
  const { vapourMoleFraction } = input.ambient;
  const gas = exhaustMixture(fuel.composition, lambda, vapourMoleFraction);
  if (gas === null) {
    return { ok: false, message: 'Lambda is too rich for the exhaust to be computed: enter a leaner one.' };
  }
  const temperatureK = inletTemperature(line, turbine, gas, engineSpeedRpm, lambda, bsfcKgPerJ);
  if (typeof temperatureK === 'string') return { ok: false, message: temperatureK };
  const inverseGamma = 1 / gas.gamma(temperatureK);
  return {
    ok: true,
    exhaust: {
      turbine,
      gas,
      temperatureK,
      temperatureEstimated: turbine.inletTemperatureK === undefined,
      enthalpyJPerKg: gas.enthalpy(temperatureK),
      entropyJPerKgK: gas.entropyFunction(temperatureK),
      rootRT: Math.sqrt(gas.gasConstant * temperatureK),
      fuelShare: line.dryShare / (lambda * fuel.stoichiometricAirFuelRatio),
      breathing: {
        compressionRatio: input.engine.compressionRatio,
        inverseGamma,
        atMeasured: (turbine.measuredBackPressureRatio ?? 1) ** inverseGamma,
      },
    },
  };
}

/** T03, K, or one sentence why there is none. */
function inletTemperature(
  { fuel, input, gas: air }: LineModel,
  turbine: TurbineInput,
  exhaust: GasMixture,
  engineSpeedRpm: number,
  lambda: number,
  bsfcKgPerJ: number,
): number | string {
  const entered = turbine.inletTemperatureK;
  const base =
    entered === undefined
      ? estimatedInletTemperature({
          fuel: fuel.composition,
          lhvJPerKg: fuel.lowerHeatingValueJPerKg,
          lambda,
          bsfcKgPerJ,
          vapourMoleFraction: input.ambient.vapourMoleFraction,
          heatLossShare: heatLossShare(engineSpeedRpm, input.engine.displacementM3, input.engine.cylinders),
          gases: { air, exhaust },
        })
      : evaluateCurve(entered, engineSpeedRpm);
  if (base === null) {
    return 'The turbine inlet temperature cannot be estimated from this lambda and consumption: check both, or enter the temperature.';
  }
  const temperatureK = base + (turbine.inletTemperatureShiftK ?? 0);
  if (temperatureK >= COLDEST_K && temperatureK <= HOTTEST_K) return temperatureK;
  const words = entered === undefined ? 'as estimated from lambda and consumption ' : '';
  return `The turbine inlet temperature ${words}is out of range: it must be from 127 to 1527 °C (260 to 2780 °F).`;
}

/**
 * What back-pressure does to the volumetric efficiency: burnt gas that stays in the clearance volume expands (or is compressed) to
 * manifold pressure and takes the place of fresh charge. (r_c - (p3/p_m)^(1/gamma)) / (r_c - 1) for an ideal cycle with isentropic
 * blow-down, here over its value at the p3/p_m at which the efficiency was measured. Left out: heat and mixing of the residual gas, with
 * which the same cycle has (p3/p_m - 1)/gamma in place of (p3/p_m)^(1/gamma) - 1 (Heywood, section 6.2): as steep at 1, and 1 % less at 2.
 * Source: the ideal-cycle residual gas of Heywood, Internal Combustion Engine Fundamentals, chapters 5 and 6 (from memory).
 *
 * @param backPressureRatio p3/p_m, above 0
 * @returns below 1 for more back-pressure than measured; 0 or less where the residual gas fills the cylinder
 */
export function breathingFactor(exhaust: ExhaustModel, backPressureRatio: number): number {
  const { compressionRatio, inverseGamma, atMeasured } = exhaust.breathing;
  return (compressionRatio - backPressureRatio ** inverseGamma) / (compressionRatio - atMeasured);
}

/**
 * p4, Pa: ambient plus the loss of the exhaust system behind the turbine, its density at ambient pressure and T03. The gas is colder behind
 * the turbine but not behind the gate, and one density for both keeps the loss apart from the balance: it errs to more back-pressure.
 * @param exhaustFlowKgPerS all of the exhaust of a turbo, turbine and gate together
 */
export function turbineOutletPressure(line: LineModel, exhaust: ExhaustModel, exhaustFlowKgPerS: number): number {
  const p0 = line.input.ambient.pressurePa;
  return p0 + pressureLoss(line.exhaustLossCoefficient, exhaustFlowKgPerS, p0 / (exhaust.rootRT * exhaust.rootRT));
}
