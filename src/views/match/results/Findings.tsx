import { memo } from 'react';
import type { FindingWords, Severity } from '../../shared/findingWords.ts';
import matchStyles from '../match.module.css';
import styles from './findings.module.css';

interface Props {
  findings: readonly FindingWords[];
  chosenId: string | null;
  onChoose: (finding: FindingWords | null) => void;
}

/** What there is to say about the line, and whose word comes first. */
export const FindingsPanel = memo(function FindingsPanel({ findings, chosenId, onChoose }: Props) {
  return (
    <section className={matchStyles.findings} aria-labelledby="findings-title">
      <div className={matchStyles.bar}>
        <h2 id="findings-title" className={matchStyles.barTitle}>
          Findings
        </h2>
      </div>
      <FindingsList findings={findings} chosenId={chosenId} onChoose={onChoose} />
    </section>
  );
});

interface ListProps {
  findings: readonly FindingWords[];
  chosenId: string | null;
  /** Chosen again: null, the mark on the map goes away. */
  onChoose: (finding: FindingWords | null) => void;
}

/** Findings in plain words, worst first; each is a button that points at its place on the map and in the table. */
export const FindingsList = memo(function FindingsList({ findings, chosenId, onChoose }: ListProps) {
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

const SHAPES: Readonly<Record<Severity, string>> = {
  // Different outlines, so that the sign says the same in black and white: filled square, triangle, ring, tick.
  stop: 'M1.500 1.500h11v11h-11z',
  caution: 'M7 1.500 13 12.500H1z',
  note: 'M7 2.500a4.500 4.500 0 1 0 0 9 4.500 4.500 0 0 0 0-9z',
  good: 'M1.500 7.500 5.500 11.500 12.500 3',
};

/** The mark of a severity: its outline carries the meaning, the hue repeats it. */
export function SeveritySign({ severity, className }: { severity: Severity; className: string | undefined }) {
  const filled = severity === 'stop' || severity === 'caution';
  return (
    <svg className={className} viewBox="0 0 14 14" aria-hidden="true">
      <path
        d={SHAPES[severity]}
        fill={filled ? 'currentColor' : 'none'}
        stroke="currentColor"
        strokeWidth={severity === 'good' ? 2 : 1.5}
      />
    </svg>
  );
}
