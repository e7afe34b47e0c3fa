import { memo } from 'react';
import type { FindingWords } from '../../shared/findingWords.ts';
import styles from './findings.module.css';
import { SeveritySign } from './SeveritySign.tsx';

interface Props {
  findings: readonly FindingWords[];
  chosenId: string | null;
  /** Chosen again: null, the mark on the map goes away. */
  onChoose: (finding: FindingWords | null) => void;
}

/** Findings in plain words, worst first; each is a button that points at its place on the map and in the table. */
export const FindingsList = memo(function FindingsList({ findings, chosenId, onChoose }: Props) {
  return (
    <ol className={styles.list} aria-label="Findings, worst first">
      {findings.length === 0 && <li className={styles.empty}>Nothing to report yet: the line has no points.</li>}
      {findings.map((finding) => (
        <li key={finding.id}>
          <button
            type="button"
            className={styles.finding}
            data-severity={finding.severity}
            aria-pressed={finding.id === chosenId}
            onClick={() => onChoose(finding.id === chosenId ? null : finding)}
          >
            <SeveritySign severity={finding.severity} className={styles.sign} />
            <span>
              <span className={styles.word}>{finding.word}</span>
              {finding.sentence}
            </span>
          </button>
        </li>
      ))}
    </ol>
  );
});
