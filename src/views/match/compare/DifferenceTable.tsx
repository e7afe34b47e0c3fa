import { memo } from 'react';
import { selectCandidates, useLugline } from '../../../store/index.ts';
import { candidateLetter } from '../../shared/candidateLetter.ts';
import type { DifferenceRow } from '../../shared/differenceRows.ts';
import { isEstimated } from '../../shared/estimateWords.ts';
import { EstimateTag } from '../results/EstimateTag.tsx';
import styles from './compare.module.css';
import { VerdictSign } from './VerdictSign.tsx';

/** The numbers that matter, the second candidate held against the first; better and worse by sign and word. */
export function DifferenceTable({ rows, pair }: { rows: readonly DifferenceRow[]; pair: readonly [number, number] }) {
  const candidates = useLugline(selectCandidates);
  const isEstimate = pair.map((index) => candidates[index] !== undefined && isEstimated(candidates[index]));
  const [a, b] = [candidateLetter(pair[0]), candidateLetter(pair[1])];
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: it scrolls, and must do so by keyboard too
    <section className={styles.tableBox} aria-label="Differences" tabIndex={0}>
      <table className={styles.table}>
        <caption className={styles.hidden}>
          Differences that matter, {b} held against {a}
        </caption>
        <thead>
          <tr>
            <th scope="col">Differences that matter</th>
            <th scope="col" data-estimate={isEstimate[0] || undefined}>
              {a} {isEstimate[0] && <EstimateTag />}
            </th>
            <th scope="col" data-estimate={isEstimate[1] || undefined}>
              {b} {isEstimate[1] && <EstimateTag />}
            </th>
            <th scope="col">
              {b} less {a}
            </th>
            <th scope="col" className={styles.word}>
              {b} is
            </th>
          </tr>
        </thead>
        <tbody>
          {rows.map((row) => (
            <Row key={row.key} row={row} />
          ))}
        </tbody>
      </table>
    </section>
  );
}

/** Draws again only when one of its texts is another one. */
const Row = memo(
  function Row({ row }: { row: DifferenceRow }) {
    const { key, title, a, b, aAt, bAt, difference, verdict, word, note } = row;
    return (
      <tr data-row={key}>
        <th scope="row" title={note}>
          {title}
        </th>
        <td>
          {a}
          <span className={styles.atSpeed}>{aAt}</span>
        </td>
        <td>
          {b}
          <span className={styles.atSpeed}>{bAt}</span>
        </td>
        <td>{difference}</td>
        <td className={styles.word} data-verdict={verdict}>
          <VerdictSign verdict={verdict} />
          <span>{word}</span>
        </td>
      </tr>
    );
  },
  (before, now) => (Object.keys(now.row) as (keyof DifferenceRow)[]).every((key) => before.row[key] === now.row[key]),
);
