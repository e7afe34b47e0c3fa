import type { CandidateResults } from '../../../store/index.ts';
import { candidateLetter } from '../../shared/candidateLetter.ts';
import { isEstimated } from '../../shared/estimateWords.ts';
import { type HeadlineNumber, headline } from '../../shared/headline.ts';
import type { ResultUnits } from '../../shared/resultUnits.ts';
import { type Verdict, verdict } from './verdict.ts';

/** One candidate at a glance. */
export interface CandidateSummary {
  index: number;
  /** 'A', 'B', ... */
  letter: string;
  name: string;
  candidateId: string;
  /** Computed on a donor's map, scaled. */
  isEstimated: boolean;
  /** null while nothing can be said. */
  verdict: Verdict | null;
  numbers: readonly HeadlineNumber[];
  /** Why there are no numbers; null where there are. */
  missing: string | null;
}

export function candidateSummary(results: CandidateResults, index: number, units: ResultUnits): CandidateSummary {
  const { candidate, problems, points, findings } = results;
  return {
    index,
    letter: candidateLetter(index),
    name: candidate.name.trim() === '' ? 'Candidate without a name' : candidate.name,
    candidateId: candidate.id,
    isEstimated: isEstimated(candidate),
    verdict: verdict(findings),
    numbers: headline(points, units),
    missing: results.input === null ? missingWords(results, problems.length) : null,
  };
}

/** The first thing that stands in the way, and how many more there are. */
function missingWords({ candidate, surface, problems }: CandidateResults, count: number): string {
  const [first] = problems;
  if (isEstimated(candidate)) return first?.message ?? 'Nothing to compute yet.';
  if (candidate.map === null) return 'No map yet: choose one, enter one, or borrow a donor map on its card.';
  if (surface === null)
    return `The map “${candidate.map.name}” cannot be used yet: the Maps view says what is missing.`;
  if (first === undefined) return 'Nothing to compute yet.';
  return count === 1 ? first.message : `${first.message} (and ${count - 1} more)`;
}
