import type { ReactNode } from 'react';
import type { Build } from '../../../build/index.ts';
import type { SpreadDone } from '../../../match/index.ts';
import { influenceBars, type MovedOutput } from '../model/influenceBars.ts';
import styles from './bars.module.css';

interface Props {
  build: Build;
  spread: SpreadDone;
  output: MovedOutput;
  title: string;
  /** In place of the title: a choice of what is shown. */
  heading?: ReactNode;
}

/** A bar chart that is a table: the longest bar is the input worth measuring better. */
export function InfluenceBars({ build, spread, output, title, heading }: Props) {
  const bars = influenceBars(build, spread, output);
  if (bars.length === 0) {
    return <p className={styles.few}>{title}: too few samples to tell. Enter more of them with the tolerances.</p>;
  }
  return (
    <table className={styles.bars} aria-label={title}>
      <caption>{heading ?? title}</caption>
      <thead>
        <tr>
          <th scope="col">Input</th>
          <th scope="col">Share of the spread</th>
          <th scope="col">By its whole tolerance up</th>
        </tr>
      </thead>
      <tbody>
        {bars.map(({ key, name, share, shareText, effect }) => (
          <tr key={key}>
            <th scope="row">{name}</th>
            <td>
              <span className={styles.barHolder}>
                <span className={styles.barFill} style={{ width: `${Math.max(share * 100, 0.5)}%` }} />
              </span>
              <span className={styles.barText}>{shareText}</span>
            </td>
            <td>{effect}</td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}
