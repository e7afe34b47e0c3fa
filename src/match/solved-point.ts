import { mapMargins } from '../compressor/index.ts';
import { brakePower, fuelMassFlow, injectorDuty, torque, wheelPower } from '../engine/index.ts';
import type { Driven } from './driven-loop.ts';
import type { ExhaustModel } from './exhaust-model.ts';
import type { LineModel } from './line-model.ts';
import type { SpeedSolution } from './solve-speed.ts';
import type { SpeedModel } from './speed-model.ts';
import type { OperatingPointSolved, TurbineState } from './types.ts';

type Solution = Extract<SpeedSolution, { ok: true }>;

/** Everything that a point reports, from the solved loop without a turbine: powers, shaft speed and margins. */
export function solvedPoint(line: LineModel, speed: SpeedModel, solution: Solution): OperatingPointSolved {
  return compressorSide(line, speed, solution);
}

/**
 * The same with the turbine in balance.
 * @param heldBy what holds the point: the gate, or the turbine at its end
 */
export function drivenPoint(
  line: LineModel,
  speed: SpeedModel,
  exhaust: ExhaustModel,
  driven: Driven,
  heldBy: TurbineState['heldBy'],
): OperatingPointSolved {
  // Set, not spread: copying thirty fields costs more than solving for them.
  const point = compressorSide(line, speed, driven.solution);
  point.turbineInletPressurePa = driven.inletPressurePa;
  point.backPressureRatio = driven.backPressureRatio;
  point.expansionRatio = driven.expansion.ratio;
  point.wastegateShare = driven.wastegateShare;
  point.turbine = turbineState(line, speed, exhaust, driven, heldBy);
  return point;
}

function turbineState(
  line: LineModel,
  speed: SpeedModel,
  exhaust: ExhaustModel,
  driven: Driven,
  heldBy: TurbineState['heldBy'],
): TurbineState {
  const { expansion } = driven;
  const { capacity } = exhaust.turbine;
  const reducedSpeed = (driven.solution.correctedSpeedRpm * line.speedFactor) / exhaust.rootRT;
  const { goal } = speed;
  const { manifoldPressurePa, airMassFlowKgPerS } = driven.solution.state;
  const reached =
    goal.kind === 'pressure'
      ? manifoldPressurePa / goal.manifoldPressurePa
      : airMassFlowKgPerS / goal.airMassFlowKgPerS;
  const outletEnthalpy = exhaust.enthalpyJPerKg - expansion.efficiency * expansion.isentropicDropJPerKg;
  return {
    heldBy,
    reachedShare: heldBy === 'goal' ? 1 : reached,
    inletTemperatureK: exhaust.temperatureK,
    temperatureEstimated: exhaust.temperatureEstimated,
    outletPressurePa: driven.outletPressurePa,
    outletTemperatureK: exhaust.gas.temperatureAtEnthalpy(outletEnthalpy, exhaust.temperatureK) ?? exhaust.temperatureK,
    massFlowKgPerS: expansion.massFlowKgPerS,
    flowParameterM2: expansion.flowParameterM2,
    reducedSpeed,
    efficiency: expansion.efficiency,
    speedRatio: expansion.speedRatio,
    powerW: expansion.powerW,
    choked: capacity.isChoked(expansion.ratio, reducedSpeed),
    extended: capacity.isExtended(expansion.ratio, reducedSpeed),
    breathingFactor: driven.breathingFactor,
  };
}

function compressorSide(line: LineModel, speed: SpeedModel, solution: Solution): OperatingPointSolved {
  const { input, gas, fuel } = line;
  const { state } = solution;
  const W = state.airMassFlowKgPerS;
  const fuelFlow = fuelMassFlow(W * line.dryShare, speed.lambda, fuel.stoichiometricAirFuelRatio);
  const brakePowerW = brakePower(fuelFlow, speed.bsfcKgPerJ);
  const supply = input.engine.fuelSupply;
  const duty = supply && injectorDuty(supply, fuel, fuelFlow, state.manifoldPressurePa, input.ambient.pressurePa);
  const { correctedSpeedRpm } = solution;
  const shaftSpeedRpm = correctedSpeedRpm * line.speedFactor;
  const { exducerMm } = input.compressor.wheel;
  const limit = shaftSpeedLimit(input);
  const margins = mapMargins(input.compressor, correctedSpeedRpm, state.correctedMassFlowKgPerS, state.pressureRatio);
  return {
    engineSpeedRpm: speed.engineSpeedRpm,
    status: 'ok',
    region: solution.surface.region,
    extended: solution.surface.extended,
    efficiencyAssumed: solution.efficiencyAssumed,
    airMassFlowKgPerS: W,
    correctedMassFlowKgPerS: state.correctedMassFlowKgPerS,
    pressureRatio: state.pressureRatio,
    efficiency: solution.efficiency,
    compressorInletPressurePa: state.inletPressurePa,
    compressorInletTemperatureK: line.inletTemperatureK,
    compressorOutletTemperatureK: state.outletTemperatureK,
    compressorOutletPressurePa: state.outletPressurePa,
    manifoldTemperatureK: state.manifoldTemperatureK,
    manifoldPressurePa: state.manifoldPressurePa,
    fuelMassFlowKgPerS: fuelFlow,
    brakePowerW,
    wheelPowerW: wheelPower(brakePowerW, input.engine.drivelineLoss),
    torqueNm: torque(brakePowerW, speed.engineSpeedRpm),
    compressorPowerW: W * (gas.enthalpy(state.outletTemperatureK) - line.inletEnthalpyJPerKg),
    injectorDuty: duty?.ok ? duty.duty : null,
    correctedSpeedRpm,
    shaftSpeedRpm,
    tipSpeedMPerS: exducerMm === undefined ? null : (Math.PI * (exducerMm / 1000) * shaftSpeedRpm) / 60,
    speedMargin: limit === undefined ? null : 1 - shaftSpeedRpm / limit,
    surgeMargin: margins.surgeMargin,
    surgeFlowDistance: margins.surgeFlowDistance,
    chokeMargin: margins.chokeMargin,
    turbineInletPressurePa: null,
    backPressureRatio: null,
    expansionRatio: null,
    wastegateShare: null,
    turbine: null,
  };
}

/** The limit entered for this turbo, else the one on the map's sheet. */
export function shaftSpeedLimit(input: LineModel['input']): number | undefined {
  return input.limits.shaftSpeedRpm ?? input.compressor.limits.shaftSpeedRpm;
}
