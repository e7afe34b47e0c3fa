import { saturationPressure } from '../../air/index.ts';
import { type Curve, evaluateCurve, isOutsideCurve } from '../../numerics/index.ts';
import type { Finding, MatchInput, OperatingPoint, OperatingPointSolved } from '../types.ts';
import type { FindingCode } from './codes.ts';
import { overRuns } from './limit-findings.ts';
import { finding, runsOf, worstOf } from './runs.ts';

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
    (p) => ratio(p) > 1,
    ratio,
    (worst, place) =>
      finding(
        'note',
        'water-condenses',
        { manifoldTemperatureK: worst.manifoldTemperatureK, dewPointRatio: ratio(worst) },
        place,
      ),
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
