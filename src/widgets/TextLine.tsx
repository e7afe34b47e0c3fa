import { type ChangeEvent, useId, useRef } from 'react';
import { cx } from './cx.ts';
import { describedBy, FieldMessages } from './FieldMessages.tsx';
import styles from './field.module.css';

export interface TextLineProps {
  label: string;
  value: string;
  /** Every keystroke with transient: true, and once more with false when the person leaves the field or presses Enter. */
  onChange: (text: string, change: { transient: boolean }) => void;
  /** More than 1: a box of that many lines. */
  rows?: number | undefined;
  placeholder?: string | undefined;
  help?: string | undefined;
  error?: string | null | undefined;
  isDisabled?: boolean | undefined;
  maxLength?: number | undefined;
  id?: string | undefined;
  stacked?: boolean | undefined;
  autoFocus?: boolean | undefined;
}

/** Free text in one or several lines. */
export function TextLine(props: TextLineProps) {
  const ownId = useId();
  const id = props.id ?? ownId;
  const open = useRef(false);
  const messages = { id, error: props.error, help: props.help };
  const close = () => {
    if (open.current) props.onChange(props.value, { transient: false });
    open.current = false;
  };
  const control = {
    id,
    className: styles.text,
    value: props.value,
    placeholder: props.placeholder,
    maxLength: props.maxLength,
    disabled: props.isDisabled,
    'aria-invalid': Boolean(props.error) || undefined,
    'aria-describedby': describedBy(messages),
    autoFocus: props.autoFocus ?? false,
    onChange: (event: ChangeEvent<HTMLInputElement | HTMLTextAreaElement>) => {
      open.current = true;
      props.onChange(event.target.value, { transient: true });
    },
    onBlur: close,
  };
  return (
    <div
      className={cx(styles.field, props.stacked && styles.stacked)}
      data-invalid={Boolean(props.error) || undefined}
      data-disabled={props.isDisabled || undefined}
    >
      <label className={styles.label} htmlFor={id}>
        {props.label}
      </label>
      <div className={styles.control}>
        {props.rows !== undefined && props.rows > 1 ? (
          <textarea {...control} rows={props.rows} />
        ) : (
          <input {...control} type="text" autoComplete="off" onKeyDown={(event) => event.key === 'Enter' && close()} />
        )}
      </div>
      <FieldMessages {...messages} />
    </div>
  );
}
