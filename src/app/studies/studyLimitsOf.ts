import type { Build } from '../../build/index.ts';
import type { MatchInput, StudyLimits } from '../../match/types.ts';

/** The limits of a build as its studies hold them. */
export function studyLimitsOf(build: Build, input: MatchInput): StudyLimits {
  return { ...input.limits, stayBelowTopLine: build.limits.stayBelowTopLine };
}
