import type { SurfaceAt } from '../compressor/types.ts';
import { findRoot } from '../numerics/index.ts';
import {
  type GasState,
  gasState,
  HOTTEST_OUTLET_K,
  type LineModel,
  outletTemperature,
  type SpeedModel,
} from './line-model.ts';
import type { NoPointReason } from './types.ts';

/** What the engine asks of the compressor when the efficiency is given: the inner loop, which needs no map. */
export type Demand =
  | { ok: true; state: GasState }
  | { ok: false; reason: 'inlet-exhausted' | 'unreachable-goal' | 'not-converged'; state: GasState };

const MOST_DEMAND_STEPS = 14;

/**
 * Solves T02 = T_compression(pressure ratio(T02), efficiency) for the outlet temperature. A secant started at `guessK` nearly always
 * ends in a few steps; when it does not, the bracket T01..3000 K decides, so that it always ends.
 */
export function demandAt(line: LineModel, speed: SpeedModel, efficiency: number, guessK: number): Demand {
  const T01 = line.inletTemperatureK;
  const compressed = (state: GasState) => outletTemperature(line, state.pressureRatio, efficiency);
  let previousT = Number.NaN;
  let previousResidual = Number.NaN;
  let T = Math.max(T01, guessK);
  for (let i = 0; i < MOST_DEMAND_STEPS; i++) {
    const state = gasState(line, speed, T);
    const end = compressed(state);
    const residual = end - T;
    if (Math.abs(residual) <= 1e-9 * (T - T01) + 1e-12 * T) return ended(state, end);
    const slope = (residual - previousResidual) / (T - previousT);
    const next = Number.isFinite(slope) && slope < -0.05 ? T - residual / slope : end;
    previousT = T;
    previousResidual = residual;
    T = Math.min(HOTTEST_OUTLET_K, Math.max(T01, next));
  }
  const solved = findRoot((t) => compressed(gasState(line, speed, t)) - t, T01, HOTTEST_OUTLET_K, {
    xTolerance: 1e-10,
  });
  if (!solved.ok) {
    const reason = solved.failure.reason === 'no-bracket' ? 'unreachable-goal' : 'not-converged';
    return { ok: false, reason, state: gasState(line, speed, T01) };
  }
  const state = gasState(line, speed, solved.value);
  const end = compressed(state);
  if (Math.abs(end - solved.value) > 1e-8 * solved.value) return { ok: false, reason: 'not-converged', state };
  return ended(state, end);
}

function ended(state: GasState, outletTemperatureK: number): Demand {
  if (state.inletExhausted) return { ok: false, reason: 'inlet-exhausted', state };
  if (outletTemperatureK >= HOTTEST_OUTLET_K) return { ok: false, reason: 'unreachable-goal', state };
  return { ok: true, state };
}

export type SpeedSolution =
  | {
      ok: true;
      state: GasState;
      efficiency: number;
      efficiencyAssumed: boolean;
      surface: SurfaceAt;
      correctedSpeedRpm: number;
    }
  /** 'off-map': the surface has no answer at `state`; where it lies is for the caller to name. */
  | { ok: false; reason: NoPointReason | 'off-map'; state: GasState };

/** What the map says to the demand that an efficiency leads to. */
interface Trial {
  demand: Demand;
  surface: SurfaceAt | null;
  /** Efficiency that the map (or the assumption) gives there; null where there is none. */
  answered: number | null;
}

const START = 0.7;
const LOWEST = 0.02;
const TOLERANCE = 1e-8;
/** The closed loop is asked for to 1e-6; a jump of the map's efficiency in the loop would leave more. */
const ACCEPTED = 1e-7;
const MAX_SECANT_STEPS = 10;
/** Efficiencies from which the bracketed search starts when the secant has failed. */
const SCAN = [1, 0.9, 0.8, 0.72, 0.64, 0.55, 0.45, 0.35, 0.25, 0.15, LOWEST];

/**
 * The closed loop at one engine speed, as one equation in the compressor efficiency e: the demand that e leads to, read on the map,
 * must give e again. e lies between 0 and 1, which brackets the search. A secant is tried first; if it runs off the map or does not
 * settle, a scan over e finds a bracket or proves that the map has no answer anywhere near.
 */
export function solveSpeed(line: LineModel, speed: SpeedModel): SpeedSolution {
  const uncompressed = gasState(line, speed, line.inletTemperatureK);
  if (uncompressed.inletExhausted && speed.goal.kind === 'flow')
    return { ok: false, reason: 'inlet-exhausted', state: uncompressed };
  if (!(uncompressed.pressureRatio > 1)) return { ok: false, reason: 'no-compression', state: uncompressed };
  const trialAt = trials(line, speed);
  const first = trialAt(START);
  const failure = first.demand.ok ? missingEfficiency(line, first) : null;
  if (failure !== null) return { ok: false, reason: failure, state: first.demand.state };
  return secant(trialAt, first) ?? scan(trialAt, first);
}

function trials(line: LineModel, speed: SpeedModel): (efficiency: number) => Trial {
  const { compressor, assumedEfficiency } = line.input;
  const T01 = line.inletTemperatureK;
  // Each trial starts from the temperature of the one before, its rise scaled by the efficiencies.
  let riseTimesEfficiency = 0.35 * T01;
  return (efficiency) => {
    const demand = demandAt(line, speed, efficiency, T01 + riseTimesEfficiency / efficiency);
    if (!demand.ok) return { demand, surface: null, answered: null };
    const { state } = demand;
    riseTimesEfficiency = (state.outletTemperatureK - T01) * efficiency;
    const surface = compressor.at(state.correctedMassFlowKgPerS, state.pressureRatio);
    return { demand, surface, answered: answeredEfficiency(surface, assumedEfficiency) };
  };
}

function answeredEfficiency(surface: SurfaceAt, assumed: number | undefined): number | null {
  if (!isPositive(surface.correctedSpeedRpm)) return null;
  const efficiency = surface.efficiency ?? assumed ?? null;
  return isPositive(efficiency) && efficiency <= 1 ? efficiency : null;
}

function isPositive(value: number | null): value is number {
  return value !== null && value > 0 && Number.isFinite(value);
}

/** The map answers a speed but neither it nor the user an efficiency. */
function missingEfficiency(line: LineModel, trial: Trial): NoPointReason | null {
  const { surface } = trial;
  if (line.input.compressor.hasEfficiency || line.input.assumedEfficiency !== undefined) return null;
  return surface !== null && isPositive(surface.correctedSpeedRpm) ? 'no-efficiency' : null;
}

function secant(trialAt: (efficiency: number) => Trial, first: Trial): SpeedSolution | null {
  let e = START;
  let trial = first;
  let previousE = Number.NaN;
  let previousResidual = Number.NaN;
  for (let i = 0; i < MAX_SECANT_STEPS; i++) {
    if (trial.answered === null) return null;
    const residual = trial.answered - e;
    if (Math.abs(residual) <= TOLERANCE) return solved(trial, e);
    const slope = (residual - previousResidual) / (e - previousE);
    const next = Number.isFinite(slope) && slope < -0.2 ? e - residual / slope : trial.answered;
    previousE = e;
    previousResidual = residual;
    e = Math.min(1, Math.max(LOWEST, next));
    trial = trialAt(e);
  }
  return null;
}

function solved(trial: Trial, efficiency: number): SpeedSolution {
  const { surface, demand } = trial;
  if (surface?.correctedSpeedRpm == null) return { ok: false, reason: 'not-converged', state: demand.state };
  return {
    ok: true,
    state: demand.state,
    efficiency,
    efficiencyAssumed: surface.efficiency === null,
    surface,
    correctedSpeedRpm: surface.correctedSpeedRpm,
  };
}

/**
 * Looks for a change of sign over the efficiencies that the map answers, up to where its answers end. Without one, the loop is off
 * the map: at the first trial, or where it leaves the map on its way to balance.
 */
function scan(trialAt: (efficiency: number) => Trial, first: Trial): SpeedSolution {
  let high: Sample | null = null;
  let exit: Trial | null = null;
  for (const e of SCAN) {
    const low: Sample = { e, trial: trialAt(e) };
    if (high !== null) {
      const found = between(trialAt, high, low);
      if (found.solution !== null) return found.solution;
      exit ??= found.exit;
    }
    high = low;
  }
  const last = first.answered === null ? first : exit;
  if (last === null) return { ok: false, reason: 'not-converged', state: first.demand.state };
  return { ok: false, reason: last.demand.ok ? 'off-map' : last.demand.reason, state: last.demand.state };
}

interface Sample {
  e: number;
  trial: Trial;
}

interface Between {
  solution: SpeedSolution | null;
  /** Where the loop leaves the map: the first trial without an answer on the way to balance. */
  exit: Trial | null;
}

function between(trialAt: (efficiency: number) => Trial, high: Sample, low: Sample): Between {
  if (high.trial.answered === null && low.trial.answered === null) return { solution: null, exit: null };
  const { inner, edge, outside } = narrowed(trialAt, high, low);
  if (residualOf(inner) > 0 === residualOf(edge) > 0) {
    const towardsOutside = outside !== null && residualOf(edge) > 0 === outside.e > edge.e;
    return { solution: null, exit: towardsOutside ? outside.trial : null };
  }
  const root = findRoot((e) => residualOf({ e, trial: trialAt(e) }), inner.e, edge.e, {
    fTolerance: TOLERANCE,
    xTolerance: 1e-13,
  });
  if (!root.ok) return { solution: null, exit: null };
  const trial = trialAt(root.value);
  const accepted = Math.abs(residualOf({ e: root.value, trial })) <= ACCEPTED;
  const solution: SpeedSolution = accepted
    ? solved(trial, root.value)
    : { ok: false, reason: 'not-converged', state: trial.demand.state };
  return { solution, exit: null };
}

function residualOf(sample: Sample): number {
  return sample.trial.answered === null ? Number.NaN : sample.trial.answered - sample.e;
}

/** Where only one of two neighbours has an answer, halves towards the edge of the map: the root may lie just before it. */
function narrowed(
  trialAt: (efficiency: number) => Trial,
  high: Sample,
  low: Sample,
): { inner: Sample; edge: Sample; outside: Sample | null } {
  if (high.trial.answered !== null && low.trial.answered !== null) return { inner: high, edge: low, outside: null };
  const [inner, off] = high.trial.answered !== null ? [high, low] : [low, high];
  let edge = inner;
  let outside = off;
  for (let i = 0; i < 16; i++) {
    const e = (edge.e + outside.e) / 2;
    const middle: Sample = { e, trial: trialAt(e) };
    if (middle.trial.answered === null) outside = middle;
    else edge = middle;
    if (residualOf(edge) > 0 !== residualOf(inner) > 0) break;
  }
  return { inner, edge, outside };
}

const MAX_STEPS = 12;
const WARM_TOLERANCE = 3e-9;

export type WarmSolution = Extract<SpeedSolution, { ok: true }>;

/**
 * The closed loop of `solveSpeed` as one equation in the outlet temperature, for studies that solve thousands of neighbouring points:
 * from a guess near the solution it takes three or four readings of the map. It has no bracket and proves nothing.
 *
 * @param guessK outlet temperature to start from
 * @param tolerance of the temperature rise, relative
 * @returns the solution, or null when the map has no answer on the way or the steps do not settle: `solveSpeed` decides then
 */
export function solveWarm(
  line: LineModel,
  speed: SpeedModel,
  guessK: number,
  tolerance = WARM_TOLERANCE,
): WarmSolution | null {
  const T01 = line.inletTemperatureK;
  let T = Math.min(HOTTEST_OUTLET_K, Math.max(T01, guessK));
  let previousT = Number.NaN;
  let previousResidual = Number.NaN;
  for (let i = 0; i < MAX_STEPS; i++) {
    const here = readAt(line, speed, T);
    if (here === null) return null;
    const end = outletTemperature(line, here.state.pressureRatio, here.efficiency);
    if (end >= HOTTEST_OUTLET_K) return null;
    const residual = end - T;
    if (isSettled(line, T, end, tolerance)) return here;
    const slope = (residual - previousResidual) / (T - previousT);
    const next = Number.isFinite(slope) && slope < -0.2 ? T - residual / slope : end;
    previousT = T;
    previousResidual = residual;
    T = Math.min(HOTTEST_OUTLET_K, Math.max(T01, next));
  }
  return null;
}

/** One reading of the map at an outlet temperature, settled or not; null where it has no answer. */
export function readAt(line: LineModel, speed: SpeedModel, outletTemperatureK: number): WarmSolution | null {
  const { compressor, assumedEfficiency } = line.input;
  const state = gasState(line, speed, outletTemperatureK);
  if (state.inletExhausted || !(state.pressureRatio > 1)) return null;
  const surface = compressor.at(state.correctedMassFlowKgPerS, state.pressureRatio);
  const efficiency = usableEfficiency(surface, assumedEfficiency);
  const { correctedSpeedRpm } = surface;
  if (efficiency === null || correctedSpeedRpm === null) return null;
  const efficiencyAssumed = surface.efficiency === null;
  return { ok: true, state, efficiency, efficiencyAssumed, surface, correctedSpeedRpm };
}

/** Whether an outlet temperature leads to itself, to a share of the rise; to the digits that there are where there is next to none. */
export function isSettled(line: LineModel, outletK: number, endK: number, tolerance: number): boolean {
  return Math.abs(endK - outletK) <= tolerance * (outletK - line.inletTemperatureK) + 1e-12 * outletK;
}

/** Efficiencies to start from where no solved neighbour says better. */
const COLD_STARTS = [0.7, 0.5];

/** Outlet temperatures to start from where no solved neighbour says better; none where the engine needs no compressor. */
export function coldGuesses(line: LineModel, speed: SpeedModel): number[] {
  const first = gasState(line, speed, line.inletTemperatureK);
  if (!(first.pressureRatio > 1)) return [];
  return COLD_STARTS.map((efficiency) => {
    const hot = outletTemperature(line, first.pressureRatio, efficiency);
    return outletTemperature(line, gasState(line, speed, hot).pressureRatio, efficiency);
  });
}

/** Efficiency of a reading of the map; null where it cannot be compressed with. */
function usableEfficiency(surface: SurfaceAt, assumed: number | undefined): number | null {
  if (!((surface.correctedSpeedRpm ?? 0) > 0)) return null;
  const efficiency = surface.efficiency ?? assumed ?? null;
  return efficiency !== null && efficiency > 0 && efficiency <= 1 ? efficiency : null;
}
