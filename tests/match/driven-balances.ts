import { exhaustMixture, type GasMixture } from '../../src/air/index.ts';
import { FUELS } from '../../src/engine/index.ts';
import type { MatchInput, OperatingPointSolved } from '../../src/match/index.ts';
import { estimatedInletTemperature, heatLossShare } from '../../src/turbine/index.ts';
import type { TurbineInput } from '../../src/turbine/types.ts';
import { balances, curveAt, integral as simpson } from './balances.ts';

/** Of a solved point with a turbine: the exhaust as the test makes it from the input alone. */
export interface TestExhaust {
  gas: GasMixture;
  temperatureK: number;
  fuelFlowKgPerS: number;
  /** W + fuel */
  flowKgPerS: number;
}

export function exhaustOf(point: OperatingPointSolved, input: MatchInput, turbine: TurbineInput): TestExhaust {
  const { engine, ambient } = input;
  const fuel = FUELS[engine.fuel];
  const n = point.engineSpeedRpm;
  const lambda = curveAt(engine.lambda, n);
  const entered = turbine.inletTemperatureK;
  const base =
    entered === undefined
      ? estimatedInletTemperature({
          fuel: fuel.composition,
          lhvJPerKg: fuel.lowerHeatingValueJPerKg,
          lambda,
          bsfcKgPerJ: curveAt(engine.bsfcKgPerJ, n),
          vapourMoleFraction: ambient.vapourMoleFraction,
          heatLossShare: heatLossShare(n, engine.displacementM3, engine.cylinders),
        })!
      : curveAt(entered, n);
  return {
    gas: exhaustMixture(fuel.composition, lambda, ambient.vapourMoleFraction)!,
    temperatureK: base + (turbine.inletTemperatureShiftK ?? 0),
    fuelFlowKgPerS: point.fuelMassFlowKgPerS,
    flowKgPerS: point.airMassFlowKgPerS + point.fuelMassFlowKgPerS,
  };
}

/** Expansions span up to a thousand kelvin: in four pieces Simpson's rule keeps nine digits. */
function integral(f: (T: number) => number, from: number, to: number): number {
  const step = (to - from) / 4;
  return [0, 1, 2, 3].reduce((sum, i) => sum + simpson(f, from + i * step, from + (i + 1) * step), 0);
}

/**
 * h03 - h4s by Simpson's rule over the heat capacity, the outlet temperature by Newton's steps on the integral of cp/T, J/kg: neither the
 * enthalpy nor the entropy of src/air.
 */
export function isentropicDrop(gas: GasMixture, T3: number, expansionRatio: number): number {
  const wanted = gas.gasConstant * Math.log(expansionRatio);
  let T = T3 * expansionRatio ** -0.22;
  for (let i = 0; i < 20; i++) {
    const step = integral((t) => gas.specificHeat(t) / t, T, T3) - wanted;
    T += (step * T) / gas.specificHeat(T);
    if (Math.abs(step) < 1e-13 * gas.gasConstant) break;
  }
  return integral((t) => gas.specificHeat(t), T, T3);
}

/** U/C0 from the shaft speed that is reported. */
function speedRatio(turbine: TurbineInput, shaftSpeedRpm: number, drop: number): number | null {
  const { efficiency } = turbine;
  if (efficiency.kind !== 'speed-ratio') return null;
  return ((shaftSpeedRpm / 60) * Math.PI * efficiency.wheelDiameterM) / Math.sqrt(2 * drop);
}

export function efficiencyOf(turbine: TurbineInput, ratio: number, reducedSpeed: number, uOverC: number | null) {
  const { efficiency, efficiencyShift = 0 } = turbine;
  if (efficiency.kind === 'number') return efficiency.value + efficiencyShift;
  if (efficiency.kind === 'sheet') return turbine.capacity.efficiency(ratio, reducedSpeed)! + efficiencyShift;
  const off = (uOverC! - efficiency.optimum) / efficiency.optimum;
  return efficiency.best * (1 - off * off) + efficiencyShift;
}

/**
 * Every balance of a point with a turbine, recomputed from what the point reports and the input alone; each entry is a relative residual
 * that should vanish. Sources: physics.md sections 5 and 7, which are Heywood chapters 5 and 6 for the breathing (from memory), the first
 * law over the shaft, and continuity through the turbine.
 */
export function drivenBalances(point: OperatingPointSolved, input: MatchInput): Record<string, number> {
  const { turbine: state } = point;
  const { turbine } = input;
  if (state === null || turbine === undefined) throw new Error('no turbine');
  const [p3, ratio, share] = [point.turbineInletPressurePa!, point.expansionRatio!, point.wastegateShare!];
  const { gas, temperatureK: T3, fuelFlowKgPerS, flowKgPerS } = exhaustOf(point, input, turbine);
  const { breathing, goal, ...compressor } = balances(point, input);
  const rootRT = Math.sqrt(gas.gasConstant * T3);
  const reducedSpeed = point.shaftSpeedRpm / rootRT;
  const drop = isentropicDrop(gas, T3, ratio);
  const uOverC = speedRatio(turbine, point.shaftSpeedRpm, drop);
  const efficiency = efficiencyOf(turbine, ratio, reducedSpeed, uOverC);
  const capacity = turbine.capacity.flowParameter(ratio, reducedSpeed) * (turbine.capacityFactor ?? 1);
  const p0 = input.ambient.pressurePa;
  const { lossPa, atMassFlowKgPerS, atDensityKgPerM3 } = turbine.exhaustLoss;
  const density = p0 / (gas.gasConstant * T3);
  const p4 = p0 + lossPa * (flowKgPerS / atMassFlowKgPerS) ** 2 * (atDensityKgPerM3 / density);
  const cp = gas.specificHeat(T3);
  const inverseGamma = (cp - gas.gasConstant) / cp;
  const compression = input.engine.compressionRatio;
  const ideal = (q: number) => (compression - q ** inverseGamma) / (compression - 1);
  const factor = ideal(p3 / point.manifoldPressurePa) / ideal(turbine.measuredBackPressureRatio ?? 1);
  const off = (a: number, b: number) => a / b - 1;
  return {
    ...compressor,
    // A share past the gate near 1 leaves few digits of what goes through the turbine: held against the whole exhaust.
    mass: (state.massFlowKgPerS - (1 - share) * flowKgPerS) / flowKgPerS,
    capacity: off((state.massFlowKgPerS * rootRT) / p3, capacity),
    flowParameter: off(state.flowParameterM2, capacity),
    energy: off(state.massFlowKgPerS * drop * efficiency * turbine.mechanicalEfficiency, point.compressorPowerW),
    power: off(state.powerW * turbine.mechanicalEfficiency, point.compressorPowerW),
    efficiencyOfTurbine: off(state.efficiency, efficiency),
    speedRatio: uOverC === null ? 0 : off(state.speedRatio!, uOverC),
    reducedSpeed: off(state.reducedSpeed, reducedSpeed),
    outletPressure: off(state.outletPressurePa, p4),
    expansion: off(ratio * p4, p3),
    backPressure: off(point.backPressureRatio! * point.manifoldPressurePa, p3),
    inletTemperature: off(state.inletTemperatureK, T3),
    outletEnthalpy: off(
      integral((T) => gas.specificHeat(T), state.outletTemperatureK, T3),
      efficiency * drop,
    ),
    // `breathing` of the compressor's balances is what the entered volumetric efficiency gives over what the point draws.
    breathing: (1 + breathing!) * factor - 1,
    breathingFactor: off(state.breathingFactor, factor),
    fuelOfPower: off(fuelFlowKgPerS, point.fuelMassFlowKgPerS),
    // Absolute: of a goal out of all reason next to nothing is reached.
    goal: state.heldBy === 'goal' ? goal! : state.reachedShare - (1 + goal!),
  };
}
