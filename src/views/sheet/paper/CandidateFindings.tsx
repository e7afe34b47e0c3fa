import type { CandidateBlock } from '../model/sheetModel.ts';
import styles from './paper.module.css';

const SIGNS = { stop: '■', caution: '▲', note: '–', good: '✓' } as const;

/** Each candidate: its headline numbers, then what must be known, worst first. Signs and words tell the severity, not colour. */
export function CandidateFindings({ candidates }: { candidates: readonly CandidateBlock[] }) {
  const isPair = candidates.length > 1;
  return (
    <div className={styles.candidates} data-count={candidates.length}>
      {candidates.map((candidate) => (
        <section key={candidate.letter}>
          <h2>
            {candidate.letter} {candidate.name}
            {candidate.isEstimated && <strong> (estimate)</strong>}
          </h2>
          {candidate.problems.length === 0 && (
            <dl className={styles.headline}>
              {candidate.numbers.map(({ key, title, value, detail }) => (
                <div key={key}>
                  <dt>{title}</dt>
                  <dd>{value}</dd>
                  <dd className={styles.detail}>{detail}</dd>
                </div>
              ))}
            </dl>
          )}
          {isPair && <Findings candidate={candidate} />}
          {candidate.card !== '' && <p className={styles.card}>{candidate.card}</p>}
        </section>
      ))}
    </div>
  );
}

/** What must be known of a candidate, worst first. */
export function Findings({ candidate }: { candidate: CandidateBlock }) {
  return (
    <ul className={styles.findings}>
      {candidate.problems.map((problem) => (
        <li key={problem} data-severity="stop">
          <b>{SIGNS.stop} Missing.</b> {problem}
        </li>
      ))}
      {candidate.findings.map(({ id, severity, word, sentence }) => (
        <li key={id} data-severity={severity}>
          <b>
            {SIGNS[severity]} {word}.
          </b>{' '}
          {sentence}
        </li>
      ))}
    </ul>
  );
}
