import type {
  OperatingPoint,
  OperatingPointMissing,
  OperatingPointSolved,
  TurbineState,
} from '../../src/match/types.ts';

/** A turbine's state for tests of what is said; numbers chosen by hand, not computed. */
export function turbineState(changed: Partial<TurbineState> = {}): TurbineState {
  return {
    heldBy: 'goal',
    reachedShare: 1,
    gateAreaM2: 1e-4,
    gateOpening: null,
    inletTemperatureK: 1173.15,
    temperatureEstimated: false,
    outletPressurePa: 112_000,
    outletTemperatureK: 1050,
    massFlowKgPerS: 0.2,
    flowParameterM2: 6e-4,
    reducedSpeed: 210,
    efficiency: 0.68,
    speedRatio: null,
    powerW: 30_000,
    choked: false,
    extended: false,
    breathingFactor: 0.98,
    ...changed,
  };
}

/** A point at an engine speed with a turbine: held with this share past the gate, or (below 0) short of the goal by that share. */
export function drivenPoint(
  engineSpeedRpm: number,
  shareOrShort: number,
  changed: Partial<OperatingPointSolved> = {},
  turbine: Partial<TurbineState> = {},
): OperatingPointSolved {
  const reachedShare = Math.min(1, 1 + shareOrShort);
  return {
    engineSpeedRpm,
    status: 'ok',
    region: 'inside',
    extended: false,
    belowLowestLine: false,
    efficiencyAssumed: false,
    airMassFlowKgPerS: engineSpeedRpm * 4e-5,
    correctedMassFlowKgPerS: engineSpeedRpm * 4.1e-5,
    pressureRatio: 2.2 * reachedShare,
    efficiency: 0.74,
    correctedSpeedRpm: 120_000,
    shaftSpeedRpm: 121_000,
    compressorInletPressurePa: 98_000,
    compressorInletTemperatureK: 298.15,
    compressorOutletTemperatureK: 400,
    compressorOutletPressurePa: 215_000,
    manifoldTemperatureK: 320,
    manifoldPressurePa: 211_325 * reachedShare,
    fuelMassFlowKgPerS: engineSpeedRpm * 3e-6,
    brakePowerW: engineSpeedRpm * 35,
    wheelPowerW: engineSpeedRpm * 30,
    torqueNm: 334,
    compressorPowerW: 26_000,
    tipSpeedMPerS: null,
    speedMargin: 0.12,
    surgeMargin: 0.2,
    surgeFlowDistance: null,
    chokeMargin: 0.3,
    injectorDuty: null,
    turbineInletPressurePa: 250_000,
    backPressureRatio: 1.18,
    expansionRatio: 2.23,
    wastegateShare: Math.max(0, shareOrShort),
    turbine: turbineState({ heldBy: shareOrShort < 0 ? 'turbine' : 'goal', reachedShare, ...turbine }),
    ...changed,
  };
}

export function missingPoint(engineSpeedRpm: number, status: OperatingPointMissing['status']): OperatingPoint {
  return { engineSpeedRpm, status, message: 'There is none.' };
}
