import type { FitmentItem } from '../../../build/index.ts';
import styles from './paper.module.css';

/** A longer list stands in two columns. */
const LONG = 14;

/** What is needed to fit it: boxes to tick by hand. */
export function Fitment({ items }: { items: readonly FitmentItem[] }) {
  return (
    <section>
      <h2>
        Fitment <small>ticked by hand when at hand</small>
      </h2>
      {items.length === 0 ? (
        <p className={styles.note}>No parts are listed.</p>
      ) : (
        <ul className={styles.fitment} data-long={items.length > LONG || undefined}>
          {items.map(({ id, part, detail }) => (
            <li key={id}>
              <span className={styles.box} aria-hidden="true" />
              <span>
                {part.trim() === '' ? '\u00a0' : part}
                {detail.trim() !== '' && <em> {detail}</em>}
              </span>
            </li>
          ))}
        </ul>
      )}
    </section>
  );
}
