import { useCallback, useMemo } from 'react';
import { changeSettings } from '../../../build/index.ts';
import {
  selectCandidates,
  selectShownCandidate,
  useApply,
  useCandidateResults,
  useLugline,
} from '../../../store/index.ts';
import { useResultUnits } from '../../shared/useResultUnits.ts';
import { candidateSummary } from '../model/candidateSummary.ts';
import { CandidateCard } from './CandidateCard.tsx';
import styles from './candidates.module.css';

/** All candidates side by side; the chosen one is shown on the map, in the findings and in the table. */
export function CandidateStrip() {
  const apply = useApply();
  const count = useLugline((state) => selectCandidates(state).length);
  const shown = useLugline(selectShownCandidate);
  const show = useCallback((index: number) => apply(changeSettings({ shownCandidate: index })), [apply]);
  return (
    <fieldset className={styles.strip} aria-label="Candidates">
      {Array.from({ length: count }, (_, index) => (
        // biome-ignore lint/suspicious/noArrayIndexKey: a card stands for a place in the list, A, B, C, D
        <ComputedCard key={index} index={index} shown={index === shown} onShow={show} />
      ))}
    </fieldset>
  );
}

function ComputedCard({ index, shown, onShow }: { index: number; shown: boolean; onShow: (index: number) => void }) {
  const results = useCandidateResults(index);
  const units = useResultUnits();
  const summary = useMemo(() => results && candidateSummary(results, index, units), [results, index, units]);
  return summary && <CandidateCard summary={summary} shown={shown} onShow={onShow} />;
}
