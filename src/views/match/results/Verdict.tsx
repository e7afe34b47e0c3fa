import { memo } from 'react';
import styles from '../match.module.css';
import type { VerdictPart } from '../model/verdict.ts';
import { SeveritySign } from './signs.tsx';

interface Props {
  parts: readonly VerdictPart[];
  onGo: (part: VerdictPart) => void;
}

/** The answer: one sentence a candidate, the worst first. Pressing one goes to the place that it speaks of. */
export const Verdict = memo(
  function Verdict({ parts, onGo }: Props) {
    return (
      <p className={styles.verdict} role="status" aria-label="Verdict">
        {parts.map((part) => (
          <button key={part.index} type="button" title={part.sentence} onClick={() => onGo(part)}>
            <SeveritySign severity={part.severity} />
            {part.sentence}
          </button>
        ))}
      </p>
    );
  },
  (before, now) => before.onGo === now.onGo && JSON.stringify(before.parts) === JSON.stringify(now.parts),
);
