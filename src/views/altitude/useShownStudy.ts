import {
  type AltitudeStudy,
  type CandidateStudy,
  isSameAltitudeStudy,
  selectActiveBuild,
  selectShownCandidate,
  useCandidateResults,
  useLugline,
} from '../../store/index.ts';

export interface ShownStudy {
  result: AltitudeStudy;
  index: number;
  /** null: see `problems`. */
  study: CandidateStudy | null;
  problems: readonly string[];
  isStale: boolean;
}

/** The newest study of the open build and the candidate that is shown; null while there is none. */
export function useShownStudy(): ShownStudy | null {
  const build = useLugline(selectActiveBuild);
  const index = useLugline(selectShownCandidate);
  const result = useLugline((state) => state.studies.altitude.result);
  const candidate = useCandidateResults(index ?? 0);
  if (result === null || result.build.id !== build.id) return null;
  const isStale = !isSameAltitudeStudy(result.build, build);
  if (index === null) {
    return {
      result,
      index: 0,
      study: null,
      problems: ['The build has no candidate. Add one in the Match view.'],
      isStale,
    };
  }
  const study = result.candidates[index] ?? null;
  const problems = candidate?.problems.map(({ message }) => message) ?? [];
  return { result, index, study, problems, isStale };
}
