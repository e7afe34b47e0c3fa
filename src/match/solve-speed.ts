import type { SurfaceAt } from '../compressor/types.ts';
import { findRoot } from '../numerics/index.ts';
import {
  type GasState,
  gasState,
  HOTTEST_OUTLET_K,
  impliedEfficiency,
  type LineModel,
  outletTemperature,
  type SpeedModel,
} from './line-model.ts';
import type { NoPointReason } from './types.ts';

/** What the engine asks of the compressor when the efficiency is given; it needs no map. */
type Demand =
  | { ok: true; state: GasState }
  | { ok: false; reason: 'inlet-exhausted' | 'unreachable-goal' | 'not-converged'; state: GasState };

const MOST_DEMAND_STEPS = 14;

/**
 * Solves T02 = T_compression(pressure ratio(T02), efficiency) for the outlet temperature. A secant started at `guessK` nearly always
 * ends in a few steps; when it does not, the bracket T01..3000 K decides, so that it always ends.
 */
function demandAt(line: LineModel, speed: SpeedModel, efficiency: number, guessK: number): Demand {
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
    const reason = solved.reason === 'no-bracket' ? 'unreachable-goal' : 'not-converged';
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

/** Efficiency at which a solve starts, and by which a failure is told. */
const START = 0.7;
const LOWEST = 0.02;
const TOLERANCE = 1e-8;
/** The closed loop is asked for to 1e-6; a jump of the map's efficiency in the loop would leave more. */
const ACCEPTED = 1e-7;
/** A hole of the map in a bracket is looked around so often. */
const MOST_HOLES = 4;

/**
 * The closed loop at one engine speed, as one equation in the compressor outlet temperature T02: it fixes every station, they fix the
 * place on the map, and the efficiency there must be the one that T02 means. A secant is tried first; if it runs off the map or does not
 * settle, a scan from the coldest outlet to the hottest finds a bracket, or that the map has no answer anywhere near.
 */
export function solveSpeed(line: LineModel, speed: SpeedModel): SpeedSolution {
  const uncompressed = gasState(line, speed, line.inletTemperatureK);
  if (uncompressed.inletExhausted && speed.goal.kind === 'flow')
    return { ok: false, reason: 'inlet-exhausted', state: uncompressed };
  if (!(uncompressed.pressureRatio > 1)) return { ok: false, reason: 'no-compression', state: uncompressed };
  return solveWarm(line, speed, coldGuess(line, speed, uncompressed, START)) ?? scan(line, speed, uncompressed);
}

/** The loop at one outlet temperature of a scan. */
interface Sample {
  T: number;
  state: GasState;
  /** Efficiency that the temperature means. */
  implied: number;
  reading: Reading | null;
  /** Efficiency of the map less the implied one; NaN where the map has no answer. */
  residual: number;
}

type Sampler = (outletTemperatureK: number) => Sample;

function sampler(line: LineModel, speed: SpeedModel): Sampler {
  return (T) => {
    const state = gasState(line, speed, T);
    const implied = impliedEfficiency(line, state.pressureRatio, T);
    const reading = readState(line, state);
    return { T, state, implied, reading, residual: reading === null ? Number.NaN : reading.efficiency - implied };
  };
}

/**
 * Looks for a change of sign over the outlet temperatures, up to where they mean no efficiency at all or the goal runs away from them.
 * Without one, the loop is off the map: at the efficiency of the start, or where it leaves the map on its way to balance.
 */
function scan(line: LineModel, speed: SpeedModel, uncompressed: GasState): SpeedSolution {
  const T01 = line.inletTemperatureK;
  const sampleAt = sampler(line, speed);
  const demand = demandAt(line, speed, START, coldGuess(line, speed, uncompressed, START));
  const first = demand.ok ? sampleAt(demand.state.outletTemperatureK) : null;
  if (first !== null && lacksEfficiency(line, first.state))
    return { ok: false, reason: 'no-efficiency', state: first.state };
  let exit: Sample | null = null;
  let jump: SpeedSolution | null = null;
  let last: Sample | null = null;
  let T = coldestBelow(line, speed, outletTemperature(line, uncompressed.pressureRatio, 1));
  while (T < HOTTEST_OUTLET_K) {
    const isFirst: boolean = first !== null && last !== null && last.T < first.T && first.T < T;
    const here: Sample = first !== null && isFirst ? first : sampleAt(T);
    // Hotter, and nearer to what the goal asks for: past the fold of a goal that runs away.
    if (last !== null && !(here.implied < last.implied) && here.implied < 1) break;
    if (last !== null) {
      const found = between(sampleAt, last, here, speed.exhaust === null ? MOST_HOLES : 0);
      if (found.solution?.ok) return found.solution;
      jump ??= found.solution;
      exit ??= found.exit;
    }
    if (here.implied < LOWEST) break;
    last = here;
    if (!isFirst) T = T01 + (T - T01) * growth(speed, here.implied);
  }
  if (jump !== null) return jump;
  if (!demand.ok) return demand;
  if (first?.reading === null || exit === null) {
    const reason = first?.reading === null ? 'off-map' : 'not-converged';
    return { ok: false, reason, state: demand.state };
  }
  return { ok: false, reason: exit.state.inletExhausted ? 'inlet-exhausted' : 'off-map', state: exit.state };
}

/** An outlet temperature below which a compression would need an efficiency above 1: the hotter charge may lose less, and ask for less. */
function coldestBelow(line: LineModel, speed: SpeedModel, outletTemperatureK: number): number {
  const T01 = line.inletTemperatureK;
  let T = outletTemperatureK;
  do T = T01 + (T - T01) / 1.1;
  while (T - T01 > 1e-6 && impliedEfficiency(line, gasState(line, speed, T).pressureRatio, T) <= 1);
  return T;
}

/**
 * From one outlet temperature of a scan to the next, of the rise. Fine, so that no answer of the map between two of them is passed over;
 * with a turbine, where a scan is one of hundreds, in wide steps.
 */
function growth({ exhaust }: SpeedModel, implied: number): number {
  if (implied > 1.2) return 1.2;
  if (exhaust === null) return 1.03;
  return implied > 0.5 ? 1.15 : implied > 0.3 ? 1.35 : 2;
}

/** The map answers a speed there but neither it nor the user an efficiency. */
function lacksEfficiency(line: LineModel, state: GasState): boolean {
  const { compressor, assumedEfficiency } = line.input;
  if (compressor.hasEfficiency || assumedEfficiency !== undefined) return false;
  return (compressor.at(state.correctedMassFlowKgPerS, state.pressureRatio).correctedSpeedRpm ?? 0) > 0;
}

interface Between {
  /** A jump of the map where a balance would be is 'not-converged'. */
  solution: SpeedSolution | null;
  /** Where the loop leaves the map: the first sample without an answer on the way to balance. */
  exit: Sample | null;
}

const NOTHING: Between = { solution: null, exit: null };

function between(sampleAt: Sampler, cold: Sample, hot: Sample, holes: number): Between {
  if (cold.reading === null && hot.reading === null) return NOTHING;
  const { inner, edge, outside } = narrowed(sampleAt, cold, hot);
  if (inner.residual > 0 === edge.residual > 0) {
    const towardsOutside = outside !== null && edge.residual > 0 === outside.T < edge.T;
    return towardsOutside ? { solution: null, exit: outside } : NOTHING;
  }
  let hole: Sample | null = null;
  const residual = (T: number) => {
    const here = sampleAt(T);
    if (here.reading === null) hole = here;
    return here.residual;
  };
  const root = findRoot(residual, inner.T, edge.T, { fTolerance: TOLERANCE });
  if (root.ok) {
    const { reading, state, residual: left } = sampleAt(root.value);
    const isBalanced = reading !== null && Math.abs(left) <= ACCEPTED;
    return { solution: isBalanced ? reading : { ok: false, reason: 'not-converged', state }, exit: null };
  }
  const off = hole as Sample | null;
  if (off === null || holes === 0) return NOTHING;
  const [low, high] = inner.T < edge.T ? [inner, edge] : [edge, inner];
  const below = between(sampleAt, low, off, holes - 1);
  return below.solution?.ok ? below : between(sampleAt, off, high, holes - 1);
}

/** Where only one of two neighbours has an answer, halves towards the edge of the map: the root may lie just before it. */
function narrowed(
  sampleAt: Sampler,
  cold: Sample,
  hot: Sample,
): { inner: Sample; edge: Sample; outside: Sample | null } {
  if (cold.reading !== null && hot.reading !== null) return { inner: cold, edge: hot, outside: null };
  const [inner, off] = cold.reading !== null ? [cold, hot] : [hot, cold];
  let edge = inner;
  let outside = off;
  for (let i = 0; i < 16; i++) {
    const middle = sampleAt((edge.T + outside.T) / 2);
    if (middle.reading === null) outside = middle;
    else edge = middle;
    if (edge.residual > 0 !== inner.residual > 0) break;
  }
  return { inner, edge, outside };
}

const MAX_STEPS = 12;
const WARM_TOLERANCE = 3e-9;

export type Reading = Extract<SpeedSolution, { ok: true }>;

/**
 * The closed loop of `solveSpeed` from a guess near the solution: three or four readings of the map. It has no bracket and proves nothing.
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
): Reading | null {
  const T01 = line.inletTemperatureK;
  let T = Math.min(HOTTEST_OUTLET_K, Math.max(T01, guessK));
  let previousT = Number.NaN;
  let previousResidual = Number.NaN;
  for (let i = 0; i < MAX_STEPS; i++) {
    const here = readAt(line, speed, T);
    if (here === null) return null;
    const end = leadsTo(line, here, T);
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

/** The same from the outlet temperatures that usual efficiencies would give: a few readings of the map where it has no answer. */
export function solveNear(line: LineModel, speed: SpeedModel, tolerance: number): SpeedSolution {
  const uncompressed = gasState(line, speed, line.inletTemperatureK);
  if (!(uncompressed.pressureRatio > 1)) return { ok: false, reason: 'no-compression', state: uncompressed };
  for (const efficiency of NEAR_STARTS) {
    const demand = demandAt(line, speed, efficiency, coldGuess(line, speed, uncompressed, efficiency));
    const found = demand.ok ? solveWarm(line, speed, demand.state.outletTemperatureK, tolerance) : null;
    if (found !== null) return found;
  }
  return { ok: false, reason: 'off-map', state: uncompressed };
}

/** One reading of the map at an outlet temperature, settled or not; null where it has no answer. */
export function readAt(line: LineModel, speed: SpeedModel, outletTemperatureK: number): Reading | null {
  return readState(line, gasState(line, speed, outletTemperatureK));
}

function readState(line: LineModel, state: GasState): Reading | null {
  const { compressor, assumedEfficiency } = line.input;
  if (state.inletExhausted || !(state.pressureRatio > 1)) return null;
  const surface = compressor.at(state.correctedMassFlowKgPerS, state.pressureRatio);
  const efficiency = usableEfficiency(surface, assumedEfficiency);
  const { correctedSpeedRpm } = surface;
  if (efficiency === null || correctedSpeedRpm === null) return null;
  const efficiencyAssumed = surface.efficiency === null;
  return { ok: true, state, efficiency, efficiencyAssumed, surface, correctedSpeedRpm };
}

/**
 * T02 of a compression with the efficiency that a reading at an outlet temperature gives. With the mean heat capacity up to that
 * temperature no enthalpy has to be turned back, and where the two are the same it is exact.
 */
export function leadsTo(line: LineModel, { state, efficiency }: Reading, outletTemperatureK: number): number {
  const T01 = line.inletTemperatureK;
  const riseK = outletTemperatureK - T01;
  if (!(riseK > 1e-6)) return outletTemperature(line, state.pressureRatio, efficiency);
  const endK = T01 + (riseK * impliedEfficiency(line, state.pressureRatio, outletTemperatureK)) / efficiency;
  return Math.min(HOTTEST_OUTLET_K, endK);
}

/** Whether an outlet temperature leads to itself, to a share of the rise; to the digits that there are where there is next to none. */
export function isSettled(line: LineModel, outletK: number, endK: number, tolerance: number): boolean {
  return Math.abs(endK - outletK) <= tolerance * (outletK - line.inletTemperatureK) + 1e-12 * outletK;
}

/** Efficiencies to start from where no solved neighbour says better. */
const COLD_STARTS = [START, 0.5];
/** Closer together, for places where the map is narrow. */
const NEAR_STARTS = [START, 0.54, 0.62, 0.8];

/** Outlet temperatures to start from where no solved neighbour says better; none where the engine needs no compressor. */
export function coldGuesses(line: LineModel, speed: SpeedModel, most = COLD_STARTS.length): number[] {
  const first = gasState(line, speed, line.inletTemperatureK);
  return first.pressureRatio > 1
    ? COLD_STARTS.slice(0, most).map((efficiency) => coldGuess(line, speed, first, efficiency))
    : [];
}

function coldGuess(line: LineModel, speed: SpeedModel, uncompressed: GasState, efficiency: number): number {
  const hot = outletTemperature(line, uncompressed.pressureRatio, efficiency);
  return outletTemperature(line, gasState(line, speed, hot).pressureRatio, efficiency);
}

/** Efficiency of a reading of the map; null where it cannot be compressed with. */
function usableEfficiency(surface: SurfaceAt, assumed: number | undefined): number | null {
  if (!((surface.correctedSpeedRpm ?? 0) > 0 && Number.isFinite(surface.correctedSpeedRpm))) return null;
  const efficiency = surface.efficiency ?? assumed ?? null;
  return efficiency !== null && efficiency > 0 && efficiency <= 1 ? efficiency : null;
}
