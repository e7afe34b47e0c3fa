import type { WheelSheet } from '../model/wheelSheet.ts';
import styles from './paper.module.css';

/** Wheel measurements and what follows from them. */
export function Wheels({ wheels }: { wheels: WheelSheet }) {
  return (
    <section>
      <h2>Wheels as measured</h2>
      {wheels.isEmpty ? (
        <p className={styles.note}>No wheel was measured.</p>
      ) : (
        <table className={styles.wheels}>
          <thead>
            <tr>
              <th scope="col">&nbsp;</th>
              {wheels.columns.map((column) => (
                <th key={column} scope="col">
                  {column}
                </th>
              ))}
            </tr>
          </thead>
          <tbody>
            {wheels.rows.map(({ title, cells }) => (
              <tr key={title}>
                <th scope="row">{title}</th>
                {cells.map((cell, i) => (
                  <td key={wheels.columns[i]}>{cell}</td>
                ))}
              </tr>
            ))}
          </tbody>
        </table>
      )}
    </section>
  );
}
