import { findRoot } from '../numerics/index.ts';
import { breathingFactor, type ExhaustModel, turbineOutletPressure } from './exhaust-model.ts';
import { type GasState, gasState } from './gas-state.ts';
import type { LineModel } from './line-model.ts';
import { type SpeedSolution, solveSpeed } from './solve-speed.ts';
import { solveWarm } from './solve-warm.ts';
import type { SpeedModel } from './speed-model.ts';
import { type Expansion, expansionForFlow, expansionForPower } from './turbine-expansion.ts';

type Solved = Extract<SpeedSolution, { ok: true }>;
type Failed = Extract<SpeedSolution, { ok: false }>;

/** Compressor, engine and turbine in balance. */
export interface Driven {
  ok: true;
  solution: Solved;
  expansion: Expansion;
  /** p4 */
  outletPressurePa: number;
  /** p03 */
  inletPressurePa: number;
  /** p03/p_m */
  backPressureRatio: number;
  breathingFactor: number;
  /** W + fuel */
  exhaustFlowKgPerS: number;
  /** 1 - W3/exhaust flow. Below 0: the turbine would need more exhaust than there is. 0 by definition where the gate is shut. */
  wastegateShare: number;
  /** Gas power that the compressor and the bearing take. */
  neededPowerW: number;
}

export type DrivenSolution = Driven | Failed;

/**
 * 'gate': the gate lets just so much past that the turbine gives what the compressor takes. 'shut': all exhaust goes through the turbine,
 * whatever power that gives.
 */
export type GateMode = 'gate' | 'shut';

/** Where to start from: what a neighbour came to. Kept up to date by every solve. */
export interface DrivenHint {
  backPressureRatio: number;
  /** Compressor outlet temperature; 0: none known, solve from nothing. */
  outletTemperatureK: number;
  dropK: number;
  expansionRatio: number;
}

export function noHint(): DrivenHint {
  return { backPressureRatio: 1.15, outletTemperatureK: 0, dropK: 120, expansionRatio: 1.6 };
}

export interface DrivenTolerance {
  /** Of the outlet temperature, relative. */
  temperature: number;
  /** Of p3/p_m, relative. */
  backPressure: number;
  /** For studies: only from the hint, without brackets that prove anything; a failure then means 'ask the whole solve'. */
  nearOnly?: boolean;
}

export const EXACT: DrivenTolerance = { temperature: 1e-9, backPressure: 1e-8 };

const MOST_STEPS = 10;
/** The engine draws a little less for more back-pressure, and the exhaust then needs a little less: about this steep (measured). */
const USUAL_SLOPE = -1.1;
/** Back-pressure ratios in which a change of sign is looked for when the secant has not settled. */
const SCAN = [0.2, 0.6, 0.95, 1.3, 1.9, 3, 5, 9, 18];

/**
 * The whole loop at one engine speed: the back-pressure decides what the engine draws, that what the compressor takes, that what the
 * turbine needs, and that the back-pressure. One equation in p3/p_m, nearly linear; the compressor's own loop is solved inside it.
 */
export function solveDriven(
  line: LineModel,
  speed: SpeedModel,
  exhaust: ExhaustModel,
  mode: GateMode,
  hint: DrivenHint,
  tolerance: DrivenTolerance = EXACT,
): DrivenSolution {
  let failure: Failed | null = null;
  const residualAt = (q: number): { driven: Driven | null; residual: number } => {
    const tried = tryAt(line, speed, exhaust, mode, q, hint, tolerance);
    if (!tried.ok) {
      failure ??= tried;
      return { driven: null, residual: Number.NaN };
    }
    return { driven: tried, residual: tried.backPressureRatio - q };
  };
  const near = secant(residualAt, hint.backPressureRatio, tolerance.backPressure);
  if (near === null && tolerance.nearOnly) return NOT_NEAR;
  const found = near ?? (isHopeless(line, failure) ? null : scan(residualAt, tolerance.backPressure));
  if (found === null) {
    return failure ?? { ok: false, reason: 'not-converged', state: stateless(line, speed) };
  }
  hint.backPressureRatio = found.backPressureRatio;
  return found;
}

/** How far another back-pressure may move the air flow, as a share. */
const REACH = 0.15;

/** Off the map, and so far off that no other back-pressure brings the demand back onto it. */
function isHopeless(line: LineModel, failure: Failed | null): boolean {
  if (failure?.reason !== 'off-map') return false;
  const { correctedMassFlowKgPerS: W, pressureRatio } = failure.state;
  const answers = (flow: number) => line.input.compressor.at(flow, pressureRatio).correctedSpeedRpm !== null;
  return !answers(W * (1 - REACH)) && !answers(W) && !answers(W * (1 + REACH));
}

type Residual = (q: number) => { driven: Driven | null; residual: number };

function secant(residualAt: Residual, start: number, tolerance: number): Driven | null {
  let q = start;
  let lastQ = Number.NaN;
  let lastResidual = Number.NaN;
  for (let i = 0; i < MOST_STEPS; i++) {
    const { driven, residual } = residualAt(q);
    if (driven === null) return null;
    if (Math.abs(residual) <= tolerance * q) return driven;
    const measured = (residual - lastResidual) / (q - lastQ);
    const slope = Number.isFinite(measured) && measured < -0.4 ? measured : USUAL_SLOPE;
    lastQ = q;
    lastResidual = residual;
    q = Math.max(0.3 * q, q - residual / slope);
  }
  return null;
}

function scan(residualAt: Residual, tolerance: number): Driven | null {
  let lastQ = Number.NaN;
  let lastResidual = Number.NaN;
  for (const q of SCAN) {
    const { residual } = residualAt(q);
    if (lastResidual > 0 && residual <= 0) {
      const root = findRoot((x) => residualAt(x).residual, lastQ, q, { fTolerance: tolerance * q });
      const driven = root.ok ? residualAt(root.value) : null;
      // A jump of the map's efficiency in the loop leaves a residual that is no balance.
      if (driven?.driven != null && Math.abs(driven.residual) <= 1e-7 * q) return driven.driven;
      return null;
    }
    lastQ = q;
    lastResidual = residual;
  }
  return null;
}

const NO_STATE: GasState = {
  outletTemperatureK: Number.NaN,
  airMassFlowKgPerS: Number.NaN,
  manifoldTemperatureK: Number.NaN,
  manifoldPressurePa: Number.NaN,
  inletPressurePa: Number.NaN,
  outletPressurePa: Number.NaN,
  pressureRatio: Number.NaN,
  correctedMassFlowKgPerS: Number.NaN,
  inletExhausted: false,
};
const NOT_NEAR: Failed = { ok: false, reason: 'not-converged', state: NO_STATE };

function tryAt(
  line: LineModel,
  speed: SpeedModel,
  exhaust: ExhaustModel,
  mode: GateMode,
  q: number,
  hint: DrivenHint,
  tolerance: DrivenTolerance,
): DrivenSolution {
  const factor = breathingFactor(exhaust, q);
  if (!(factor > 0)) return { ok: false, reason: 'exhaust-blocked', state: stateless(line, speed) };
  const breathed: SpeedModel = { ...speed, breathing: speed.breathing * factor };
  const warm =
    hint.outletTemperatureK > 0 ? solveWarm(line, breathed, hint.outletTemperatureK, tolerance.temperature) : null;
  if (warm === null && tolerance.nearOnly) return NOT_NEAR;
  const solution = warm ?? solveSpeed(line, breathed);
  if (!solution.ok) return solution;
  const { state } = solution;
  hint.outletTemperatureK = state.outletTemperatureK;
  const exhaustFlowKgPerS = state.airMassFlowKgPerS * (1 + exhaust.fuelShare);
  const outletPressurePa = turbineOutletPressure(line, exhaust, exhaustFlowKgPerS);
  const shaftSpeedRpm = solution.correctedSpeedRpm * line.speedFactor;
  const neededPowerW =
    (state.airMassFlowKgPerS * (line.gas.enthalpy(state.outletTemperatureK) - line.inletEnthalpyJPerKg)) /
    exhaust.turbine.mechanicalEfficiency;
  const expansion =
    mode === 'gate'
      ? expansionForPower(exhaust, outletPressurePa, shaftSpeedRpm, neededPowerW, hint.dropK)
      : expansionForFlow(exhaust, outletPressurePa, shaftSpeedRpm, exhaustFlowKgPerS, hint.expansionRatio);
  if (expansion === null) return { ok: false, reason: 'exhaust-blocked', state };
  if (mode === 'gate') hint.dropK = expansion.isentropicDropJPerKg / exhaust.gas.specificHeat(exhaust.temperatureK);
  hint.expansionRatio = expansion.ratio;
  const inletPressurePa = expansion.ratio * outletPressurePa;
  return {
    ok: true,
    solution,
    expansion,
    outletPressurePa,
    inletPressurePa,
    backPressureRatio: inletPressurePa / state.manifoldPressurePa,
    breathingFactor: factor,
    exhaustFlowKgPerS,
    wastegateShare: mode === 'gate' ? 1 - expansion.massFlowKgPerS / exhaustFlowKgPerS : 0,
    neededPowerW,
  };
}

/** A state for a failure before anything was solved: what the engine asks for without compression. */
function stateless(line: LineModel, speed: SpeedModel) {
  return gasState(line, speed, line.inletTemperatureK);
}
