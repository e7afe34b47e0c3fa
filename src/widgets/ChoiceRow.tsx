import { useId } from 'react';
import styles from './choice.module.css';
import { cx } from './cx.ts';
import fieldStyles from './field.module.css';
import type { Option } from './SelectField.tsx';

export interface ChoiceRowProps<Key extends string> {
  label: string;
  value: Key;
  /** Two to five short names. */
  options: readonly Option<Key>[];
  onChange: (key: Key) => void;
  isDisabled?: boolean | undefined;
  /** The label is for screen readers only. */
  hideLabel?: boolean | undefined;
  stacked?: boolean | undefined;
}

/** One of a few, all of them in sight. The browser's own radio buttons: arrow keys, one stop for Tab, and no script for it. */
export function ChoiceRow<Key extends string>(props: ChoiceRowProps<Key>) {
  const id = useId();
  return (
    <div
      role="radiogroup"
      className={cx(fieldStyles.field, props.stacked && fieldStyles.stacked)}
      aria-disabled={props.isDisabled || undefined}
      {...(props.hideLabel ? { 'aria-label': props.label } : { 'aria-labelledby': id })}
    >
      {!props.hideLabel && (
        <span id={id} className={fieldStyles.label}>
          {props.label}
        </span>
      )}
      <div className={styles.row}>
        {props.options.map((option) => (
          <label key={option.key} className={styles.choice}>
            <input
              type="radio"
              name={id}
              value={option.key}
              checked={option.key === props.value}
              disabled={(props.isDisabled || option.isDisabled) ?? false}
              onChange={() => props.onChange(option.key)}
            />
            {option.name}
          </label>
        ))}
      </div>
    </div>
  );
}
