import type { SheetRemark } from '../model/sheetRemarks.ts';
import styles from './paper.module.css';

/** Every assumption, estimate and extension that the numbers rest on. */
export function Remarks({ remarks }: { remarks: readonly SheetRemark[] }) {
  return (
    <section>
      <h2>Estimates, extensions and assumptions</h2>
      <ol className={styles.remarks}>
        {remarks.map(({ kind, letters, words }) => (
          <li key={`${letters}${words}`} data-kind={kind}>
            {letters !== '' && <b>{letters}: </b>}
            {words}
          </li>
        ))}
      </ol>
    </section>
  );
}
