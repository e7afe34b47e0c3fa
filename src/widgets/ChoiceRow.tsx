import { Label } from 'react-aria-components/Label';
import { Radio, RadioGroup } from 'react-aria-components/RadioGroup';
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

/** One of a few, all of them in sight. */
export function ChoiceRow<Key extends string>(props: ChoiceRowProps<Key>) {
  return (
    <RadioGroup
      className={cx(fieldStyles.field, props.stacked && fieldStyles.stacked)}
      orientation="horizontal"
      value={props.value}
      isDisabled={props.isDisabled ?? false}
      onChange={(key) => {
        const chosen = props.options.find((option) => option.key === key);
        if (chosen) props.onChange(chosen.key);
      }}
      {...(props.hideLabel && { 'aria-label': props.label })}
    >
      {!props.hideLabel && <Label className={fieldStyles.label}>{props.label}</Label>}
      <div className={styles.row}>
        {props.options.map((option) => (
          <Radio key={option.key} value={option.key} isDisabled={option.isDisabled ?? false} className={styles.choice!}>
            {option.name}
          </Radio>
        ))}
      </div>
    </RadioGroup>
  );
}
