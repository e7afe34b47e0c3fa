import { memo, useCallback, useMemo } from 'react';
import { changeSettings } from '../../../build/index.ts';
import {
  selectCandidates,
  selectShownCandidate,
  useActions,
  useApply,
  useCandidateResults,
  useLugline,
} from '../../../store/index.ts';
import { IconButton } from '../../../widgets/index.ts';
import { type CandidateSummary, candidateSummary } from '../../shared/candidateSummary.ts';
import { useResultUnits } from '../../shared/display.ts';
import styles from './candidates.module.css';
import tagStyles from './estimateTag.module.css';

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

interface Props {
  summary: CandidateSummary;
  shown: boolean;
  onShow: (index: number) => void;
}

/** One candidate at a glance. All cards stand side by side, so that the better one can be seen without switching. */
export const CandidateCard = memo(function CandidateCard({ summary, shown, onShow }: Props) {
  return (
    <section className={styles.card} data-shown={shown || undefined} aria-label={`Candidate ${summary.letter}`}>
      <button type="button" className={styles.choose} aria-pressed={shown} onClick={() => onShow(summary.index)}>
        <LineSign style={summary.index % 2 === 0 ? 'a' : 'b'} />
        <span className={styles.letter}>{summary.letter}</span>
        <span className={styles.title}>{summary.name}</span>
        {summary.isEstimated && <EstimateTag />}
        {summary.verdict && (
          <span className={styles.verdict} data-severity={summary.verdict.severity}>
            {summary.verdict.words}
          </span>
        )}
      </button>
      <OpenCard letter={summary.letter} candidateId={summary.candidateId} />
      {summary.missing === null ? (
        <dl className={styles.numbers}>
          {summary.numbers.map((number) => (
            <div key={number.key}>
              <dt title={number.title}>
                <span className={styles.long}>{number.title}</span>
                <span className={styles.short} aria-hidden="true">
                  {number.shortTitle}
                </span>
              </dt>
              <dd>
                <span className={styles.value}>{number.value}</span>
                <span className={styles.detail}>{number.detail}</span>
              </dd>
            </div>
          ))}
        </dl>
      ) : (
        <p className={styles.missing}>{summary.missing}</p>
      )}
    </section>
  );
});

/** Opens the card of measurements. It lies over the large button that shows the candidate. */
const OpenCard = memo(function OpenCard({ letter, candidateId }: { letter: string; candidateId: string }) {
  const { setUi } = useActions();
  return (
    <span className={styles.openCard}>
      <IconButton
        icon="table"
        label={`Card of candidate ${letter}: measurements, donor map, claim`}
        onPress={() => setUi({ openCardId: candidateId })}
      />
    </span>
  );
});

/** A candidate's line as it is drawn on the map: solid with circles for the first, dashed with diamonds for the second. */
export function LineSign({ style }: { style: 'a' | 'b' }) {
  const solid = style === 'a';
  return (
    <svg className={styles.sign} viewBox="0 0 34 14" aria-hidden="true">
      <path d="M0 7h34" stroke="currentColor" strokeWidth="2" strokeDasharray={solid ? undefined : '6 4'} />
      {solid ? (
        <circle cx="17" cy="7" r="4" fill="var(--raised)" stroke="currentColor" strokeWidth="1.5" />
      ) : (
        <path d="M17 2l5 5-5 5-5-5z" fill="var(--raised)" stroke="currentColor" strokeWidth="1.5" />
      )}
    </svg>
  );
}

/** Stands wherever a candidate is computed on another wheel's map. */
export function EstimateTag() {
  return <span className={tagStyles.tag}>estimate</span>;
}
