import { memo } from 'react';
import type { FindingWords } from '../../shared/findingWords.ts';
import { SeveritySign } from '../results/SeveritySign.tsx';
import styles from './compare.module.css';
import type { Summary as SummaryWords } from './model/summaryWords.ts';
import { VerdictSign } from './VerdictSign.tsx';

interface Props {
  summary: SummaryWords;
  watch: readonly FindingWords[];
  /** The candidate that is held against the other. */
  name: string;
  /** Sentences of each kind at the most; left out: all. */
  most?: number;
}

/** For the customer: what is gained, what it costs, what to watch. */
export function Summary({ summary, watch, name, most = Number.POSITIVE_INFINITY }: Props) {
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: it scrolls, and must do so by keyboard too
    <section className={styles.summary} aria-label="In plain words" tabIndex={0}>
      <h2 className={styles.headline}>{summary.headline}</h2>
      <Part
        title="What is gained"
        none="Nothing by these numbers."
        sentences={shortened(summary.gained, most)}
        verdict="better"
      />
      <Part
        title="What it costs"
        none="Nothing by these numbers."
        sentences={shortened(summary.costs, most)}
        verdict="worse"
      />
      <h3 className={styles.partTitle}>What to watch with {name}</h3>
      <ul className={styles.part}>
        {watch.length === 0 && <li>Every limit entered holds.</li>}
        {watch.slice(0, most).map(({ id, severity, word, sentence }) => (
          <li key={id} data-severity={severity}>
            <SeveritySign severity={severity} className={styles.partSign} />
            <span>
              <b>{word}.</b> {sentence}
            </span>
          </li>
        ))}
      </ul>
      <p className={styles.note}>{summary.note}</p>
    </section>
  );
}

/** The first ones, and how many more the table has. */
function shortened(sentences: readonly string[], most: number): readonly string[] {
  if (sentences.length <= most) return sentences;
  return [...sentences.slice(0, most - 1), `${sentences.length - most + 1} more in the table.`];
}

interface PartProps {
  title: string;
  none: string;
  sentences: readonly string[];
  verdict: 'better' | 'worse';
}

const Part = memo(
  function Part({ title, none, sentences, verdict }: PartProps) {
    return (
      <>
        <h3 className={styles.partTitle}>{title}</h3>
        <ul className={styles.part}>
          {sentences.length === 0 && <li>{none}</li>}
          {sentences.map((sentence) => (
            <li key={sentence}>
              <span className={styles.partSign} data-verdict={verdict}>
                <VerdictSign verdict={verdict} />
              </span>
              <span>{sentence}</span>
            </li>
          ))}
        </ul>
      </>
    );
  },
  (before, now) => before.title === now.title && before.sentences.join() === now.sentences.join(),
);
