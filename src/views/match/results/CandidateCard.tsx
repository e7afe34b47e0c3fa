import { memo } from 'react';
import type { CandidateSummary } from '../model/candidateSummary.ts';
import styles from './candidates.module.css';

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
        <LineSign index={summary.index} />
        <span className={styles.letter}>{summary.letter}</span>
        <span className={styles.title}>{summary.name}</span>
        {summary.verdict && (
          <span className={styles.verdict} data-severity={summary.verdict.severity}>
            {summary.verdict.words}
          </span>
        )}
      </button>
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

/** The line as it is drawn on the map: solid with circles for every first candidate, dashed with diamonds for every second. */
function LineSign({ index }: { index: number }) {
  const solid = index % 2 === 0;
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
