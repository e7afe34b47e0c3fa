import { memo } from 'react';
import type { FindingWords } from '../../shared/findingWords.ts';
import styles from '../match.module.css';
import { FindingsList } from './FindingsList.tsx';

interface Props {
  findings: readonly FindingWords[];
  chosenId: string | null;
  onChoose: (finding: FindingWords | null) => void;
}

/** What there is to say about the line, and whose word comes first. */
export const FindingsPanel = memo(function FindingsPanel({ findings, chosenId, onChoose }: Props) {
  return (
    <section className={styles.findings} aria-labelledby="findings-title">
      <div className={styles.bar}>
        <h2 id="findings-title" className={styles.barTitle}>
          Findings
        </h2>
      </div>
      <FindingsList findings={findings} chosenId={chosenId} onChoose={onChoose} />
    </section>
  );
});
