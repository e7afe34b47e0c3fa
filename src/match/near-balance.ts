import { solveLinear } from '../numerics/index.ts';
import { type Driven, drivenBy } from './driven-loop.ts';
import { breathingFactor } from './exhaust-model.ts';
import { HOTTEST_OUTLET_K, type LineModel, type SpeedModel } from './line-model.ts';
import { leadsTo, type Reading, readAt } from './solve-speed.ts';

/*
 * Balances near a known one, for studies that solve thousands of neighbours: every unknown at once, from a start and with slopes that the
 * known balance gives. It proves nothing: what does not settle in a few steps is for the other solvers.
 */

/**
 * The unknowns of one engine speed, as natural logarithms: the temperature rise in the compressor, K; with a turbine p3/p_m and the
 * isentropic temperature drop in it, K; where the manifold pressure is open that, Pa.
 */
export type Balance = readonly number[];

export interface Found {
  solution: Reading;
  /** null: no turbine is known. */
  driven: Driven | null;
}

/** What fixes an open manifold pressure: 0 where it is right. NaN: no answer. */
export type PressureRule = (solution: Reading, driven: Driven | null) => number;

export interface BalanceTask {
  line: LineModel;
  speed: SpeedModel;
  /** null: the goal fixes the pressure. */
  rule: PressureRule | null;
}

/** The unknowns of a solved point whose turbine has this isentropic temperature drop; 0 without a turbine. */
export function balanceOf(riseK: number, backPressureRatio: number, dropK: number, openPa: number | null): Balance {
  const unknowns = dropK > 0 ? [riseK, backPressureRatio, dropK] : [riseK];
  return (openPa === null ? unknowns : [...unknowns, openPa]).map(Math.log);
}

/** One engine speed as it is tried: breathing and goal are set anew each time, because a study tries some ten thousand. */
interface Trial {
  line: LineModel;
  speed: SpeedModel;
  /** Without back-pressure. */
  breathing: number;
  goal: { kind: 'pressure'; manifoldPressurePa: number };
  rule: PressureRule | null;
}

function trialOf({ line, speed, rule }: BalanceTask): Trial {
  const { engineSpeedRpm, lambda, bsfcKgPerJ, breathing, exhaust } = speed;
  const goal = { kind: 'pressure' as const, manifoldPressurePa: 0 };
  const tried = { engineSpeedRpm, lambda, bsfcKgPerJ, breathing, goal: rule === null ? speed.goal : goal, exhaust };
  return { line, speed: tried, breathing, goal, rule };
}

/**
 * What is left over of each equation, in the order of the unknowns: of the rise that the compressor's efficiency leads to, of p3/p_m, of
 * the turbine's power over what is needed (all relative), and of the rule.
 *
 * @param left receives them
 * @returns null where the map or the turbine has no answer
 */
function tryAt(trial: Trial, at: Float64Array, n: number, left: Float64Array): Found | null {
  const { line, speed, rule } = trial;
  const { exhaust } = speed;
  const riseK = Math.exp(at[0]!);
  const T = line.inletTemperatureK + riseK;
  if (!(T < HOTTEST_OUTLET_K)) return null;
  let q = 1;
  let factor = 1;
  if (exhaust !== null) {
    q = Math.exp(at[1]!);
    factor = breathingFactor(exhaust, q);
    if (!(factor > 0)) return null;
    speed.breathing = trial.breathing * factor;
  }
  if (rule !== null) trial.goal.manifoldPressurePa = Math.exp(at[n - 1]!);
  const solution = readAt(line, speed, T);
  if (solution === null) return null;
  left[0] = (leadsTo(line, solution, T) - T) / riseK;
  let driven: Driven | null = null;
  if (exhaust !== null) {
    driven = drivenBy(line, exhaust, solution, factor, Math.exp(at[2]!));
    if (driven === null || !(driven.expansion.powerW > 0)) return null;
    left[1] = driven.backPressureRatio / q - 1;
    left[2] = Math.log(driven.expansion.powerW / driven.neededPowerW);
  }
  if (rule !== null) left[n - 1] = rule(solution, driven);
  return { solution, driven };
}

const MOST_UNKNOWNS = 4;
const unknowns = () => new Float64Array(MOST_UNKNOWNS);

/** Of the logarithms: far above the rounding of what is left over, far below the bend of any relation. */
const SLOPE_STEP = 1e-4;

/**
 * Inverse of the slopes of what is left over, at a balance: row by row.
 * @returns null where there is no answer next to it
 */
export function inverseSlopes(task: BalanceTask, at: Balance): readonly number[] | null {
  const n = at.length;
  const trial = trialOf(task);
  const here = unknowns();
  if (tryAt(trial, Float64Array.from(at), n, here) === null) return null;
  const slopes = at.map(() => new Array<number>(n));
  for (let j = 0; j < n; j++) {
    const there = unknowns();
    const moved = Float64Array.from(at, (value, i) => (i === j ? value + SLOPE_STEP : value));
    if (tryAt(trial, moved, n, there) === null) return null;
    for (let i = 0; i < n; i++) slopes[i]![j] = (there[i]! - here[i]!) / SLOPE_STEP;
  }
  const inverse = new Array<number>(n * n);
  for (let j = 0; j < n; j++) {
    const column = solveLinear(
      slopes,
      at.map((_, i) => (i === j ? 1 : 0)),
    );
    if (column === null) return null;
    for (let i = 0; i < n; i++) inverse[i * n + j] = column[i]!;
  }
  return inverse;
}

const MOST_STEPS = 8;
/** Of the logarithms: whoever steps farther was not near. */
const LONGEST = 0.2;
/** Share of the temperature itself below which a rise has no digits. */
const ROUNDING = 1e-12;

export interface Followed extends Found {
  at: Balance;
  /** Where one step more would lead. */
  next: Balance;
  /** What is left over of the last equation falls as the last unknown rises, the others kept balanced. */
  isFalling: boolean;
}

/** Worked in by one iteration at a time, and written anew by each. */
const SCRATCH = {
  inverse: new Float64Array(MOST_UNKNOWNS * MOST_UNKNOWNS),
  at: unknowns(),
  left: unknowns(),
  before: unknowns(),
  step: unknowns(),
  across: unknowns(),
  change: unknowns(),
};

/**
 * The balance near a start, by Broyden's iteration begun with the slopes of its neighbour: two or three readings of the map.
 * Source: Broyden, "A class of methods for solving nonlinear simultaneous equations", Math. Comp. 19 (1965) 577.
 *
 * @param inverse see `inverseSlopes`
 * @param tolerances of what is left over, in the order of the unknowns
 * @param shortest it has not settled while one step more would move an unknown by more than this: at a kink the slopes say little of the
 *   way that is left
 * @returns null where it leaves the map or does not settle
 */
export function followBalance(
  task: BalanceTask,
  start: Balance,
  inverse: readonly number[],
  tolerances: readonly number[],
  shortest: number,
): Followed | null {
  const n = start.length;
  const trial = trialOf(task);
  const { inverse: H, at, left, before, step } = SCRATCH;
  for (let i = 0; i < n; i++) at[i] = start[i]!;
  for (let i = 0; i < n * n; i++) H[i] = inverse[i]!;
  for (let turn = 0; turn < MOST_STEPS; turn++) {
    const found = tryAt(trial, at, n, left);
    if (found === null) return null;
    if (turn > 0) improve(H, n, step, left, before);
    let isNear = true;
    let isSettled = true;
    for (let i = 0; i < n; i++) {
      let move = 0;
      for (let k = 0; k < n; k++) move -= H[i * n + k]! * left[k]!;
      if (!(Math.abs(move) < LONGEST)) isNear = false;
      const rounding = i === 0 ? (ROUNDING * task.line.inletTemperatureK) / Math.exp(at[0]!) : 0;
      if (!(Math.abs(left[i]!) <= tolerances[i]! + rounding && Math.abs(move) <= shortest)) isSettled = false;
      step[i] = move;
    }
    if (isSettled) {
      const settled = start.slice();
      const next = start.slice();
      for (let i = 0; i < n; i++) {
        settled[i] = at[i]!;
        next[i] = at[i]! + step[i]!;
      }
      const { solution, driven } = found;
      return { solution, driven, at: settled, next, isFalling: H[n * n - 1]! < 0 };
    }
    if (!isNear) return null;
    for (let i = 0; i < n; i++) {
      at[i]! += step[i]!;
      before[i] = left[i]!;
    }
  }
  return null;
}

/** The inverse after a step: it now leads from what was left over before to what is left now. */
function improve(H: Float64Array, n: number, step: Float64Array, left: Float64Array, before: Float64Array): void {
  const { across, change } = SCRATCH;
  let weight = 0;
  for (let k = 0; k < n; k++) {
    let sum = 0;
    for (let i = 0; i < n; i++) sum += step[i]! * H[i * n + k]!;
    across[k] = sum;
    change[k] = left[k]! - before[k]!;
    weight += sum * change[k]!;
  }
  if (!(Math.abs(weight) > 1e-300)) return;
  for (let i = 0; i < n; i++) {
    let led = 0;
    for (let k = 0; k < n; k++) led += H[i * n + k]! * change[k]!;
    const share = (step[i]! - led) / weight;
    for (let k = 0; k < n; k++) H[i * n + k]! += share * across[k]!;
  }
}
