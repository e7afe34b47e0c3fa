import type { CandidateResults } from '../../../store/index.ts';
import type { FindingWords } from '../../shared/findingWords.ts';

/** Entries that stand in the way, listed like findings: nothing can be computed before they are mended. */
export function problemWords(problems: CandidateResults['problems']): FindingWords[] {
  return problems.map(({ path, message }, index) => ({
    id: `problem-${path}-${index}`,
    severity: 'stop',
    word: 'Missing',
    sentence: message,
    engineSpeedRpm: null,
  }));
}
