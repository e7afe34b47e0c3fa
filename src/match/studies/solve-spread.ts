import { checkInput } from '../check-input.ts';
import type { MatchInput } from '../types.ts';
import { studyLimits } from './limit-slacks.ts';
import { SpreadRun } from './spread-run.ts';
import { checkTolerances } from './tolerances.ts';
import type { Spread, SpreadOptions, Tolerances } from './types.ts';

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
