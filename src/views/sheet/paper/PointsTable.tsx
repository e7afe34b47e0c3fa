import type { PrintedPoints } from '../model/pointTable.ts';
import styles from './paper.module.css';

/** The operating points of one candidate. A speed without a point says why, across its row. */
export function PointsTable({ points }: { points: PrintedPoints }) {
  const { letter, columns, rows, note } = points;
  const hasRemarks = rows.some(({ cells, remark }) => cells !== null && remark !== '');
  return (
    <section>
      <h2>
        Operating points of {letter}
        {note !== '' && <small>{note}</small>}
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
            {hasRemarks && <th scope="col">Remark</th>}
          </tr>
        </thead>
        <tbody>
          {rows.map(({ engineSpeedRpm, engineSpeed, cells, remark }) => (
            <tr key={engineSpeedRpm}>
              <th scope="row">{engineSpeed}</th>
              {cells === null ? (
                <td colSpan={columns.length + (hasRemarks ? 1 : 0)} className={styles.why}>
                  {remark}
                </td>
              ) : (
                <>
                  {columns.map(({ key }, i) => (
                    <td key={key}>{cells[i]}</td>
                  ))}
                  {hasRemarks && <td className={styles.remark}>{remark}</td>}
                </>
              )}
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  );
}
