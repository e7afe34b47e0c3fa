import type { Curve } from '../../numerics/types.ts';
import { solveOperatingLine } from '../operating-line.ts';
import type { GoalKind, MatchInput, OperatingPoint } from '../types.ts';
import { holdGoal } from './hold-goal.ts';
import { inputAt, ownPlace } from './places.ts';
import type { ControllerComparison, ControllerDifference, HoldOptions } from './types.ts';

/**
 * What a boost controller that holds gauge pressure and one that holds absolute pressure do with the same target as the air gets
 * thinner. The target is the manifold pressure that the input's goal comes to at the first place, whatever kind of goal it is; both
 * controllers agree there, and part from there on.
 *
 * @param options the first of `places` is where the target is set; without any place it is the input's own
 */
export function compareControllers(input: MatchInput, options: HoldOptions): ControllerComparison {
  const home = options.places[0] ?? ownPlace(input);
  const asked = options.engineSpeedsRpm ?? input.engineSpeedsRpm;
  const line = solveOperatingLine({ ...inputAt(input, home.ambient), engineSpeedsRpm: asked });
  const targets = line.filter((point) => point.status === 'ok');
  const engineSpeedsRpm = targets.map((point) => point.engineSpeedRpm);
  const held = (kind: GoalKind, lessPa: number) => {
    const curve: Curve = targets
      .map((point) => ({ engineSpeedRpm: point.engineSpeedRpm, value: point.manifoldPressurePa - lessPa }))
      .toSorted((a, b) => a.engineSpeedRpm - b.engineSpeedRpm)
      .filter((point, i, all) => i === 0 || point.engineSpeedRpm > all[i - 1]!.engineSpeedRpm);
    return holdGoal({ ...input, goal: { kind, curve } }, { ...options, engineSpeedsRpm });
  };
  const gauge = held('gauge-boost', home.ambient.pressurePa);
  const absolute = held('manifold-pressure', 0);
  return {
    engineSpeedsRpm,
    targetManifoldPressurePa: targets.map((point) => point.manifoldPressurePa),
    withoutTargetRpm: line.filter((point) => point.status !== 'ok').map((point) => point.engineSpeedRpm),
    gauge,
    absolute,
    differences: absolute.cells.map((row, p) =>
      row.map((cell, k) => difference(cell.point, gauge.cells[p]?.[k]?.point)),
    ),
  };
}

function difference(absolute: OperatingPoint, gauge: OperatingPoint | undefined): ControllerDifference | null {
  if (absolute.status !== 'ok' || gauge?.status !== 'ok') return null;
  return {
    manifoldPressurePa: absolute.manifoldPressurePa - gauge.manifoldPressurePa,
    pressureRatio: absolute.pressureRatio - gauge.pressureRatio,
    shaftSpeedRpm: absolute.shaftSpeedRpm - gauge.shaftSpeedRpm,
    brakePowerW: absolute.brakePowerW - gauge.brakePowerW,
    compressorOutletTemperatureK: absolute.compressorOutletTemperatureK - gauge.compressorOutletTemperatureK,
  };
}
