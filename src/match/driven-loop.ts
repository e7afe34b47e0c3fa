import { findRoot } from '../numerics/index.ts';
import { breathingFactor, type ExhaustModel, turbineOutletPressure } from './exhaust-model.ts';
import type { SpeedModel } from './line-model.ts';
import { type GasState, gasState, HOTTEST_OUTLET_K, type LineModel } from './line-model.ts';
import {
  coldGuesses,
  isSettled,
  leadsTo,
  readAt,
  type SpeedSolution,
  solveNear,
  solveSpeed,
  solveWarm,
} from './solve-speed.ts';
import {
  type Expansion,
  expansionForFlow,
  expansionForPower,
  expansionOver,
  type PowerStart,
} from './turbine-expansion.ts';
import type { OperatingPointSolved } from './types.ts';

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
export interface DrivenHint extends PowerStart {
  backPressureRatio: number;
  /** Compressor outlet temperature; 0: none known, solve from nothing. */
  outletTemperatureK: number;
  expansionRatio: number;
}

export function noHint(): DrivenHint {
  return { backPressureRatio: 1.15, outletTemperatureK: 0, dropK: 120, slope: 1.4, expansionRatio: 1.6 };
}

/** What of a like point a search starts from. */
export interface LikePoint {
  backPressureRatio: number;
  expansionRatio: number;
}

export function likeOf({ backPressureRatio, expansionRatio }: OperatingPointSolved): LikePoint | undefined {
  return backPressureRatio === null || expansionRatio === null ? undefined : { backPressureRatio, expansionRatio };
}

/** @param outletTemperatureK of the compressor */
export function hintFrom(exhaust: ExhaustModel, like: LikePoint, outletTemperatureK: number): DrivenHint {
  const dropK = exhaust.temperatureK * (1 - like.expansionRatio ** (exhaust.breathing.inverseGamma - 1));
  return { ...noHint(), ...like, outletTemperatureK, dropK };
}

export interface DrivenTolerance {
  /** Of the temperature rise in the compressor, relative: of the temperature itself, it would say little of a small rise's power. */
  temperature: number;
  /** Of p3/p_m, relative. */
  backPressure: number;
  /** For studies: only from the hint, without brackets that prove anything; a failure then means 'ask the whole solve'. */
  nearOnly?: boolean;
}

export const EXACT: DrivenTolerance = { temperature: 3e-9, backPressure: 2e-9 };

const MOST_STEPS = 10;
/** The engine draws a little less for more back-pressure, and the exhaust then needs a little less: about this steep (measured). */
const USUAL_SLOPE = -1.1;
/** Back-pressure ratios in which a change of sign is looked for when the secant has not settled. */
const SCAN = [0.2, 0.6, 0.95, 1.3, 1.7, 2.3, 3, 4, 5.5, 7.5, 11, 18];
/** Halvings towards the edge of the map, where only one of two neighbours has an answer. */
const HALVINGS = 8;

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
  if (tolerance.nearOnly) return solveJoint(line, speed, exhaust, mode, hint, tolerance) ?? NOT_NEAR;
  if (hint.outletTemperatureK === 0) {
    const cold = fromNothing(line, speed, exhaust, mode, hint, tolerance);
    if (cold !== null) return cold;
  }
  let failure: Failed | null = null;
  const residualAt: Residual = (q, isWhole = true) => {
    const tried = tryAt(line, speed, exhaust, mode, q, hint, tolerance, isWhole);
    if (!tried.ok) {
      failure ??= tried;
      return { driven: null, residual: Number.NaN };
    }
    return { driven: tried, residual: tried.backPressureRatio - q };
  };
  // The compressor's loop is solved once with brackets; from there both unknowns go together, which nearly always settles.
  const first = residualAt(hint.backPressureRatio);
  const joint = first.driven === null ? null : solveJoint(line, speed, exhaust, mode, hint, tolerance);
  if (joint !== null) return joint;
  const found =
    (first.driven === null ? null : secant(residualAt, hint.backPressureRatio, tolerance.backPressure)) ??
    scan(residualAt, tolerance.backPressure);
  if (found === null) return failure ?? { ok: false, reason: 'not-converged', state: stateless(line, speed) };
  hint.backPressureRatio = found.backPressureRatio;
  return found;
}

/** Both unknowns together from the outlet temperature that a usual efficiency would give; the hint is left as it was where that fails. */
function fromNothing(
  line: LineModel,
  speed: SpeedModel,
  exhaust: ExhaustModel,
  mode: GateMode,
  hint: DrivenHint,
  tolerance: DrivenTolerance,
): Driven | null {
  const [guessK] = coldGuesses(line, speed, 1);
  if (guessK === undefined) return null;
  const tried = { ...hint, outletTemperatureK: guessK };
  const driven = solveJoint(line, speed, exhaust, mode, tried, tolerance);
  if (driven !== null) Object.assign(hint, tried);
  return driven;
}

/** @param isWhole the compressor's loop is looked for with brackets, not only near usual efficiencies */
type Residual = (q: number, isWhole?: boolean) => { driven: Driven | null; residual: number };

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
  let low: Tried | null = null;
  for (const q of SCAN) {
    const here = { q, residual: residualAt(q, false).residual };
    const [from, to]: [Tried, Tried] = low === null ? [here, here] : narrowed(residualAt, low, here);
    if (from.residual > 0 && to.residual <= 0) {
      const root = findRoot((x) => residualAt(x).residual, from.q, to.q, { fTolerance: tolerance * q });
      const driven = root.ok ? residualAt(root.value) : null;
      // A jump of the map's efficiency in the loop leaves a residual that is no balance.
      if (driven?.driven != null && Math.abs(driven.residual) <= 1e-7 * q) return driven.driven;
      return null;
    }
    low = here;
  }
  return null;
}

interface Tried {
  q: number;
  /** NaN: no answer. */
  residual: number;
}

/** Where one of two neighbours has no answer, halves towards it as long as the sign of the other says that the balance lies that way. */
function narrowed(residualAt: Residual, from: Tried, to: Tried): [Tried, Tried] {
  let [low, high] = [from, to];
  for (let i = 0; i < HALVINGS; i++) {
    const isBefore = low.residual > 0 && Number.isNaN(high.residual);
    if (!isBefore && !(Number.isNaN(low.residual) && high.residual <= 0)) break;
    const q = (low.q + high.q) / 2;
    const middle = { q, residual: residualAt(q, false).residual };
    if (Number.isNaN(middle.residual) ? isBefore : middle.residual <= 0) high = middle;
    else low = middle;
  }
  return [low, high];
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
  isWhole: boolean,
): DrivenSolution {
  const factor = breathingFactor(exhaust, q);
  if (!(factor > 0)) return { ok: false, reason: 'exhaust-blocked', state: stateless(line, speed) };
  const breathed: SpeedModel = { ...speed, breathing: speed.breathing * factor };
  const warm =
    hint.outletTemperatureK > 0 ? solveWarm(line, breathed, hint.outletTemperatureK, tolerance.temperature) : null;
  const solution = warm ?? (isWhole ? solveSpeed(line, breathed) : solveNear(line, breathed, tolerance.temperature));
  if (!solution.ok) return solution;
  hint.outletTemperatureK = solution.state.outletTemperatureK;
  return (
    driveTurbine(line, exhaust, mode, solution, factor, hint, tolerance) ?? {
      ok: false,
      reason: 'exhaust-blocked',
      state: solution.state,
    }
  );
}

/** The turbine at a state of the compressor, whether or not that state was breathed against its back-pressure. */
function driveTurbine(
  line: LineModel,
  exhaust: ExhaustModel,
  mode: GateMode,
  solution: Solved,
  factor: number,
  hint: DrivenHint,
  tolerance: DrivenTolerance,
): Driven | null {
  const { exhaustFlowKgPerS, outletPressurePa, shaftSpeedRpm, neededPowerW } = demandOf(line, exhaust, solution);
  // Finer than the loop around it, or its leftover would keep that from settling.
  const settled = 0.03 * tolerance.backPressure;
  const expansion =
    mode === 'gate'
      ? expansionForPower(exhaust, outletPressurePa, shaftSpeedRpm, neededPowerW, hint, settled)
      : expansionForFlow(exhaust, outletPressurePa, shaftSpeedRpm, exhaustFlowKgPerS, hint.expansionRatio, settled);
  if (expansion === null) return null;
  hint.expansionRatio = expansion.ratio;
  const share = mode === 'gate' ? 1 - expansion.massFlowKgPerS / exhaustFlowKgPerS : 0;
  return drivenWith(solution, expansion, factor, exhaustFlowKgPerS, outletPressurePa, neededPowerW, share);
}

/** The same with a given isentropic temperature drop, whatever power that gives; null where it is colder than exhaust gets. */
export function drivenBy(
  line: LineModel,
  exhaust: ExhaustModel,
  solution: Solved,
  factor: number,
  dropK: number,
): Driven | null {
  const { exhaustFlowKgPerS, outletPressurePa, shaftSpeedRpm, neededPowerW } = demandOf(line, exhaust, solution);
  const expansion = expansionOver(exhaust, outletPressurePa, shaftSpeedRpm, dropK);
  if (expansion === null) return null;
  const share = 1 - expansion.massFlowKgPerS / exhaustFlowKgPerS;
  return drivenWith(solution, expansion, factor, exhaustFlowKgPerS, outletPressurePa, neededPowerW, share);
}

function demandOf(line: LineModel, exhaust: ExhaustModel, { state, correctedSpeedRpm }: Solved) {
  const exhaustFlowKgPerS = state.airMassFlowKgPerS * (1 + exhaust.fuelShare);
  const gasPowerW = state.airMassFlowKgPerS * (line.gas.enthalpy(state.outletTemperatureK) - line.inletEnthalpyJPerKg);
  return {
    exhaustFlowKgPerS,
    outletPressurePa: turbineOutletPressure(line, exhaust, exhaustFlowKgPerS),
    shaftSpeedRpm: correctedSpeedRpm * line.speedFactor,
    neededPowerW: gasPowerW / exhaust.turbine.mechanicalEfficiency,
  };
}

function drivenWith(
  solution: Solved,
  expansion: Expansion,
  factor: number,
  exhaustFlowKgPerS: number,
  outletPressurePa: number,
  neededPowerW: number,
  wastegateShare: number,
): Driven {
  const inletPressurePa = expansion.ratio * outletPressurePa;
  return {
    ok: true,
    solution,
    expansion,
    outletPressurePa,
    inletPressurePa,
    backPressureRatio: inletPressurePa / solution.state.manifoldPressurePa,
    breathingFactor: factor,
    exhaustFlowKgPerS,
    wastegateShare,
    neededPowerW,
  };
}

/** Kelvin that weigh as much as 1 of p3/p_m in the joint search. */
const SCALE_K = 100;
const MOST_JOINT_STEPS = 14;

/**
 * Both unknowns at once, compressor outlet temperature and p3/p_m, from the hint: they hardly touch each other, so a Broyden iteration
 * begun with the two slopes alone settles in four or five readings of the map. No bracket, no proof.
 * Source: Broyden, "A class of methods for solving nonlinear simultaneous equations", Math. Comp. 19 (1965) 577.
 *
 * @returns null where it leaves the map or does not settle
 */
function solveJoint(
  line: LineModel,
  speed: SpeedModel,
  exhaust: ExhaustModel,
  mode: GateMode,
  hint: DrivenHint,
  tolerance: DrivenTolerance,
): Driven | null {
  const T01 = line.inletTemperatureK;
  let T = Math.max(T01, hint.outletTemperatureK);
  let q = hint.backPressureRatio;
  // Inverse of the slopes of both residuals: T_end - T over T, q_end - q over q.
  let [b11, b12, b21, b22] = [-0.95, 0, 0, 1 / USUAL_SLOPE];
  let [lastX, lastY, stepX, stepY] = [Number.NaN, Number.NaN, 0, 0];
  const breathed = { ...speed };
  for (let i = 0; i < MOST_JOINT_STEPS; i++) {
    const factor = breathingFactor(exhaust, q);
    if (!(factor > 0)) return null;
    breathed.breathing = speed.breathing * factor;
    const solution = readAt(line, breathed, T);
    if (solution === null) return null;
    const driven = driveTurbine(line, exhaust, mode, solution, factor, hint, tolerance);
    if (driven === null) return null;
    const end = leadsTo(line, solution, T);
    if (end >= HOTTEST_OUTLET_K) return null;
    const x = (end - T) / SCALE_K;
    const y = driven.backPressureRatio - q;
    if (isSettled(line, T, end, tolerance.temperature) && Math.abs(y) <= tolerance.backPressure * q) {
      hint.outletTemperatureK = T;
      hint.backPressureRatio = driven.backPressureRatio;
      return driven;
    }
    if (i > 0) {
      const [dx, dy] = [x - lastX, y - lastY];
      const [u, v] = [b11 * dx + b12 * dy, b21 * dx + b22 * dy];
      const [left, right] = [stepX * b11 + stepY * b21, stepX * b12 + stepY * b22];
      const weight = left * dx + right * dy;
      if (Math.abs(weight) > 1e-300) {
        const [p, r] = [(stepX - u) / weight, (stepY - v) / weight];
        b11 += p * left;
        b12 += p * right;
        b21 += r * left;
        b22 += r * right;
      }
    }
    [lastX, lastY] = [x, y];
    stepX = -(b11 * x + b12 * y);
    stepY = Math.max(-0.5 * q, Math.min(q, -(b21 * x + b22 * y)));
    const next = Math.min(HOTTEST_OUTLET_K, Math.max(T01, T + stepX * SCALE_K));
    stepX = (next - T) / SCALE_K;
    T = next;
    q += stepY;
    if (!Number.isFinite(T) || !(q > 0)) return null;
  }
  return null;
}

/** A state for a failure before anything was solved: what the engine asks for without compression. */
function stateless(line: LineModel, speed: SpeedModel) {
  return gasState(line, speed, line.inletTemperatureK);
}
