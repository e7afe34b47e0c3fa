import styles from './field.module.css';
import { Icon } from './Icon.tsx';

export interface FieldMessagesProps {
  /** Prefix of the ids, so that the field can point at them (see describedBy). */
  id: string;
  error?: string | null | undefined;
  warning?: string | null | undefined;
  help?: string | null | undefined;
}

/** Ids of the messages that are there, for aria-describedby. */
export function describedBy({ id, error, warning, help }: FieldMessagesProps): string | undefined {
  const ids = [error && `${id}-error`, warning && `${id}-warning`, help && `${id}-help`].filter(Boolean);
  return ids.length === 0 ? undefined : ids.join(' ');
}

/** What is wrong, doubtful or good to know, under a field; each with a mark of its own shape. */
export function FieldMessages({ id, error, warning, help }: FieldMessagesProps) {
  if (!error && !warning && !help) return null;
  return (
    <div className={styles.messages}>
      {error && (
        <p id={`${id}-error`} className={styles.error}>
          <Icon name="stop" /> <span>{error}</span>
        </p>
      )}
      {warning && (
        <p id={`${id}-warning`} className={styles.warning}>
          <Icon name="caution" /> <span>{warning}</span>
        </p>
      )}
      {help && (
        <p id={`${id}-help`} className={styles.help}>
          {help}
        </p>
      )}
    </div>
  );
}
