import { mapMargins } from '../compressor/index.ts';
import { brakePower, fuelMassFlow, injectorDuty, torque, wheelPower } from '../engine/index.ts';
import type { LineModel } from './line-model.ts';
import type { SpeedSolution } from './solve-speed.ts';
import type { SpeedModel } from './speed-model.ts';
import type { OperatingPointSolved } from './types.ts';

type Solution = Extract<SpeedSolution, { ok: true }>;

/** Everything that a point reports, from the solved loop: powers, shaft speed and margins. */
export function solvedPoint(line: LineModel, speed: SpeedModel, solution: Solution): OperatingPointSolved {
  const { input, gas, fuel } = line;
  const { state } = solution;
  const W = state.airMassFlowKgPerS;
  const fuelFlow = fuelMassFlow(W * line.dryShare, speed.lambda, fuel.stoichiometricAirFuelRatio);
  const brakePowerW = brakePower(fuelFlow, speed.bsfcKgPerJ);
  const supply = input.engine.fuelSupply;
  const duty = supply && injectorDuty(supply, fuel, fuelFlow, state.manifoldPressurePa, input.ambient.pressurePa);
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
    turbineInletPressurePa: null,
    backPressureRatio: null,
    expansionRatio: null,
    wastegateShare: null,
    turbine: null,
    ...shaft(line, solution),
    ...mapMargins(input.compressor, solution.correctedSpeedRpm, state.correctedMassFlowKgPerS, state.pressureRatio),
  };
}

type Shaft = Pick<OperatingPointSolved, 'correctedSpeedRpm' | 'shaftSpeedRpm' | 'tipSpeedMPerS' | 'speedMargin'>;

function shaft(line: LineModel, solution: Solution): Shaft {
  const { correctedSpeedRpm } = solution;
  const shaftSpeedRpm = correctedSpeedRpm * line.speedFactor;
  const exducerMm = line.input.compressor.wheel.exducerMm;
  const limit = shaftSpeedLimit(line.input);
  return {
    correctedSpeedRpm,
    shaftSpeedRpm,
    tipSpeedMPerS: exducerMm === undefined ? null : (Math.PI * (exducerMm / 1000) * shaftSpeedRpm) / 60,
    speedMargin: limit === undefined ? null : 1 - shaftSpeedRpm / limit,
  };
}

/** The limit entered for this turbo, else the one on the map's sheet. */
export function shaftSpeedLimit(input: LineModel['input']): number | undefined {
  return input.limits.shaftSpeedRpm ?? input.compressor.limits.shaftSpeedRpm;
}
