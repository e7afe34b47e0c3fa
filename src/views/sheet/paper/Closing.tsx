import { SHEET_CAUTIONS } from '../model/sheetCautions.ts';
import type { SheetHead } from '../model/sheetHead.ts';
import styles from './paper.module.css';

/** Cautions, deference, and lines to sign on. */
export function Closing({ head }: { head: SheetHead }) {
  return (
    <section className={styles.closing}>
      <div className={styles.cautions}>
        <p>
          <b>Caution.</b> {SHEET_CAUTIONS.join(' ')}
        </p>
      </div>
      <div className={styles.signatures}>
        <p>Prepared by{head.preparedBy === '' ? '' : `: ${head.preparedBy}`}, date</p>
        <p>Checked by, date</p>
        <p>Customer, date</p>
      </div>
    </section>
  );
}
