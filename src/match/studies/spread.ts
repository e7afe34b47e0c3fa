import { checkEngineSpeed, checkInput } from '../check-input.ts';
import { type Driven, type DrivenTolerance, hintFrom, likeOf, solveDriven } from '../driven-loop.ts';
import type { ExhaustModel } from '../exhaust-model.ts';
import { gateArea, isOverOpen, solveOpenNear } from '../gate-open.ts';
import { type HeldLimits, heldLimits, heldNumber, leastSlack, studyLimits } from '../held-limits.ts';
import type { StudyLimits } from '../limits.ts';
import { type LineModel, lineModel, type SpeedModel, speedModel } from '../line-model.ts';
import { drivenPoint, mapEdges, once, solvedPoint, solveOperatingLine, solvePoint } from '../operating-line.ts';
import { solveWarm } from '../solve-speed.ts';
import { type ShutStart, shutStart, solveShutNear } from '../turbine-limited.ts';
import type { MatchInput, OperatingPoint, OperatingPointSolved } from '../types.ts';
import { BoostPath, mapReach, pressureRange } from './boost-path.ts';
import { type CeilingStart, followCeiling } from './ceiling-search.ts';
import { solveCeilings } from './ceilings.ts';
import { ownPlace } from './places.ts';
import { checkTolerances, SampleDrawer, TOLERANCE_TABLE } from './samples.ts';
import { SpreadRecord, spreadResult } from './spread-results.ts';
import type { Ceiling, Spread, SpreadDone, SpreadOptions, ToleranceKey, Tolerances } from './types.ts';

/** Everything a spread is made with. */
export interface SpreadPlan {
  input: MatchInput;
  tolerances: Tolerances;
  limits: StudyLimits;
  engineSpeedsRpm: readonly number[];
  samples: number;
  ceilingSamples: number;
  seed: number;
}

/** Samples that a run has solved, as numbers, for a run of the same plan elsewhere to take in. */
export interface SolvedSamples {
  from: number;
  to: number;
  /** Column after column. */
  numbers: Float64Array<ArrayBuffer>;
}

/**
 * A spread in the making: `step` solves some more samples, so that a worker can listen between steps. Samples do not know of each other:
 * runs of the same plan can share them out (`deal`, `solve`, `take`), and the result is the same to the last digit.
 */
export class SpreadRun {
  readonly plan: SpreadPlan;
  readonly nominal: readonly OperatingPoint[];
  readonly nominalCeilings: readonly Ceiling[];
  readonly records: readonly SpreadRecord[];
  /** Manifold pressure of the ceiling by engine speed and sample; NaN: nothing holds, or not asked for. */
  readonly ceilings: readonly Float64Array[];
  readonly deviations: Readonly<Record<ToleranceKey, Float64Array>>;
  readonly #drawer: SampleDrawer;
  readonly #held: HeldLimits;
  readonly #starts: readonly (CeilingStart | null)[];
  readonly #shutStarts: readonly (ShutStart | null)[];
  /** Between these nothing is solved yet, nor dealt out. */
  #next = 0;
  #end: number;
  #done = 0;

  constructor(plan: SpreadPlan) {
    this.plan = plan;
    this.#end = plan.samples;
    const { samples, engineSpeedsRpm, tolerances, seed, limits } = plan;
    const input = { ...plan.input, limits, engineSpeedsRpm };
    this.nominal = solveOperatingLine(input);
    this.nominalCeilings =
      plan.ceilingSamples === 0
        ? []
        : (solveCeilings(input, [ownPlace(input)], engineSpeedsRpm, limits).cells[0] ?? []);
    this.records = engineSpeedsRpm.map(() => new SpreadRecord(samples));
    this.ceilings = engineSpeedsRpm.map(() => new Float64Array(samples).fill(Number.NaN));
    this.deviations = Object.fromEntries(TOLERANCE_TABLE.map(({ key }) => [key, new Float64Array(samples)])) as Record<
      ToleranceKey,
      Float64Array
    >;
    this.#drawer = new SampleDrawer(input, tolerances, seed);
    this.#held = heldLimits(input, limits);
    this.#starts = ceilingStarts(input, this.nominalCeilings, this.#held);
    this.#shutStarts = shutStarts(input, this.nominal);
  }

  get samplesDone(): number {
    return this.#done;
  }

  get isDone(): boolean {
    return this.#done >= this.plan.samples;
  }

  /** Solves up to so many samples more; false: all that are left are dealt out. */
  step(samples: number): boolean {
    const from = this.#next;
    this.#next = Math.min(this.#end, from + samples);
    this.solve(from, this.#next);
    return this.#next > from;
  }

  /** Up to so many samples for another run to solve, from the end, where no ceilings are looked for; null: none are left. */
  deal(samples: number): { from: number; to: number } | null {
    const to = this.#end;
    this.#end = Math.max(this.#next, to - samples);
    return this.#end < to ? { from: this.#end, to } : null;
  }

  /** Solves these samples here. */
  solve(from: number, to: number): void {
    for (let sample = from; sample < to; sample++) this.#solve(sample);
    this.#done += to - from;
  }

  /** What stands of samples that were solved here. */
  solved(from: number, to: number): SolvedSamples {
    const columns = this.#columns();
    const numbers = new Float64Array((to - from) * columns.length);
    for (const [i, column] of columns.entries()) numbers.set(column.subarray(from, to), i * (to - from));
    return { from, to, numbers };
  }

  /** Puts in samples that were dealt out. */
  take({ from, to, numbers }: SolvedSamples): void {
    const count = to - from;
    for (const [i, column] of this.#columns().entries()) column.set(numbers.subarray(i * count, (i + 1) * count), from);
    this.#done += count;
  }

  #columns(): Float64Array[] {
    return [...this.records.flatMap(({ columns }) => columns), ...this.ceilings, ...Object.values(this.deviations)];
  }

  /** The result, once every sample is solved. */
  result(): SpreadDone {
    return spreadResult(this);
  }

  #solve(sample: number): void {
    const { input, deviations } = this.#drawer.draw(sample);
    for (const { key } of TOLERANCE_TABLE) this.deviations[key][sample] = deviations[key];
    const { engineSpeedsRpm, ceilingSamples } = this.plan;
    const problem = checkInput(input);
    const line = problem === null ? lineModel(input) : null;
    const edges = once(() => mapEdges(input.compressor));
    const reach = once(() => mapReach(input.compressor));
    // What is off in a sample is off in the same way at every engine speed: each starts from how far the one before had moved.
    let moved = UNMOVED;
    let ceilingShare = 1;
    for (const [k, rpm] of engineSpeedsRpm.entries()) {
      const wrong = problem ?? checkEngineSpeed(input, rpm);
      const made = wrong === null && line !== null ? speedModel(line, rpm) : null;
      if (line === null || !made?.ok) {
        const refused = made?.ok === false ? made.message : null;
        const message = wrong ?? refused ?? 'A number is missing or impossible.';
        this.records[k]!.add(sample, { engineSpeedRpm: rpm, status: 'bad-input', message }, this.#held);
        continue;
      }
      const { speed } = made;
      const nominal = this.nominal[k]!;
      const shut = this.#shutStarts[k] ?? null;
      const point = warmPoint(line, speed, nominal, moved, shut) ?? solvePoint(line, speed, edges);
      if (point.status === 'ok' && nominal.status === 'ok') moved = movedBy(point, nominal, moved);
      this.records[k]!.add(sample, point, this.#held);
      if (sample >= ceilingSamples) continue;
      const path = new BoostPath(line, speed, this.#held, edges, CLOSE_ENOUGH);
      const range = () => pressureRange(line, speed, reach());
      const start = this.#starts[k] ?? null;
      const ceiling = followCeiling(path, start, ceilingShare, range, heldNumber(this.#held, 'manifold-pressure'));
      if (ceiling !== null) this.ceilings[k]![sample] = ceiling;
      ceilingShare = ceiling !== null && start !== null ? ceiling / start.pressurePa : 1;
    }
  }
}

/** How far a sample has moved an engine speed's point, as factors on the nominal one: its next engine speed starts from there. */
interface Moved {
  rise: number;
  backPressure: number;
  /** Of the expansion ratio less 1. */
  expansion: number;
  /** Of the pressure that a shut gate reaches. */
  shut: number;
}

const UNMOVED: Moved = { rise: 1, backPressure: 1, expansion: 1, shut: 1 };

function movedBy(point: OperatingPointSolved, nominal: OperatingPointSolved, before: Moved): Moved {
  const [here, there] = [likeOf(point), likeOf(nominal)];
  const rise = riseOf(point) / riseOf(nominal);
  if (here === undefined || there === undefined) return { ...before, rise };
  return {
    rise,
    backPressure: here.backPressureRatio / there.backPressureRatio,
    expansion: (here.expansionRatio - 1) / (there.expansionRatio - 1),
    shut: isShut(point) && isShut(nominal) ? point.manifoldPressurePa / nominal.manifoldPressurePa : before.shut,
  };
}

/** Relative, of the temperature rise: a thousandth of the narrowest band that anybody enters. */
const CLOSE_ENOUGH = 3e-7;

function riseOf(point: OperatingPointSolved): number {
  return point.compressorOutletTemperatureK - point.compressorInletTemperatureK;
}

function warmPoint(
  line: LineModel,
  speed: SpeedModel,
  nominal: OperatingPoint,
  moved: Moved,
  shut: ShutStart | null,
): OperatingPoint | null {
  if (nominal.status !== 'ok') return null;
  const guessK = line.inletTemperatureK + riseOf(nominal) * moved.rise;
  if (speed.exhaust !== null) return warmDriven(line, speed, speed.exhaust, nominal, { guessK, moved, shut });
  const solution = solveWarm(line, speed, guessK, CLOSE_ENOUGH);
  return solution === null ? null : solvedPoint(line, speed, solution);
}

/** Back-pressure moves the air flow by a tenth of its own share. */
const NEAR: DrivenTolerance = { temperature: CLOSE_ENOUGH, backPressure: 1e-6, nearOnly: true };
/** The pressure is then right to some millionths. */
const SHUT_NEAR: DrivenTolerance = { temperature: 5e-7, backPressure: 2e-6, nearOnly: true };
/** Where the goal is just missed: see ShutStart. */
const SLOPE_BELOW_GOAL = -0.8;

function warmDriven(
  line: LineModel,
  speed: SpeedModel,
  exhaust: ExhaustModel,
  nominal: OperatingPointSolved,
  from: { guessK: number; moved: Moved; shut: ShutStart | null },
): OperatingPoint | null {
  const { guessK, moved, shut: start } = from;
  const like = likeOf(nominal) ?? { backPressureRatio: 1, expansionRatio: 1.5 };
  const near = {
    backPressureRatio: like.backPressureRatio * moved.backPressure,
    expansionRatio: 1 + (like.expansionRatio - 1) * moved.expansion,
  };
  const hint = hintFrom(exhaust, near, guessK);
  if (start !== null) {
    const begin = { ...start, pressurePa: start.pressurePa * moved.shut };
    const shut = solveShutNear(line, speed, exhaust, begin, hint, SHUT_NEAR);
    if (shut === null) return null;
    if (!reachesGoal(speed, shut)) return drivenPoint(line, speed, exhaust, shut, 'turbine');
  }
  const atGoal = solveDriven(line, speed, exhaust, 'gate', hint, NEAR);
  if (!atGoal.ok) return null;
  if (atGoal.wastegateShare >= 0) {
    if (!isOverOpen(exhaust, atGoal)) return drivenPoint(line, speed, exhaust, atGoal, 'goal');
    const startPa = Math.max(nominal.manifoldPressurePa, atGoal.solution.state.manifoldPressurePa);
    const open = solveOpenNear(line, speed, exhaust, startPa, hint, NEAR);
    return open && drivenPoint(line, speed, exhaust, open, 'gate', gateArea(exhaust, atGoal));
  }
  const fromPa = atGoal.solution.state.manifoldPressurePa;
  const below = { pressurePa: fromPa * (1 + 0.5 * atGoal.wastegateShare), slope: SLOPE_BELOW_GOAL };
  const shut = solveShutNear(line, speed, exhaust, below, hint, SHUT_NEAR);
  return shut === null || reachesGoal(speed, shut) ? null : drivenPoint(line, speed, exhaust, shut, 'turbine');
}

function isShut({ turbine }: OperatingPointSolved): boolean {
  return turbine?.heldBy === 'turbine';
}

function reachesGoal({ goal }: SpeedModel, { solution: { state } }: Driven): boolean {
  return goal.kind === 'pressure'
    ? state.manifoldPressurePa >= goal.manifoldPressurePa
    : state.airMassFlowKgPerS >= goal.airMassFlowKgPerS;
}

/** For each engine speed at which the nominal line is turbine-limited: where its samples start. */
function shutStarts(input: MatchInput, nominal: readonly OperatingPoint[]): (ShutStart | null)[] {
  const line = checkInput(input) === null ? lineModel(input) : null;
  return nominal.map((point) => {
    if (line === null || point.status !== 'ok' || !isShut(point)) return null;
    const made = speedModel(line, point.engineSpeedRpm);
    const exhaust = made.ok ? made.speed.exhaust : null;
    const like = likeOf(point);
    if (!made.ok || exhaust === null || like === undefined) return null;
    const hint = hintFrom(exhaust, like, point.compressorOutletTemperatureK);
    return shutStart(line, made.speed, exhaust, point.manifoldPressurePa, hint);
  });
}

/** Share by which the pressure is raised to see how the slack falls. */
const RAISE = 0.005;

function ceilingStarts(input: MatchInput, ceilings: readonly Ceiling[], held: HeldLimits): (CeilingStart | null)[] {
  const line = ceilings.length === 0 || checkInput(input) !== null ? null : lineModel(input);
  if (line === null) return ceilings.map(() => null);
  const edges = once(() => mapEdges(input.compressor));
  return ceilings.map((ceiling) => {
    const made = ceiling.status === 'ok' ? speedModel(line, ceiling.engineSpeedRpm) : null;
    if (ceiling.status !== 'ok' || !made?.ok) return null;
    const path = new BoostPath(line, made.speed, held, edges);
    const here = path.exact(ceiling.manifoldPressurePa);
    const above = path.exact(ceiling.manifoldPressurePa * (1 + RAISE));
    const slopePerPa =
      here.slacks === null || above.slacks === null
        ? null
        : (leastSlack(above.slacks) - leastSlack(here.slacks)) / (above.pressurePa - here.pressurePa);
    return {
      pressurePa: ceiling.manifoldPressurePa,
      temperatureK: ceiling.point.compressorOutletTemperatureK,
      like: likeOf(ceiling.point),
      slopePerPa,
    };
  });
}

export const USUAL_SAMPLES = 1024;
const FEWEST_SAMPLES = 64;
const MOST_SAMPLES = 65_536;
/** More engine speeds than this are thinned: the bands are smooth in engine speed, and each costs as many solves as there are samples. */
const USUAL_SPEEDS = 15;
const SAMPLES_PER_STEP = 32;

export type StartedSpread = { ok: true; run: SpreadRun } | { ok: false; message: string };

/**
 * Prepares a spread without solving it: `run.step(n)` solves n samples more until `run.isDone`, then `run.result()`. For a worker that
 * wants to hear a cancel between steps; `solveSpread` does the same in one call.
 */
export function startSpread(input: MatchInput, tolerances: Tolerances, options: SpreadOptions = {}): StartedSpread {
  const samples = options.samples ?? USUAL_SAMPLES;
  const seed = options.seed ?? 1;
  const problem = checkInput(input) ?? checkTolerances(tolerances) ?? checkCounts(samples, seed);
  if (problem !== null) return { ok: false, message: problem };
  const ceilingSamples = Math.min(samples, Math.max(0, Math.floor(options.ceilingSamples ?? samples / 2)));
  return {
    ok: true,
    run: new SpreadRun({
      input,
      tolerances,
      limits: studyLimits(input, options.limits),
      engineSpeedsRpm: options.engineSpeedsRpm ?? usualSpeeds(input.engineSpeedsRpm),
      samples,
      ceilingSamples,
      seed,
    }),
  };
}

/**
 * How sure the match is: the whole solve for a low-discrepancy sample of inputs, each within its tolerance. Tolerances are independent
 * and normal, two standard deviations wide. Bands, the chance that a limit is crossed, and what each tolerance does, for each engine
 * speed and for the ceilings at the input's own place. Samples without a point are counted by reason. Same seed, same numbers.
 *
 * @param input all SI
 * @param tolerances see TOLERANCE_TABLE; USUAL_TOLERANCES
 * @param options see SpreadOptions
 */
export function solveSpread(input: MatchInput, tolerances: Tolerances, options: SpreadOptions = {}): Spread {
  const started = startSpread(input, tolerances, options);
  if (!started.ok) return { status: 'bad-input', message: started.message };
  const { run } = started;
  while (!run.isDone) {
    if (options.isCancelled?.() === true) return { status: 'cancelled', samplesDone: run.samplesDone };
    run.step(SAMPLES_PER_STEP);
    options.onProgress?.(run.samplesDone / run.plan.samples);
  }
  return run.result();
}

function checkCounts(samples: number, seed: number): string | null {
  if (!(Number.isInteger(samples) && samples >= FEWEST_SAMPLES && samples <= MOST_SAMPLES)) {
    return `The number of samples must be a whole number from ${FEWEST_SAMPLES} to ${MOST_SAMPLES}.`;
  }
  return Number.isSafeInteger(seed) ? null : 'The seed must be a whole number.';
}

/** Up to 15 speeds spread evenly from the lowest to the highest. */
function usualSpeeds(engineSpeedsRpm: readonly number[]): readonly number[] {
  if (engineSpeedsRpm.length <= USUAL_SPEEDS) return engineSpeedsRpm;
  const low = Math.min(...engineSpeedsRpm);
  const high = Math.max(...engineSpeedsRpm);
  return Array.from({ length: USUAL_SPEEDS }, (_, i) => low + ((high - low) * i) / (USUAL_SPEEDS - 1));
}
