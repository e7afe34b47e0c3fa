import type { ReactNode } from 'react';
import { Icon } from '../../../widgets/index.ts';
import styles from './counter.module.css';

interface Props {
  name: string;
  /** The value with its unit. */
  words: string;
  /** null: as far as it goes. */
  down: (() => void) | null;
  up: (() => void) | null;
  isDisabled?: boolean;
  note?: string | null;
  children?: ReactNode;
}

/** A value with a large button on either side: no text to enter, and no step that cannot be seen. */
export function Stepper({ name, words, down, up, isDisabled = false, note = null, children }: Props) {
  return (
    <fieldset className={styles.input} aria-label={name}>
      <span className={styles.label} aria-hidden="true">
        {name}
      </span>
      <div className={styles.stepper}>
        <button
          type="button"
          className={styles.step}
          aria-label={`${name}: less`}
          disabled={isDisabled || down === null}
          onClick={() => down?.()}
        >
          <Icon name="minus" />
        </button>
        <output className={styles.value}>{words}</output>
        <button
          type="button"
          className={styles.step}
          aria-label={`${name}: more`}
          disabled={isDisabled || up === null}
          onClick={() => up?.()}
        >
          <Icon name="plus" />
        </button>
      </div>
      {children}
      {note !== null && <p className={styles.hint}>{note}</p>}
    </fieldset>
  );
}
