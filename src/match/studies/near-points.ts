import { checkInput } from '../check-input.ts';
import { type DrivenHint, type DrivenTolerance, type LikePoint, noHint, solveDriven } from '../driven-loop.ts';
import type { ExhaustModel } from '../exhaust-model.ts';
import { gateArea, isOverOpen, solveOpenNear } from '../gate-open.ts';
import { type HeldLimits, heldNumber, leastSlack } from '../held-limits.ts';
import { type LineModel, lineModel, type SpeedModel, speedModel } from '../line-model.ts';
import {
  type Balance,
  type BalanceTask,
  balanceOf,
  followBalance,
  inverseSlopes,
  type PressureRule,
} from '../near-balance.ts';
import { drivenPoint, solvedPoint } from '../operating-line.ts';
import { solveWarm } from '../solve-speed.ts';
import { isentropicOutlet, ratioTo } from '../turbine-expansion.ts';
import { solveShutNear } from '../turbine-limited.ts';
import type { MatchInput, OperatingPoint, OperatingPointSolved, TurbineState } from '../types.ts';
import { type BoostPath, slacksNear } from './boost-path.ts';
import { followCeiling } from './ceiling-search.ts';
import type { Ceiling } from './types.ts';

/* How the samples of a spread are solved: from where the nominal point and what each tolerance alone does to it lead one to expect them. */

/** What a tolerance alone came to at one of its ends. */
export interface End {
  /** In standard deviations. */
  x: number;
  /** null: no balance of the same kind there. */
  at: Balance | null;
}

/** The nominal balance of one engine speed, and what is known of those near it. */
export class Near {
  readonly nominal: Balance;
  /** null: none could be worked out; a start for other solvers only. */
  readonly inverse: readonly number[] | null;
  /** By tolerance and unknown: a balance moves by linear x + square x^2, x in standard deviations. */
  readonly linear: number[] = [];
  readonly square: number[] = [];

  constructor(nominal: Balance, inverse: readonly number[] | null) {
    this.nominal = nominal;
    this.inverse = inverse;
  }

  /** Takes in the next tolerance: a parabola through nothing and its ends; a straight line where only one is known. */
  learn(ends: readonly End[]): void {
    const [one, other] = ends.filter(({ at }) => at !== null);
    for (const [i, value] of this.nominal.entries()) {
      const slopeTo = (end: End | undefined) => (end?.at ? (end.at[i]! - value) / end.x : Number.NaN);
      const slope = slopeTo(one);
      const square = one && other ? (slope - slopeTo(other)) / (one.x - other.x) : 0;
      this.linear.push(one ? slope - square * one.x : 0);
      this.square.push(square);
    }
  }

  /**
   * Where a sample's balance is expected.
   * @param x deviations in standard deviations, in the order in which they were learnt; none: all are 0
   * @param off how far the sample's neighbouring engine speed was off the like expectation; null: not known
   */
  expected(x: readonly number[], off: Balance | null): number[] {
    const { linear, square } = this;
    const at = this.nominal.slice();
    const n = at.length;
    for (let k = 0; k < x.length; k++) {
      const here = x[k]!;
      for (let i = 0; i < n; i++) at[i]! += here * (linear[k * n + i]! + here * square[k * n + i]!);
    }
    if (off?.length === n) for (let i = 0; i < n; i++) at[i]! += off[i]!;
    return at;
  }
}

type HeldBy = TurbineState['heldBy'] | 'no turbine';

function heldBy({ turbine }: OperatingPointSolved): HeldBy {
  return turbine === null ? 'no turbine' : turbine.heldBy;
}

/** Where the exhaust does all it can: nothing of it passes the turbine by. */
const NOTHING_PASSES: PressureRule = (_, driven) => driven!.wastegateShare;

/** Relative, of the temperature rise: a thousandth of the narrowest band that anybody enters. */
export const CLOSE_ENOUGH = 3e-7;
/** Back-pressure moves the air flow by a tenth of its own share; that of the rule moves the pressure by some millionths. */
const POINT = [CLOSE_ENOUGH, 1e-6, 3e-7, 1e-6];
const WITHOUT_TURBINE = [CLOSE_ENOUGH];
const POINT_STEP = 1e-4;

/** The unknowns of a point that was solved, by whatever solver; null where they cannot be told. */
export function balanceAt({ exhaust }: SpeedModel, point: OperatingPointSolved): Balance | null {
  const riseK = point.compressorOutletTemperatureK - point.compressorInletTemperatureK;
  if (!(riseK > 0)) return null;
  const { backPressureRatio, expansionRatio } = point;
  if (exhaust === null || backPressureRatio === null || expansionRatio === null) return balanceOf(riseK, 1, 0, null);
  const outletK = isentropicOutlet(exhaust, expansionRatio);
  if (outletK === null || !(outletK < exhaust.temperatureK)) return null;
  const isOpen = heldBy(point) !== 'goal';
  return balanceOf(riseK, backPressureRatio, exhaust.temperatureK - outletK, isOpen ? point.manifoldPressurePa : null);
}

/** What the points of one engine speed start from. */
export interface PointStart {
  near: Near;
  heldBy: HeldBy;
}

/** For each engine speed with a point: what its samples start from. */
export function pointStarts(input: MatchInput, nominal: readonly OperatingPoint[]): (PointStart | null)[] {
  const line = checkInput(input) === null ? lineModel(input) : null;
  return nominal.map((point) => {
    const made = line !== null && point.status === 'ok' ? speedModel(line, point.engineSpeedRpm) : null;
    if (line === null || point.status !== 'ok' || !made?.ok) return null;
    const at = balanceAt(made.speed, point);
    if (at === null) return null;
    const held = heldBy(point);
    // What the open gate leaves hangs on the balance of the goal as well: the other solvers know both.
    const inverse = held === 'gate' ? null : inverseSlopes(pointTask(line, made.speed, held), at);
    return { near: new Near(at, inverse), heldBy: held };
  });
}

function pointTask(line: LineModel, speed: SpeedModel, held: HeldBy): BalanceTask {
  return { line, speed, rule: held === 'turbine' ? NOTHING_PASSES : null };
}

export interface NearPoint {
  point: OperatingPointSolved;
  /** Its unknowns; null where it is held by something else than the nominal point. */
  at: Balance | null;
}

/** The point that is expected near `at`; null where the solvers that start near find none: the whole solve decides then. */
export function pointNear(line: LineModel, speed: SpeedModel, start: PointStart, at: Balance): NearPoint | null {
  const found = followed(line, speed, start, at);
  if (found !== null) return found;
  const point = warmPoint(line, speed, start, at);
  return point && { point, at: heldBy(point) === start.heldBy ? balanceAt(speed, point) : null };
}

function followed(line: LineModel, speed: SpeedModel, start: PointStart, from: Balance): NearPoint | null {
  const { near, heldBy: held } = start;
  if (near.inverse === null) return null;
  const { exhaust } = speed;
  const tolerances = exhaust === null ? WITHOUT_TURBINE : POINT;
  const found = followBalance(pointTask(line, speed, held), from, near.inverse, tolerances, POINT_STEP);
  if (found === null) return null;
  const { solution, driven, at } = found;
  if (exhaust === null || driven === null) return { point: solvedPoint(line, speed, solution), at };
  if (held === 'turbine') {
    if (reachesGoal(speed, solution.state)) return null;
    driven.wastegateShare = 0;
  } else if (driven.wastegateShare < 0 || isOverOpen(exhaust, driven)) return null;
  return { point: drivenPoint(line, speed, exhaust, driven, held === 'turbine' ? held : 'goal'), at };
}

const NEAR: DrivenTolerance = { temperature: CLOSE_ENOUGH, backPressure: 1e-6, nearOnly: true };
/** The pressure is then right to a millionth. */
const SHUT_NEAR: DrivenTolerance = { temperature: 5e-8, backPressure: 2e-7, nearOnly: true };

/** Whatever holds it, by the solvers that take one unknown after the other. */
function warmPoint(
  line: LineModel,
  speed: SpeedModel,
  start: PointStart,
  at: Balance,
): (OperatingPoint & { status: 'ok' }) | null {
  const guessK = line.inletTemperatureK + Math.exp(at[0]!);
  const { exhaust } = speed;
  if (exhaust === null) {
    const solution = solveWarm(line, speed, guessK, CLOSE_ENOUGH);
    return solution === null ? null : solvedPoint(line, speed, solution);
  }
  const hint = hintAt(exhaust, at, guessK);
  const shutFrom = (pressurePa: number) => {
    const shut = solveShutNear(line, speed, exhaust, pressurePa, hint, SHUT_NEAR);
    return shut === null ? null : { shut, holds: reachesGoal(speed, shut.solution.state) };
  };
  const isShut = start.heldBy === 'turbine';
  if (isShut) {
    const found = shutFrom(Math.exp(at[3]!));
    if (found === null) return null;
    if (!found.holds) return drivenPoint(line, speed, exhaust, found.shut, 'turbine');
  }
  const atGoal = solveDriven(line, speed, exhaust, 'gate', hint, NEAR);
  if (!atGoal.ok) return null;
  const goalPa = atGoal.solution.state.manifoldPressurePa;
  if (atGoal.wastegateShare >= 0) {
    if (!isOverOpen(exhaust, atGoal)) return drivenPoint(line, speed, exhaust, atGoal, 'goal');
    const startPa = Math.max(start.heldBy === 'gate' ? Math.exp(at[3]!) : 0, goalPa);
    const open = solveOpenNear(line, speed, exhaust, startPa, hint, NEAR);
    return open && drivenPoint(line, speed, exhaust, open, 'gate', gateArea(exhaust, atGoal));
  }
  // Just missed.
  const found = shutFrom(goalPa * (1 + 0.5 * atGoal.wastegateShare));
  return found === null || found.holds ? null : drivenPoint(line, speed, exhaust, found.shut, 'turbine');
}

function likeAt(exhaust: ExhaustModel, at: Balance): LikePoint {
  return {
    backPressureRatio: Math.exp(at[1]!),
    expansionRatio: ratioTo(exhaust, exhaust.temperatureK - Math.exp(at[2]!)),
  };
}

function hintAt(exhaust: ExhaustModel, at: Balance, outletTemperatureK: number): DrivenHint {
  return { ...noHint(), ...likeAt(exhaust, at), outletTemperatureK, dropK: Math.exp(at[2]!) };
}

function reachesGoal({ goal }: SpeedModel, state: { manifoldPressurePa: number; airMassFlowKgPerS: number }): boolean {
  return goal.kind === 'pressure'
    ? state.manifoldPressurePa >= goal.manifoldPressurePa
    : state.airMassFlowKgPerS >= goal.airMassFlowKgPerS;
}

/** What the ceilings of one engine speed start from. */
export interface CeilingNear {
  near: Near;
  /** Change of the least slack with pressure, 1/Pa, below 0; null: not known, search anew each time. */
  slopePerPa: number | null;
}

/** For each ceiling that was found: what those of the samples start from. */
export function ceilingStarts(
  input: MatchInput,
  ceilings: readonly Ceiling[],
  held: HeldLimits,
): (CeilingNear | null)[] {
  const line = ceilings.length === 0 || checkInput(input) !== null ? null : lineModel(input);
  return ceilings.map((ceiling) => {
    const made = line !== null && ceiling.status === 'ok' ? speedModel(line, ceiling.engineSpeedRpm) : null;
    if (line === null || ceiling.status !== 'ok' || !made?.ok) return null;
    const { speed } = made;
    // The balance is that of a gate that holds the ceiling's pressure, which is open.
    const solved = balanceAt(speed, ceiling.point);
    if (solved === null) return null;
    const at = [...solved, Math.log(ceiling.manifoldPressurePa)];
    const inverse = inverseSlopes(ceilingTask(line, speed, held), at);
    const last = at.length - 1;
    const byLog = inverse === null ? Number.NaN : 1 / inverse[last * at.length + last]!;
    const slopePerPa = byLog < 0 ? byLog / ceiling.manifoldPressurePa : null;
    return { near: new Near(at, slopePerPa === null ? null : inverse), slopePerPa };
  });
}

function ceilingTask(line: LineModel, speed: SpeedModel, held: HeldLimits): BalanceTask {
  return {
    line,
    speed,
    rule: (solution, driven) => leastSlack(slacksNear(line, speed, held, solution, driven)),
  };
}

/** Before the last step, which is taken and not looked at: that leaves some pascals, far inside any band. */
const CEILING = [3e-4, 3e-4, 3e-4, 3e-4];
const CEILING_STEP = 1.5e-4;
/** A ceiling that has moved farther than this from the nominal one, as a logarithm, is searched for anew. */
const FARTHEST = 0.2;

export interface NearCeiling {
  pressurePa: number;
  /** null where the whole range was searched. */
  at: Balance | null;
}

/** The ceiling that is expected near `at`, some ten pascals exact; where nothing settles there, the whole range is searched. */
export function ceilingNear(
  path: BoostPath,
  line: LineModel,
  speed: SpeedModel,
  held: HeldLimits,
  start: CeilingNear | null,
  at: Balance | null,
  range: () => { lowPa: number; topPa: number },
): NearCeiling | null {
  const limitPa = heldNumber(held, 'manifold-pressure');
  if (start !== null && at !== null && start.near.inverse !== null) {
    const last = at.length - 1;
    const found = followBalance(ceilingTask(line, speed, held), at, start.near.inverse, CEILING, CEILING_STEP);
    const logPa = found?.next[last] ?? Number.NaN;
    if (found?.isFalling && Math.abs(logPa - start.near.nominal[last]!) < FARTHEST)
      return { pressurePa: Math.min(limitPa, Math.exp(logPa)), at: found.next };
  }
  const begin = start && at && ceilingStart(line, speed, start, at);
  const pressurePa = followCeiling(path, begin, 1, range, limitPa);
  return pressurePa === null ? null : { pressurePa, at: null };
}

function ceilingStart(line: LineModel, { exhaust }: SpeedModel, { slopePerPa }: CeilingNear, at: Balance) {
  return {
    pressurePa: Math.exp(at[at.length - 1]!),
    temperatureK: line.inletTemperatureK + Math.exp(at[0]!),
    like: exhaust === null ? undefined : likeAt(exhaust, at),
    slopePerPa,
  };
}
