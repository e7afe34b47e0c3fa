import type { CompressorSurface, MapRegion } from '../compressor/types.ts';
import type { CoolerInput, EngineInput, LossInput } from '../engine/types.ts';
import type { Curve } from '../numerics/types.ts';
import type { TurbineInput } from '../turbine/types.ts';
import type { MatchLimits } from './limits.ts';

export type GoalKind = 'gauge-boost' | 'manifold-pressure' | 'brake-power' | 'wheel-power';

export interface Goal {
  kind: GoalKind;
  /** Pa for the pressures (gauge against the ambient of that day), W for the powers. */
  curve: Curve;
}

export interface Ambient {
  pressurePa: number;
  temperatureK: number;
  vapourMoleFraction: number;
}

/** Everything one operating line needs, all SI. */
export interface MatchInput {
  engine: EngineInput;
  ambient: Ambient;
  inletPath: LossInput & { heatingK: number };
  chargePath: LossInput & { cooler: CoolerInput };
  goal: Goal;
  compressor: CompressorSurface;
  /** Equal turbos in parallel, 1 to 4, each with its share of the engine's flow through `compressor` and `turbine`. Left out: 1. */
  turboCount?: number | undefined;
  /** Used, and every point marked, only where the map itself has no efficiency. 0.3..0.9. */
  assumedEfficiency?: number | undefined;
  limits: MatchLimits;
  /** Left out: the line says nothing of what the exhaust can drive. */
  turbine?: TurbineInput | undefined;
  engineSpeedsRpm: readonly number[];
}

/** Why an engine speed has no operating point. */
export type NoPointReason =
  | 'left-of-map' // less flow than the surface answers for: far into surge
  | 'right-of-map' // more flow than the compressor passes: choked
  | 'above-map' // more pressure ratio than the map and its extension hold
  | 'no-compression' // the goal asks for no more than the engine would draw by itself: pressure ratio at or below 1
  | 'inlet-exhausted' // the inlet path's loss leaves no pressure at this flow
  | 'unreachable-goal' // no manifold pressure gives the power asked for
  | 'no-efficiency' // the map has none and none is assumed
  | 'turbine-too-weak' // the exhaust drives no boost at all that the map answers for
  | 'gate-too-small' // with the gate wide open the boost creeps beyond what the map answers for
  | 'exhaust-blocked' // the turbine does not pass the exhaust at any back-pressure the engine can breathe against
  | 'bad-input' // a number is missing or impossible; message names it
  | 'not-converged';

/**
 * With several equal turbos map, margins, speeds, compressor power, gate and turbine are of one of them, and air, fuel, power and torque
 * the engine's; `of` in RESULTS says of each number which.
 */
export interface OperatingPointSolved {
  engineSpeedRpm: number;
  status: 'ok';
  region: MapRegion;
  /** The map answered outside its entered lines or points. */
  extended: boolean;
  /**
   * The shaft turns slower than the lowest speed line of the sheet: where surge and choke lie there is a guess by similarity, so its margins
   * are no verdict on the match.
   */
  belowLowestLine: boolean;
  efficiencyAssumed: boolean;
  /** Total of moist air that the engine takes, kg/s. */
  airMassFlowKgPerS: number;
  correctedMassFlowKgPerS: number;
  pressureRatio: number;
  efficiency: number;
  correctedSpeedRpm: number;
  shaftSpeedRpm: number;
  compressorInletPressurePa: number;
  compressorInletTemperatureK: number;
  compressorOutletTemperatureK: number;
  compressorOutletPressurePa: number;
  manifoldTemperatureK: number;
  manifoldPressurePa: number;
  fuelMassFlowKgPerS: number;
  brakePowerW: number;
  wheelPowerW: number;
  torqueNm: number;
  compressorPowerW: number;
  /** m/s when the wheel is known. */
  tipSpeedMPerS: number | null;
  /** 1 - N/Nmax, null without a limit. */
  speedMargin: number | null;
  /** (PRs/PR)(W/Ws) - 1 at constant corrected speed; null where the surge end is not known. */
  surgeMargin: number | null;
  /** 1 - Ws(PR)/W: flow distance to the surge line at constant pressure ratio. */
  surgeFlowDistance: number | null;
  /** 1 - W/Wchoke on the same speed line. */
  chokeMargin: number | null;
  /** Injector duty 0.. (over 1: cannot be delivered); null without a fuel supply. */
  injectorDuty: number | null;
  /** p03; null without a turbine, like all that follows. */
  turbineInletPressurePa: number | null;
  /** p03/p_m */
  backPressureRatio: number | null;
  /** p03/p4 */
  expansionRatio: number | null;
  /** Share of the exhaust (of each turbo's part) that goes past the turbine, 0..1; 0: the gate is shut. */
  wastegateShare: number | null;
  turbine: TurbineState | null;
}

/** What the turbine does at a point. */
export interface TurbineState {
  /**
   * 'goal': the gate holds the goal. 'turbine': the gate is shut and the goal is not reached; the point is what is reached. 'gate': the
   * gate is wide open, and the boost creeps over the goal to this point.
   */
  heldBy: 'goal' | 'turbine' | 'gate';
  /** Manifold pressure over that of the goal, 1 where the goal is held; with a power goal that of the power. */
  reachedShare: number;
  /**
   * Effective area, flow coefficient times area, that the gate of one turbo must open for the goal; 0 where it is shut, null where the goal
   * asks for no compression: no area is enough.
   */
  gateAreaM2: number | null;
  /** The same over the area entered: over 1 the goal cannot be held. null: one of the two is not known. */
  gateOpening: number | null;
  inletTemperatureK: number;
  /** The temperature is the energy balance's estimate. */
  temperatureEstimated: boolean;
  /** p4, behind the turbine. */
  outletPressurePa: number;
  outletTemperatureK: number;
  /** Through the turbine, the gate's share taken off. */
  massFlowKgPerS: number;
  /** W sqrt(R T03)/p03, m2. */
  flowParameterM2: number;
  reducedSpeed: number;
  efficiency: number;
  /** U/C0; null without the wheel's diameter. */
  speedRatio: number | null;
  /** Gas power on the shaft before bearing losses. */
  powerW: number;
  /** More expansion brings no more flow. */
  choked: boolean;
  /** The capacity was read outside its entered points. */
  extended: boolean;
  /** Volumetric efficiency over the entered one: what back-pressure takes (or gives). */
  breathingFactor: number;
}

export interface OperatingPointMissing {
  engineSpeedRpm: number;
  status: NoPointReason;
  /** Plain words, one sentence. */
  message: string;
  /** The demand that could not be met, where one is known: for drawing and for words. */
  demand?: { correctedMassFlowKgPerS: number; pressureRatio: number } | undefined;
}

export type OperatingPoint = OperatingPointSolved | OperatingPointMissing;

/** A fact about the line, worst first; the views put it in words and in the user's units. */
export interface Finding {
  severity: 'stop' | 'caution' | 'note' | 'good';
  code: string;
  /** Engine speed at which it is worst, where it belongs to one. */
  engineSpeedRpm?: number | undefined;
  /** First and last engine speed at which it holds. */
  rangeRpm?: readonly [number, number] | undefined;
  /** Numbers in SI that the sentence needs, by name. */
  values: Readonly<Record<string, number>>;
}

export type * from './compare/types.ts';
export type { LimitKey, MatchLimits, StudyLimits } from './limits.ts';
export type * from './log/known-ve.ts';
export type * from './log/result-types.ts';
export type * from './log/types.ts';
export type * from './studies/control-table.ts';
export type * from './studies/types.ts';
