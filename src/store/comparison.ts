import { type CardReading, readCard } from '../build/index.ts';
import { type WheelRatios, wheelRatios } from '../compressor/index.ts';
import { checkClaim, compareCandidates, ownPlace, solveCeilings } from '../match/index.ts';
import type { CeilingTable, ClaimCheck, Comparison, SolvedCandidate } from '../match/types.ts';
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

const ceilingsOf = new WeakMap<object, { stayBelowTopLine: boolean; table: CeilingTable }>();

/** Ceilings where the car stands; some ten milliseconds a candidate, once an input. */
function dayCeilings(results: CandidateResults, stayBelowTopLine: boolean): CeilingTable | null {
  const { input } = results;
  if (input === null) return null;
  const known = ceilingsOf.get(input);
  if (known?.stayBelowTopLine === stayBelowTopLine) return known.table;
  const { engineSpeedsRpm } = input;
  const every = Math.ceil(engineSpeedsRpm.length / MOST_CEILING_SPEEDS);
  const last = engineSpeedsRpm.length - 1;
  const speeds = engineSpeedsRpm.filter((_, i) => (last - i) % every === 0);
  const table = solveCeilings(input, [ownPlace(input)], speeds, { ...input.limits, stayBelowTopLine });
  ceilingsOf.set(input, { stayBelowTopLine, table });
  return table;
}

interface Remembered {
  b: CandidateResults;
  study: unknown;
  stayBelowTopLine: boolean;
  results: ComparisonResults;
}

/** By the other candidate, and apart with and without ceilings: two parts of a page may ask for both at once. */
const known = new WeakMap<CandidateResults, Map<string, Remembered>>();

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
  const cards = [readCard(build, aIndex), readCard(build, bIndex)] as const;
  if (a === null || b === null || cards[0] === null || cards[1] === null) return null;
  const { result } = state.studies.altitude;
  const study = result !== null && isSameAltitudeStudy(result.build, build) ? result : null;
  const { stayBelowTopLine } = build.limits;
  const memory = known.get(a) ?? new Map<string, Remembered>();
  const place = `${bIndex}/${withCeilings}`;
  known.set(a, memory);
  const last = memory.get(place);
  if (last?.b === b && last.study === study && last.stayBelowTopLine === stayBelowTopLine) {
    return last.results;
  }
  const solved = (results: CandidateResults, index: number): SolvedCandidate | null =>
    results.input && {
      input: results.input,
      points: results.points,
      findings: results.findings,
      ceilings: withCeilings ? dayCeilings(results, stayBelowTopLine) : null,
      held: study?.candidates[index]?.held ?? null,
    };
  const results = compare(solved(a, aIndex), solved(b, bIndex), [cards[0], cards[1]]);
  memory.set(place, { b, study, stayBelowTopLine, results });
  return results;
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
