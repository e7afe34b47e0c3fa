import type { QuantityKey } from '../units/index.ts';
import type { BuildPath, BuildValue } from './buildPaths.ts';
import type { Typed, TypedCurve } from './document.ts';

/** Fields that hold a number with its unit. */
export type NumberPath = { [P in BuildPath]: BuildValue<P> extends Typed ? P : never }[BuildPath];
/** Fields that are curves over engine speed. */
export type CurvePath = { [P in BuildPath]: BuildValue<P> extends TypedCurve ? P : never }[BuildPath];
export type CandidateNumber = 'shaftSpeedLimit' | 'assumedEfficiency';

/** What a number means and what it can be, in SI. Bounds keep out slips of unit and sign, not unusual cars. */
export interface FieldRule {
  quantity: QuantityKey;
  /** Lowest and highest value in SI, both allowed. */
  low: number;
  high: number;
  /** May stay empty: then it does not apply. */
  optional?: true;
}

const rule = (quantity: QuantityKey, low: number, high: number): FieldRule => ({ quantity, low, high });
const optional = (quantity: QuantityKey, low: number, high: number): FieldRule => ({
  quantity,
  low,
  high,
  optional: true,
});

/** A tenth of a gram per second: below any flow that a loss was measured at. */
const LEAST_FLOW = 1e-4;

export const fieldRules: Readonly<Record<NumberPath | CurvePath, FieldRule>> = {
  'engine.displacement': rule('displacement', 5e-5, 0.2),
  'engine.cylinders': rule('count', 1, 24),
  'engine.compressionRatio': rule('compression-ratio', 4, 30),
  'engine.volumetricEfficiency': rule('volumetric-efficiency', 0.05, 2),
  'engine.lambda': rule('lambda', 0.4, 12),
  // 100 to 1,500 g/kWh.
  'engine.bsfc': rule('bsfc', 100 / 3.6e9, 1500 / 3.6e9),
  'engine.drivelineLoss': rule('fraction', 0, 0.6),
  'fuelSupply.injectorCount': rule('count', 1, 48),
  'fuelSupply.injectorFlow': rule('fuel-volume-flow', 1e-8, 1e-3),
  'fuelSupply.injectorRatedPressure': rule('pressure-difference', 1e4, 1e8),
  'fuelSupply.railPressure': rule('pressure-gauge', 1e4, 4e8),
  'fuelSupply.dutyLimit': rule('fraction', 0.05, 1),
  'fuelSupply.pumpFlow': optional('fuel-volume-flow', 1e-7, 1e-2),
  'air.altitude': rule('altitude', -500, 6000),
  'air.barometer.pressure': rule('pressure-absolute', 3e4, 1.2e5),
  'air.temperature': rule('temperature', 213.15, 338.15),
  'air.relativeHumidity': rule('fraction', 0, 1),
  'inletPath.loss': rule('pressure-difference', 0, 1e5),
  'inletPath.atFlow': rule('mass-flow', LEAST_FLOW, 20),
  'inletPath.atDensity': rule('density', 0.05, 20),
  'inletPath.heating': rule('temperature-difference', -50, 150),
  'chargePath.loss': rule('pressure-difference', 0, 3e5),
  'chargePath.atFlow': rule('mass-flow', LEAST_FLOW, 20),
  'chargePath.atDensity': rule('density', 0.05, 20),
  'chargePath.cooler.effectiveness': rule('fraction', 0, 1),
  'chargePath.cooler.atLowFlow': rule('mass-flow', 0, 20),
  'chargePath.cooler.atHighFlow': rule('mass-flow', LEAST_FLOW, 20),
  'chargePath.cooler.effectivenessAtHighFlow': rule('fraction', 0, 1),
  'chargePath.cooler.recovery': rule('temperature-difference', -50, 150),
  'chargePath.cooler.waterTemperature': rule('temperature', 233.15, 423.15),
  'exhaust.loss': rule('pressure-difference', 0, 3e5),
  'exhaust.atFlow': rule('mass-flow', LEAST_FLOW, 20),
  'exhaust.atDensity': rule('density', 0.05, 20),
  'exhaust.inletTemperature.curve': rule('temperature', 500, 1600),
  'exhaust.measuredBackPressureRatio': rule('pressure-ratio', 0.3, 5),
  'goal.curves.gauge-boost': rule('pressure-gauge', -1e5, 2e6),
  'goal.curves.manifold-pressure': rule('pressure-absolute', 1e3, 2.2e6),
  'goal.curves.brake-power': rule('power', 1, 1e7),
  'goal.curves.wheel-power': rule('power', 1, 1e7),
  'engineSpeeds.from': rule('engine-speed', 100, 30_000),
  'engineSpeeds.to': rule('engine-speed', 100, 30_000),
  'engineSpeeds.step': rule('engine-speed', 1, 30_000),
  'limits.shaftSpeedReserve': optional('fraction', 0, 0.5),
  'limits.surgeMargin': optional('fraction', 0, 1),
  'limits.chokeMargin': optional('fraction', 0, 1),
  'limits.compressorOutletTemperature': optional('temperature', 273.15, 700),
  'limits.manifoldPressure': optional('pressure-absolute', 1e4, 2.2e6),
  'limits.brakePower': optional('power', 1, 1e7),
  'limits.backPressureRatio': optional('pressure-ratio', 0.5, 10),
  'limits.turbineInletTemperature': optional('temperature', 600, 1500),
  'altitudes.from': rule('altitude', -500, 6000),
  'altitudes.to': rule('altitude', -500, 6000),
  'altitudes.step': rule('altitude', 10, 6500),
  'calibration.step': rule('pressure-difference', 1, 1e5),
  'calibration.bladesPastSensor': rule('count', 1, 60),
  'spread.tolerances.volumetricEfficiency': rule('fraction', 0, 0.3),
  'spread.tolerances.bsfc': rule('fraction', 0, 0.3),
  'spread.tolerances.lambda': rule('fraction', 0, 0.2),
  'spread.tolerances.mapFlow': rule('fraction', 0, 0.2),
  'spread.tolerances.mapPressureRatio': rule('fraction', 0, 0.1),
  'spread.tolerances.mapEfficiency': rule('fraction', 0, 0.1),
  'spread.tolerances.coolerEffectiveness': rule('fraction', 0, 0.3),
  'spread.tolerances.airTemperature': rule('temperature-difference', 0, 40),
  'spread.tolerances.ambientPressure': rule('fraction', 0, 0.1),
  'spread.tolerances.inletLoss': rule('fraction', 0, 0.9),
  'spread.tolerances.chargeLoss': rule('fraction', 0, 0.9),
  'spread.tolerances.turbineCapacity': rule('fraction', 0, 0.3),
  'spread.tolerances.turbineEfficiency': rule('fraction', 0, 0.2),
  'spread.tolerances.turbineInletTemperature': rule('temperature-difference', 0, 150),
  'spread.tolerances.exhaustLoss': rule('fraction', 0, 0.9),
  'spread.samples': rule('count', 64, 16_384),
  'spread.seed': rule('count', 0, 1_000_000),
};

export type PlaceNumber = 'altitude' | 'pressure' | 'temperature' | 'relativeHumidity';

/** Numbers of a saved place, under the rules of the day's air. */
export const placeRules: Readonly<Record<PlaceNumber, FieldRule>> = {
  altitude: fieldRules['air.altitude'],
  pressure: fieldRules['air.barometer.pressure'],
  temperature: fieldRules['air.temperature'],
  relativeHumidity: fieldRules['air.relativeHumidity'],
};

export const candidateRules: Readonly<Record<CandidateNumber, FieldRule>> = {
  shaftSpeedLimit: optional('rotational-speed', 1_000, 1_000_000),
  assumedEfficiency: optional('efficiency', 0.3, 0.9),
};
