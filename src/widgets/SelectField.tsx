import { useId } from 'react';
import { cx } from './cx.ts';
import { describedBy, FieldMessages } from './FieldMessages.tsx';
import styles from './field.module.css';
import { Icon } from './Icon.tsx';

export interface Option<Key extends string> {
  key: Key;
  name: string;
  isDisabled?: boolean;
}

export interface SelectFieldProps<Key extends string> {
  label: string;
  value: Key;
  options: readonly Option<Key>[];
  onChange: (key: Key) => void;
  help?: string | undefined;
  warning?: string | null | undefined;
  isDisabled?: boolean | undefined;
  id?: string | undefined;
  stacked?: boolean | undefined;
}

/** One of several, by the platform's own list. */
export function SelectField<Key extends string>(props: SelectFieldProps<Key>) {
  const ownId = useId();
  const id = props.id ?? ownId;
  const messages = { id, warning: props.warning, help: props.help };
  return (
    <div className={cx(styles.field, props.stacked && styles.stacked)} data-disabled={props.isDisabled || undefined}>
      <label className={styles.label} htmlFor={id}>
        {props.label}
      </label>
      <div className={cx(styles.control, Boolean(props.warning) && styles.doubtful)}>
        <span className={styles.select}>
          <select
            id={id}
            value={props.value}
            disabled={props.isDisabled}
            aria-describedby={describedBy(messages)}
            onChange={(event) => {
              const chosen = props.options.find((option) => option.key === event.target.value);
              if (chosen) props.onChange(chosen.key);
            }}
          >
            {props.options.map((option) => (
              <option key={option.key} value={option.key} disabled={option.isDisabled}>
                {option.name}
              </option>
            ))}
          </select>
          <Icon name="caret" className={styles.caret} />
        </span>
      </div>
      <FieldMessages {...messages} />
    </div>
  );
}
