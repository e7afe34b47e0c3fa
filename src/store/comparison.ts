import { type CardReading, readCard } from '../build/index.ts';
import { type WheelRatios, wheelRatios } from '../compressor/index.ts';
import { checkClaim, compareCandidates, ownPlace, solveCeilings } from '../match/index.ts';
import type { CeilingTable, ClaimCheck, Comparison, MatchInput, SolvedCandidate } from '../match/types.ts';
import { type Memory, memory } from '../numerics/index.ts';
import { type CandidateResults, candidateResults } from './candidateResults.ts';
import { selectActiveBuild } from './selectors.ts';
import type { LuglineState } from './state.ts';
import { isSameAltitudeStudy } from './state.ts';

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
  const study = result !== null && isSameAltitudeStudy(result.build, build) ? result : null;
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
