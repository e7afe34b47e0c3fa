import { airPressureShare, dryAirForPower, sweptVolumeFlow } from '../engine/index.ts';
import { evaluateCurve } from '../numerics/index.ts';
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
}

/** @returns the model, or null for an empty curve (the input check says so before). */
export function speedModel(line: LineModel, engineSpeedRpm: number): SpeedModel | null {
  const { engine, goal, ambient } = line.input;
  const volumetricEfficiency = evaluateCurve(engine.volumetricEfficiency, engineSpeedRpm);
  const lambda = evaluateCurve(engine.lambda, engineSpeedRpm);
  const bsfcKgPerJ = evaluateCurve(engine.bsfcKgPerJ, engineSpeedRpm);
  const asked = evaluateCurve(goal.curve, engineSpeedRpm);
  if (volumetricEfficiency === null || lambda === null || bsfcKgPerJ === null || asked === null) return null;
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
  const base = { engineSpeedRpm, lambda, bsfcKgPerJ, breathing };
  switch (goal.kind) {
    case 'gauge-boost':
      return { ...base, goal: { kind: 'pressure', manifoldPressurePa: ambient.pressurePa + asked } };
    case 'manifold-pressure':
      return { ...base, goal: { kind: 'pressure', manifoldPressurePa: asked } };
    case 'brake-power':
    case 'wheel-power': {
      const brake = goal.kind === 'brake-power' ? asked : asked / (1 - engine.drivelineLoss);
      const dryAir = dryAirForPower(brake, bsfcKgPerJ, lambda, line.fuel.stoichiometricAirFuelRatio);
      return { ...base, goal: { kind: 'flow', airMassFlowKgPerS: dryAir / line.dryShare } };
    }
  }
}
