import type { Matrix } from '../../shared/altitudeStudies.ts';
import type { CalibrationSheet, PrintedMatrix } from '../model/calibrationSheet.ts';
import styles from './paper.module.css';

interface Props {
  calibration: CalibrationSheet;
  tables: readonly PrintedMatrix[];
  isFirst: boolean;
  isLast: boolean;
}

/** The calibration tables, whole; or a sentence that says why they are not here. */
export function CalibrationTables({ calibration, tables, isFirst, isLast }: Props) {
  return (
    <section>
      {isFirst && <h2>Calibration table by altitude</h2>}
      {isFirst && calibration.held.length > 0 && <p className={styles.held}>{calibration.held.join(' ')}</p>}
      {calibration.state !== 'ready' && (
        <p className={styles.pending} role="status">
          {calibration.words}
        </p>
      )}
      <div className={styles.matrices} data-count={tables.length}>
        {tables.map(({ key, title, matrix }) => (
          <figure key={key}>
            <figcaption>{title}</figcaption>
            <MatrixOnPaper matrix={matrix} title={title} />
          </figure>
        ))}
      </div>
      {isLast && calibration.notes.length > 0 && <p className={styles.note}>{calibration.notes.join(' ')}</p>}
    </section>
  );
}

/** Numbers of more signs than this stand too close in a narrow column. */
const LONG = 5;

function MatrixOnPaper({ matrix, title }: { matrix: Matrix; title: string }) {
  const isLong = matrix.rows.some(({ cells }) => cells.some(({ text }) => text.length > LONG));
  return (
    <table className={styles.matrix} aria-label={title} data-long={isLong || undefined}>
      <thead>
        <tr>
          <th scope="col">
            Engine <span>rpm</span>
          </th>
          {matrix.columns.map(({ key, title: place, detail }) => (
            <th key={key} scope="col">
              {place} <span>{detail.replace(`${place}, `, '')}</span>
            </th>
          ))}
        </tr>
      </thead>
      <tbody>
        {matrix.rows.map(({ engineSpeedRpm, engineSpeed, cells }) => (
          <tr key={engineSpeedRpm}>
            <th scope="row">{engineSpeed}</th>
            {cells.map(({ text, mark, isOver }, c) => (
              <td key={matrix.columns[c]?.key} data-over={isOver || undefined}>
                {text}
                {mark !== '' && <small>{mark}</small>}
              </td>
            ))}
          </tr>
        ))}
      </tbody>
    </table>
  );
}
