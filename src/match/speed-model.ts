import { airPressureShare, dryAirForPower, sweptVolumeFlow } from '../engine/index.ts';
import { evaluateCurve } from '../numerics/index.ts';
import { type ExhaustModel, exhaustModel } from './exhaust-model.ts';
import type { LineModel } from './line-model.ts';

/** What the engine does and is asked for at one engine speed. */
export interface SpeedModel {
  engineSpeedRpm: number;
  lambda: number;
  bsfcKgPerJ: number;
  /** W = breathing p_m / T_m */
  breathing: number;
  /** A pressure goal fixes p_m; a power goal fixes the air flow, because power = fuel / bsfc. */
  goal: { kind: 'pressure'; manifoldPressurePa: number } | { kind: 'flow'; airMassFlowKgPerS: number };
  /** null: no turbine is known. */
  exhaust: ExhaustModel | null;
}

export type SpeedModelResult = { ok: true; speed: SpeedModel } | { ok: false; message: string };

/** @returns the model, or one sentence why there is none: an empty curve, or an exhaust that cannot be. */
export function speedModel(line: LineModel, engineSpeedRpm: number): SpeedModelResult {
  const { engine, goal, ambient } = line.input;
  const volumetricEfficiency = evaluateCurve(engine.volumetricEfficiency, engineSpeedRpm);
  const lambda = evaluateCurve(engine.lambda, engineSpeedRpm);
  const bsfcKgPerJ = evaluateCurve(engine.bsfcKgPerJ, engineSpeedRpm);
  const asked = evaluateCurve(goal.curve, engineSpeedRpm);
  if (volumetricEfficiency === null || lambda === null || bsfcKgPerJ === null || asked === null) {
    return { ok: false, message: 'A curve has no points: enter at least one.' };
  }
  const pressureShare = airPressureShare({
    injection: engine.injection,
    fuel: line.fuel,
    lambda,
    vapourMoleFraction: ambient.vapourMoleFraction,
    dryMassFraction: line.dryShare,
    airMolarMassKgPerMol: line.gas.molarMassKgPerMol,
  });
  const swept = sweptVolumeFlow(engine.displacementM3, engine.strokesPerCycle, engineSpeedRpm);
  const breathing = (volumetricEfficiency * swept * pressureShare) / line.gas.gasConstant;
  const { turbine } = line.input;
  const made = turbine === undefined ? null : exhaustModel(line, turbine, engineSpeedRpm, lambda, bsfcKgPerJ);
  if (made?.ok === false) return made;
  const asks = askedOf(line, asked, lambda, bsfcKgPerJ);
  const exhaust = made?.exhaust ?? null;
  return { ok: true, speed: { engineSpeedRpm, lambda, bsfcKgPerJ, breathing, goal: asks, exhaust } };
}

function askedOf(line: LineModel, asked: number, lambda: number, bsfcKgPerJ: number): SpeedModel['goal'] {
  const { engine, goal, ambient } = line.input;
  switch (goal.kind) {
    case 'gauge-boost':
      return { kind: 'pressure', manifoldPressurePa: ambient.pressurePa + asked };
    case 'manifold-pressure':
      return { kind: 'pressure', manifoldPressurePa: asked };
    case 'brake-power':
    case 'wheel-power': {
      const brake = goal.kind === 'brake-power' ? asked : asked / (1 - engine.drivelineLoss);
      const dryAir = dryAirForPower(brake, bsfcKgPerJ, lambda, line.fuel.stoichiometricAirFuelRatio);
      return { kind: 'flow', airMassFlowKgPerS: dryAir / line.dryShare };
    }
  }
}
