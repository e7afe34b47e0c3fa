import type { DifferenceRow } from '../../shared/differenceRows.ts';
import type { CandidateBlock } from '../model/sheetModel.ts';
import styles from './paper.module.css';

const SIGNS: Readonly<Record<DifferenceRow['verdict'], string>> = {
  better: '▲',
  worse: '▼',
  same: '=',
  unknown: '',
  pending: '',
};

/** The second candidate against the first: what is better and worse, by sign and word. */
export function Differences({
  rows,
  candidates,
}: {
  rows: readonly DifferenceRow[];
  candidates: readonly CandidateBlock[];
}) {
  const [first, second] = candidates;
  return (
    <section>
      <h2>
        {second?.letter} against {first?.letter}
      </h2>
      <table className={styles.differences}>
        <thead>
          <tr>
            <th scope="col">&nbsp;</th>
            <th scope="col">{first?.letter}</th>
            <th scope="col">{second?.letter}</th>
            <th scope="col">Difference</th>
            <th scope="col">{second?.letter} is</th>
          </tr>
        </thead>
        <tbody>
          {rows.map((row) => (
            <tr key={row.key}>
              <th scope="row">{row.title}</th>
              <td>{row.a}</td>
              <td>{row.b}</td>
              <td>{row.difference}</td>
              <td>
                {SIGNS[row.verdict]} {row.word}
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  );
}
