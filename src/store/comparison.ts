import { type Build, type CardReading, candidateRotor, readCard, spoolSetup } from '../build/index.ts';
import { type WheelRatios, wheelRatios } from '../compressor/index.ts';
import { checkClaim, compareCandidates, ownPlace, type Spool, solveCeilings, solveSpool } from '../match/index.ts';
import type { CeilingTable, ClaimCheck, Comparison, MatchInput, SolvedCandidate } from '../match/types.ts';
import { type Memory, memory } from '../numerics/index.ts';
import { type CandidateResults, candidateResults } from './candidateResults.ts';
import { selectActiveBuild } from './selectors.ts';
import type { LuglineState } from './state.ts';
import { isSameStudy } from './state.ts';

/** Two candidates of the open build held against each other. Derived, never saved. */
export interface ComparisonResults {
  /** null: one of them has no operating line; see the problems of its results. */
  comparison: Comparison | null;
  /** Of the compressor and turbine wheels, b over a. */
  ratios: { compressor: WheelRatios; turbine: WheelRatios };
  /** null: nothing is claimed of b. */
  claim: ClaimCheck | null;
}

/** More engine speeds than this make the ceilings slower, not clearer. */
const MOST_CEILING_SPEEDS = 21;

const ceilingsOf = memory<object, CeilingTable>();

/** Ceilings where the car stands; some ten milliseconds a candidate, once an input. */
function dayCeilings(results: CandidateResults, stayBelowTopLine: boolean): CeilingTable | null {
  const { input } = results;
  if (input === null) return null;
  return ceilingsOf(input, [stayBelowTopLine], () => solveDay(input, stayBelowTopLine));
}

function solveDay(input: MatchInput, stayBelowTopLine: boolean): CeilingTable {
  const { engineSpeedsRpm } = input;
  const every = Math.ceil(engineSpeedsRpm.length / MOST_CEILING_SPEEDS);
  const last = engineSpeedsRpm.length - 1;
  const speeds = engineSpeedsRpm.filter((_, i) => (last - i) % every === 0);
  return solveCeilings(input, [ownPlace(input)], speeds, { ...input.limits, stayBelowTopLine });
}

/** By both candidates, and apart with and without ceilings: two parts of a page may ask for both at once. */
const known = {
  withCeilings: memory<CandidateResults, Memory<CandidateResults, ComparisonResults>>(),
  without: memory<CandidateResults, Memory<CandidateResults, ComparisonResults>>(),
};

/**
 * Candidate b of the open build held against candidate a; null when there is no such candidate. The same object while nothing changed.
 * The row of altitude is there once the study over altitude of the present build is done.
 *
 * @param withCeilings false leaves out what takes longer than a frame: ask for it when the inputs rest
 */
export function selectComparison(
  state: LuglineState,
  aIndex: number,
  bIndex: number,
  withCeilings: boolean,
): ComparisonResults | null {
  const build = selectActiveBuild(state);
  const a = candidateResults(build, aIndex, state.fitter);
  const b = candidateResults(build, bIndex, state.fitter);
  const cardA = readCard(build, aIndex);
  const cardB = readCard(build, bIndex);
  if (a === null || b === null || cardA === null || cardB === null) return null;
  const { result } = state.studies.altitude;
  const study = result !== null && isSameStudy('altitude', result.build, build) ? result : null;
  const { stayBelowTopLine } = build.limits;
  const pairs = withCeilings ? known.withCeilings : known.without;
  const solved = (results: CandidateResults, index: number): SolvedCandidate | null =>
    results.input && {
      input: results.input,
      points: results.points,
      findings: results.findings,
      ceilings: withCeilings ? dayCeilings(results, stayBelowTopLine) : null,
      held: study?.candidates[index]?.held ?? null,
    };
  return pairs(a, [], () => memory())(b, [study, stayBelowTopLine], () =>
    compare(solved(a, aIndex), solved(b, bIndex), [cardA, cardB]),
  );
}

function compare(
  a: SolvedCandidate | null,
  b: SolvedCandidate | null,
  [first, second]: readonly [CardReading, CardReading],
): ComparisonResults {
  const ratios = {
    compressor: wheelRatios(second.compressor, first.compressor),
    turbine: wheelRatios(second.turbine, first.turbine),
  };
  return {
    comparison: a === null || b === null ? null : compareCandidates(a, b),
    ratios,
    claim: second.claim === null ? null : checkClaim(second.claim, { ratios: ratios.compressor, a, b }),
  };
}

/** The spool-up of one candidate; or one sentence why there is none that lies in the build. */
export type SpoolReading = { spool: Spool; problem: null } | { spool: null; problem: string };

const spools = memory<CandidateResults, SpoolReading>();

/** Of candidate `index` of a build; null when there is no such candidate. The same object while nothing of it changed. */
export function spoolOf(build: Build, index: number, results: CandidateResults): SpoolReading {
  return spools(results, [build.spool], () => readSpool(build, index, results));
}

export function selectSpool(state: LuglineState, index: number): SpoolReading | null {
  const build = selectActiveBuild(state);
  const results = candidateResults(build, index, state.fitter);
  return results && spoolOf(build, index, results);
}

function readSpool(build: Build, index: number, { input, candidate, problems }: CandidateResults): SpoolReading {
  const say = (problem: string): SpoolReading => ({ spool: null, problem });
  if (input === null) return say(problems[0]?.message ?? `${candidate.name} has no map yet.`);
  if (input.turbine === undefined)
    return say(`The turbine of ${candidate.name} is not known: complete it on its card.`);
  const { rotor, problem } = candidateRotor(build, index) ?? { rotor: null, problem: '' };
  if (rotor === null) return say(problem);
  const { setup, problem: asked } = spoolSetup(build);
  if (setup === null) return say(asked);
  const { engineSpeedRpm, fromBoostPa, chargeVolumeM3 } = setup;
  const fromPa = input.ambient.pressurePa + fromBoostPa;
  const { inertiaKgM2, band: inertiaBand } = rotor;
  return {
    spool: solveSpool(input, { engineSpeedRpm, fromPa, inertiaKgM2, inertiaBand, chargeVolumeM3 }),
    problem: null,
  };
}
