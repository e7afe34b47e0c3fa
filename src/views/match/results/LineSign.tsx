import styles from './candidates.module.css';

/** A candidate's line as it is drawn on the map: solid with circles for the first, dashed with diamonds for the second. */
export function LineSign({ style }: { style: 'a' | 'b' }) {
  const solid = style === 'a';
  return (
    <svg className={styles.sign} viewBox="0 0 34 14" aria-hidden="true">
      <path d="M0 7h34" stroke="currentColor" strokeWidth="2" strokeDasharray={solid ? undefined : '6 4'} />
      {solid ? (
        <circle cx="17" cy="7" r="4" fill="var(--raised)" stroke="currentColor" strokeWidth="1.5" />
      ) : (
        <path d="M17 2l5 5-5 5-5-5z" fill="var(--raised)" stroke="currentColor" strokeWidth="1.5" />
      )}
    </svg>
  );
}
