import styles from './card.module.css';
import type { TurbineNotes } from './model/turbineNotes.ts';

/** The estimate with its band, what is missing for it, what stands in the way, and what is good to know. */
export function TurbineMessages({ notes, estimate }: { notes: TurbineNotes; estimate: string | null }) {
  const { missing, problems, remarks } = notes;
  return (
    <>
      {estimate !== null && (
        <p className={styles.band} role="status">
          {estimate}
        </p>
      )}
      {missing.length > 0 && (
        <p className={styles.doubt} role="status">
          Still to be measured: {missing.join(', ')}. Until then no turbine is computed.
        </p>
      )}
      {problems.map((message) => (
        <p key={message} className={styles.doubt} role="status">
          {message}
        </p>
      ))}
      {remarks.map((message) => (
        <p key={message} className={styles.hint}>
          {message}
        </p>
      ))}
    </>
  );
}
