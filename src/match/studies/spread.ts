import { checkEngineSpeed, checkInput } from '../check-input.ts';
import { type HeldLimits, heldLimits, studyLimits } from '../held-limits.ts';
import type { StudyLimits } from '../limits.ts';
import { lineModel, speedModel } from '../line-model.ts';
import type { Balance } from '../near-balance.ts';
import { mapEdges, once, solveOperatingLine, solvePoint } from '../operating-line.ts';
import type { MatchInput, OperatingPoint } from '../types.ts';
import { BoostPath, mapReach, pressureRange } from './boost-path.ts';
import { solveCeilings } from './ceilings.ts';
import {
  type CeilingNear,
  CLOSE_ENOUGH,
  ceilingNear,
  ceilingStarts,
  type End,
  type NearCeiling,
  type PointStart,
  pointNear,
  pointStarts,
} from './near-points.ts';
import { ownPlace } from './places.ts';
import { checkTolerances, deviationOf, movingTolerances, SampleDrawer, TOLERANCE_TABLE } from './samples.ts';
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
  /** The tolerances that are not nothing: in this order the starts have learnt what each does. */
  readonly active: readonly ToleranceKey[];
  /** By engine speed, each of these alone at its upper and its lower end, one after the other; the same of the ceilings. */
  readonly ends: readonly SpreadRecord[];
  readonly ceilingEnds: readonly Float64Array[];
  readonly #drawer: SampleDrawer;
  readonly #held: HeldLimits;
  readonly #points: readonly (PointStart | null)[];
  readonly #tops: readonly (CeilingNear | null)[];
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
    this.#points = pointStarts(input, this.nominal);
    this.#tops = ceilingStarts(input, this.nominalCeilings, this.#held);
    this.active = movingTolerances(input).filter((key) => tolerances[key] > 0);
    this.ends = engineSpeedsRpm.map(() => new SpreadRecord(2 * this.active.length));
    this.ceilingEnds = engineSpeedsRpm.map(() => new Float64Array(2 * this.active.length).fill(Number.NaN));
    this.#learn();
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

  /** What each tolerance alone does to every point and ceiling, at both its ends: samples start from that. */
  #learn(): void {
    for (const [i, key] of this.active.entries()) {
      const ends = ([1, -1] as const).map((side, j) => {
        const alone = this.#drawer.alone(key, side);
        const take: Take = (k, point, ceiling) => {
          this.ends[k]!.add(2 * i + j, point, this.#held);
          this.ceilingEnds[k]![2 * i + j] = ceiling?.pressurePa ?? Number.NaN;
        };
        const balances = alone && this.#solveAll(alone.input, [], this.#tops.length > 0, take);
        return { x: (alone?.deviation ?? 0) / deviationOf(this.plan.tolerances[key]), balances };
      });
      const endsOf = (of: 'point' | 'top', k: number): End[] =>
        ends.map(({ x, balances }) => ({ x, at: balances?.[k]?.[of] ?? null }));
      for (const [k, start] of this.#points.entries()) start?.near.learn(endsOf('point', k));
      for (const [k, start] of this.#tops.entries()) start?.near.learn(endsOf('top', k));
    }
  }

  #solve(sample: number): void {
    const { input, deviations } = this.#drawer.draw(sample);
    const { tolerances, ceilingSamples } = this.plan;
    for (const { key } of TOLERANCE_TABLE) this.deviations[key][sample] = deviations[key];
    const x = this.active.map((key) => deviations[key] / deviationOf(tolerances[key]));
    this.#solveAll(input, x, sample < ceilingSamples, (k, point, ceiling) => {
      this.records[k]!.add(sample, point, this.#held);
      if (ceiling !== null) this.ceilings[k]![sample] = ceiling.pressurePa;
    });
  }

  /**
   * Every engine speed of a drawn input.
   * @param x its deviations in standard deviations, as far as the starts know what they do
   * @returns the balances by engine speed; null where there is none of the nominal kind
   */
  #solveAll(
    input: MatchInput,
    x: readonly number[],
    hasCeilings: boolean,
    take: Take,
  ): { point: Balance | null; top: Balance | null }[] {
    const problem = checkInput(input);
    const line = problem === null ? lineModel(input) : null;
    const edges = once(() => mapEdges(input.compressor));
    const reach = once(() => mapReach(input.compressor));
    // What is off in a sample is off in much the same way at every engine speed: each starts from how far the one before was off.
    let pointOff: Balance | null = null;
    let topOff: Balance | null = null;
    return this.plan.engineSpeedsRpm.map((rpm, k) => {
      const wrong = problem ?? checkEngineSpeed(input, rpm);
      const made = wrong === null && line !== null ? speedModel(line, rpm) : null;
      if (line === null || !made?.ok) {
        const refused = made?.ok === false ? made.message : null;
        const message = wrong ?? refused ?? 'A number is missing or impossible.';
        take(k, { engineSpeedRpm: rpm, status: 'bad-input', message }, null);
        return { point: null, top: null };
      }
      const { speed } = made;
      const start = this.#points[k] ?? null;
      const from = start?.near.expected(x, pointOff) ?? null;
      const found = start && from && pointNear(line, speed, start, from);
      const point = found?.point ?? solvePoint(line, speed, edges);
      if (from !== null) pointOff = offBy(found?.at ?? null, from, pointOff);
      let ceiling: NearCeiling | null = null;
      if (hasCeilings) {
        const top = this.#tops[k] ?? null;
        const topFrom = top?.near.expected(x, topOff) ?? null;
        const path = new BoostPath(line, speed, this.#held, edges, CLOSE_ENOUGH);
        const range = () => pressureRange(line, speed, reach());
        ceiling = ceilingNear(path, line, speed, this.#held, top, topFrom, range);
        if (topFrom !== null) topOff = offBy(ceiling?.at ?? null, topFrom, topOff);
      }
      take(k, point, ceiling);
      return { point: found?.at ?? null, top: ceiling?.at ?? null };
    });
  }
}

/** What an engine speed came to. */
type Take = (k: number, point: OperatingPoint, ceiling: NearCeiling | null) => void;

/** How far a balance was off the bare expectation, what was known to be off before included. */
function offBy(at: Balance | null, from: Balance, before: Balance | null): Balance | null {
  if (at === null) return null;
  const known = before?.length === from.length ? before : null;
  return at.map((value, i) => value - from[i]! + (known?.[i] ?? 0));
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
