import { useMemo } from 'react';
import { selectCandidates, useCandidateResults, useLugline } from '../../../store/index.ts';
import { candidateLetter } from '../../shared/candidateLetter.ts';
import { findingWords } from '../../shared/findingWords.ts';
import { useResultUnits } from '../../shared/useResultUnits.ts';
import { summaryWords } from '../compare/model/summaryWords.ts';
import { Summary } from '../compare/Summary.tsx';
import { useCompareUnits, useComparison } from '../compare/useComparison.ts';
import styles from './counter.module.css';

/** As many sentences of a kind can be read at a glance; the table of the Match view has them all. */
const MOST = 5;

/** The two held against each other in plain words, the one listed first being the one that is known. */
export function CounterSummary({ pair }: { pair: readonly [number, number] }) {
  const [first, second] = pair[0] < pair[1] ? pair : [pair[1], pair[0]];
  const names = useLugline((state) =>
    namesOf(
      selectCandidates(state).map(({ name }) => name),
      first,
      second,
    ),
  );
  const comparison = useComparison([first, second])?.comparison ?? null;
  const units = useCompareUnits();
  const results = useResultUnits();
  const watched = useCandidateResults(second);
  const findings = watched?.findings;
  const watch = useMemo(
    () => findingWords(findings ?? [], results).filter(({ severity }) => severity === 'stop' || severity === 'caution'),
    [findings, results],
  );
  const summary = useMemo(
    () => comparison && summaryWords(comparison, names.split('\n') as [string, string], units),
    [comparison, names, units],
  );
  if (summary === null) return null;
  return (
    <div className={styles.summary}>
      <Summary summary={summary} watch={watch} name={names.split('\n')[1] ?? ''} most={MOST} />
    </div>
  );
}

/** As one text, so that it stays the same while the names do. */
function namesOf(names: readonly string[], first: number, second: number): string {
  return [first, second].map((index) => names[index]?.trim() || `Candidate ${candidateLetter(index)}`).join('\n');
}
