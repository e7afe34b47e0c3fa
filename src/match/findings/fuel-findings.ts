import { FUELS, fuelVolumeFlow, injectorDuty, thermalEfficiency } from '../../engine/index.ts';
import { evaluateCurve } from '../../numerics/index.ts';
import type { Finding, MatchInput, OperatingPoint, OperatingPointSolved } from '../types.ts';
import { overRuns } from './limit-findings.ts';
import { finding } from './runs.ts';

/** What is said about injectors, pump and fuel consumption. */
export function fuelFindings(points: readonly OperatingPoint[], input: MatchInput): Finding[] {
  return [...supplyFindings(points, input), ...consumption(points, input), ...dieselInPort(points, input)];
}

function supplyFindings(points: readonly OperatingPoint[], input: MatchInput): Finding[] {
  const supply = input.engine.fuelSupply;
  if (supply === undefined || !points.some((p) => p.status === 'ok')) return [];
  const fuel = FUELS[input.engine.fuel];
  if (fuel.phase === 'gas') return [finding('note', 'fuel-supply-not-checked', {})];
  const { dutyLimit, pumpFlowM3PerS } = supply;
  const duty = (p: OperatingPointSolved) => p.injectorDuty ?? 0;
  const difference = (p: OperatingPointSolved) =>
    injectorDuty(supply, fuel, p.fuelMassFlowKgPerS, p.manifoldPressurePa, input.ambient.pressurePa)
      .pressureDifferencePa;
  const volume = (p: OperatingPointSolved) => fuelVolumeFlow(fuel, p.fuelMassFlowKgPerS) ?? 0;
  return [
    ...overRuns(
      points,
      (p) => difference(p) <= 0,
      (p) => -difference(p),
      (worst, place) => finding('stop', 'injector-pressure', { pressureDifferencePa: difference(worst) }, place),
    ),
    ...overRuns(
      points,
      (p) => duty(p) > dutyLimit,
      duty,
      (worst, place) =>
        finding(duty(worst) > 1 ? 'stop' : 'caution', 'injector-duty', { duty: duty(worst), dutyLimit }, place),
    ),
    ...(pumpFlowM3PerS === undefined
      ? []
      : overRuns(
          points,
          (p) => volume(p) > pumpFlowM3PerS,
          volume,
          (worst, place) => finding('stop', 'pump-flow', { flowM3PerS: volume(worst), pumpFlowM3PerS }, place),
        )),
  ];
}

/** Best brake thermal efficiencies stay below 0.5 in engines of this size (common practice, no source); full load below 0.08 is none. */
const HIGHEST_THERMAL_EFFICIENCY = 0.5;
const LOWEST_THERMAL_EFFICIENCY = 0.08;

function consumption(points: readonly OperatingPoint[], input: MatchInput): Finding[] {
  const fuel = FUELS[input.engine.fuel];
  const bsfc = (p: OperatingPointSolved) => evaluateCurve(input.engine.bsfcKgPerJ, p.engineSpeedRpm) ?? 0;
  const efficiency = (p: OperatingPointSolved) => thermalEfficiency(bsfc(p), fuel.lowerHeatingValueJPerKg);
  return overRuns(
    points,
    (p) => efficiency(p) > HIGHEST_THERMAL_EFFICIENCY || efficiency(p) < LOWEST_THERMAL_EFFICIENCY,
    efficiency,
    (worst, place) =>
      finding('caution', 'bsfc-implausible', { thermalEfficiency: efficiency(worst), bsfcKgPerJ: bsfc(worst) }, place),
  );
}

function dieselInPort(points: readonly OperatingPoint[], input: MatchInput): Finding[] {
  const evaporates = FUELS[input.engine.fuel].portEvaporatedShare > 0;
  if (input.engine.injection === 'direct' || evaporates || !points.some((p) => p.status === 'ok')) return [];
  return [finding('note', 'port-diesel-as-direct', {})];
}
