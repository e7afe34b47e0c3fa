import { memo } from 'react';
import { useActions } from '../../../store/index.ts';
import { IconButton } from '../../../widgets/index.ts';
import type { CandidateSummary } from '../model/candidateSummary.ts';
import styles from './candidates.module.css';
import { EstimateTag } from './EstimateTag.tsx';
import { LineSign } from './LineSign.tsx';

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
