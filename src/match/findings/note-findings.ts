import { saturationPressure } from '../../air/index.ts';
import { FUELS, fuelNeed, fuelVolumeFlow, injectorDuty, thermalEfficiency } from '../../engine/index.ts';
import type { FuelSupply } from '../../engine/types.ts';
import { type Curve, evaluateCurve, isOutsideCurve } from '../../numerics/index.ts';
import type { Finding, MatchInput, OperatingPoint, OperatingPointSolved } from '../types.ts';
import { type FindingCode, finding, runsOf, worstOf } from './finding.ts';
import { overRuns } from './limit-findings.ts';

type CurveCode = Extract<FindingCode, `curve-held-${string}`>;

/** Curves used outside their points, water in the cooler, and the highest values of the line. */
export function noteFindings(points: readonly OperatingPoint[], input: MatchInput): Finding[] {
  const { engine, goal } = input;
  return [
    ...curveHeld(points, 'curve-held-goal', goal.curve),
    ...curveHeld(points, 'curve-held-volumetric-efficiency', engine.volumetricEfficiency),
    ...curveHeld(points, 'curve-held-lambda', engine.lambda),
    ...curveHeld(points, 'curve-held-bsfc', engine.bsfcKgPerJ),
    ...curveHeld(points, 'curve-held-turbine-temperature', input.turbine?.inletTemperatureK ?? []),
    ...water(points, input),
    ...peaks(points),
  ];
}

function curveHeld(points: readonly OperatingPoint[], code: CurveCode, curve: Curve): Finding[] {
  const first = curve[0];
  const last = curve[curve.length - 1];
  if (first === undefined || last === undefined) return [];
  const runs = runsOf<OperatingPoint>(points, (point) => {
    if (point.status === 'bad-input' || !isOutsideCurve(curve, point.engineSpeedRpm)) return null;
    return { key: point.engineSpeedRpm < first.engineSpeedRpm ? 'below' : 'above', point };
  });
  return runs.map(({ key, run }) => {
    const engineSpeedRpm = key === 'below' ? run.rangeRpm[0] : run.rangeRpm[1];
    const values = {
      firstPointRpm: first.engineSpeedRpm,
      lastPointRpm: last.engineSpeedRpm,
      value: evaluateCurve(curve, engineSpeedRpm) ?? 0,
    };
    return finding('note', code, values, { engineSpeedRpm, rangeRpm: run.rangeRpm });
  });
}

/** Vapour pressure in the manifold over saturation pressure there: above 1, water comes out of the charge. */
function water(points: readonly OperatingPoint[], input: MatchInput): Finding[] {
  if (input.chargePath.cooler.kind === 'none') return [];
  const ratio = (p: OperatingPointSolved) => {
    const saturation = saturationPressure(p.manifoldTemperatureK);
    return saturation === null ? 0 : (p.manifoldPressurePa * input.ambient.vapourMoleFraction) / saturation;
  };
  return overRuns(
    points,
    ['note', 'water-condenses'],
    (p) => ratio(p) > 1,
    ratio,
    (worst) => ({ manifoldTemperatureK: worst.manifoldTemperatureK, dewPointRatio: ratio(worst) }),
  );
}

function peaks(points: readonly OperatingPoint[]): Finding[] {
  const solved = points.filter((p) => p.status === 'ok');
  if (solved.length === 0) return [];
  const power = worstOf(solved, (p) => p.brakePowerW);
  const pull = worstOf(solved, (p) => p.torqueNm);
  const speed = worstOf(solved, (p) => p.shaftSpeedRpm);
  const at = (p: OperatingPointSolved) => ({ engineSpeedRpm: p.engineSpeedRpm });
  return [
    finding('note', 'peak-power', { brakePowerW: power.brakePowerW, wheelPowerW: power.wheelPowerW }, at(power)),
    finding('note', 'peak-torque', { torqueNm: pull.torqueNm }, at(pull)),
    finding('note', 'peak-shaft-speed', { shaftSpeedRpm: speed.shaftSpeedRpm }, at(speed)),
  ];
}

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
      ['stop', 'injector-pressure'],
      (p) => difference(p) <= 0,
      (p) => -difference(p),
      (worst) => ({ pressureDifferencePa: difference(worst) }),
    ),
    ...overRuns(
      points,
      [(worst) => (duty(worst) > 1 ? 'stop' : 'caution'), 'injector-duty'],
      (p) => duty(p) > dutyLimit,
      duty,
      (worst) => ({ duty: duty(worst), dutyLimit }),
    ),
    ...(pumpFlowM3PerS === undefined
      ? []
      : overRuns(
          points,
          ['stop', 'pump-flow'],
          (p) => volume(p) > pumpFlowM3PerS,
          volume,
          (worst) => ({ flowM3PerS: volume(worst), pumpFlowM3PerS }),
        )),
    ...neededFindings(points, input, supply),
  ];
}

/** The largest injector, and the most that the pump must give, of all engine speeds; where the injector is needed comes first. */
function neededFindings(points: readonly OperatingPoint[], input: MatchInput, supply: FuelSupply): Finding[] {
  const needs = points.flatMap((p) => {
    if (p.status !== 'ok') return [];
    const { fuelMassFlowKgPerS, manifoldPressurePa, engineSpeedRpm } = p;
    const { fuel } = input.engine;
    const need = fuelNeed(supply, FUELS[fuel], fuelMassFlowKgPerS, manifoldPressurePa, input.ambient.pressurePa);
    return need === null ? [] : [{ ...need, engineSpeedRpm }];
  });
  if (needs.length === 0) return [];
  const { injectorFlowM3PerS, engineSpeedRpm } = worstOf(needs, (need) => need.injectorFlowM3PerS);
  const { pumpFlowM3PerS, pumpPressurePa } = worstOf(needs, (need) => need.pumpFlowM3PerS);
  const { injectorCount, injectorRatedPressurePa: ratedPressurePa, dutyLimit } = supply;
  const values = { injectorCount, injectorFlowM3PerS, ratedPressurePa, dutyLimit, pumpFlowM3PerS, pumpPressurePa };
  return [finding('note', 'fuel-needed', values, { engineSpeedRpm })];
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
    ['caution', 'bsfc-implausible'],
    (p) => efficiency(p) > HIGHEST_THERMAL_EFFICIENCY || efficiency(p) < LOWEST_THERMAL_EFFICIENCY,
    efficiency,
    (worst) => ({ thermalEfficiency: efficiency(worst), bsfcKgPerJ: bsfc(worst) }),
  );
}

function dieselInPort(points: readonly OperatingPoint[], input: MatchInput): Finding[] {
  const evaporates = FUELS[input.engine.fuel].portEvaporatedShare > 0;
  if (input.engine.injection === 'direct' || evaporates || !points.some((p) => p.status === 'ok')) return [];
  return [finding('note', 'port-diesel-as-direct', {})];
}

/** That the map is a donor's, scaled: said once, also where nothing is wrong, because nothing on it is a reading. */
export function estimateFindings(points: readonly OperatingPoint[], input: MatchInput): Finding[] {
  const { estimate } = input.compressor;
  if (estimate === undefined || points.length === 0) return [];
  const { band, sizeRatio, trimDifference } = estimate;
  const values = {
    surgeFlowBand: band.surgeFlow,
    chokeFlowBand: band.chokeFlow,
    pressureRatioBand: band.pressureRatio,
    efficiencyBand: band.efficiency,
    correctedSpeedBand: band.correctedSpeed,
    sizeRatio,
    trimDifference: trimDifference ?? undefined,
  };
  return [finding('caution', 'map-estimated', values)];
}
