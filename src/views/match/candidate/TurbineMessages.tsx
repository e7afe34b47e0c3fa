import styles from './card.module.css';
import type { TurbineNotes } from './model/turbineNotes.ts';

/** A sheet that is half typed has a message for every row; they all stand in its audit. */
const MOST_MESSAGES = 3;

/** The estimate with its band, what is missing for it, what stands in the way, and what is good to know. */
export function TurbineMessages({ notes, estimate }: { notes: TurbineNotes; estimate: string | null }) {
  const { missing } = notes;
  const problems = notes.problems.slice(0, MOST_MESSAGES);
  const remarks = notes.remarks.slice(0, MOST_MESSAGES);
  const left = notes.problems.length - problems.length + notes.remarks.length - remarks.length;
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
      {left > 0 && <p className={styles.hint}>… and {left} more: the audit of the sheet in the Maps view has all.</p>}
    </>
  );
}
