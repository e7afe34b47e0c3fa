import type { PrintedPoints } from '../model/pointTable.ts';
import { remarkMarks } from '../model/remarkMarks.ts';
import styles from './paper.module.css';

/** The operating points of one candidate. A speed without a point says why, across its row. */
export function PointsTable({ points }: { points: PrintedPoints }) {
  const { letter, isEstimated, columns, rows, note } = points;
  const { markOf, words } = remarkMarks(rows);
  const under = [words, note].filter((text) => text !== '').join('. ');
  return (
    <section>
      <h2>
        Operating points of {letter}
        {isEstimated && ' (estimate)'}
        {under !== '' && <small>{under}</small>}
      </h2>
      <table className={styles.points} aria-label={`Operating points of ${letter}`}>
        <thead>
          <tr>
            <th scope="col">
              Engine speed <span>rpm</span>
            </th>
            {columns.map(({ key, title, unit }) => (
              <th key={key} scope="col">
                {title} <span>{unit === '' ? '–' : unit}</span>
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {rows.map(({ engineSpeedRpm, engineSpeed, cells, remark }) => (
            <tr key={engineSpeedRpm}>
              <th scope="row">
                <sup>{markOf.get(remark)}</sup> {engineSpeed}
              </th>
              {cells === null ? (
                <td colSpan={columns.length} className={styles.why}>
                  {remark}
                </td>
              ) : (
                columns.map(({ key }, i) => <td key={key}>{cells[i]}</td>)
              )}
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  );
}
