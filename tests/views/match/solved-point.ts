import type { OperatingPointSolved } from '../../../src/match/index.ts';

/** A plausible solved point for tests of wording and tables; numbers chosen by hand, not computed. */
export function solvedExample(changed: Partial<OperatingPointSolved> = {}): OperatingPointSolved {
  return {
    engineSpeedRpm: 6400,
    status: 'ok',
    region: 'inside',
    extended: false,
    efficiencyAssumed: false,
    airMassFlowKgPerS: 0.25,
    correctedMassFlowKgPerS: 0.262,
    pressureRatio: 2.456,
    efficiency: 0.7412,
    correctedSpeedRpm: 146_900,
    shaftSpeedRpm: 148_213,
    compressorInletPressurePa: 98_000,
    compressorInletTemperatureK: 298.15,
    compressorOutletTemperatureK: 413.15,
    compressorOutletPressurePa: 240_000,
    manifoldTemperatureK: 323.15,
    manifoldPressurePa: 231_325,
    fuelMassFlowKgPerS: 0.021,
    brakePowerW: 245_000,
    wheelPowerW: 208_250,
    torqueNm: 365.6,
    compressorPowerW: 29_000,
    tipSpeedMPerS: null,
    speedMargin: 0.0119,
    surgeMargin: -0.021,
    surgeFlowDistance: null,
    chokeMargin: 0.152,
    injectorDuty: null,
    ...changed,
  };
}
