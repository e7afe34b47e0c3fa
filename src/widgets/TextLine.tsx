import { useId, useRef } from 'react';
import { Input } from 'react-aria-components/Input';
import { Label } from 'react-aria-components/Label';
import { TextArea } from 'react-aria-components/TextArea';
import { TextField } from 'react-aria-components/TextField';
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
  const description = describedBy(messages);
  const close = () => {
    if (open.current) props.onChange(props.value, { transient: false });
    open.current = false;
  };
  const control = {
    id,
    className: styles.text!,
    onBlur: close,
    ...(props.placeholder !== undefined && { placeholder: props.placeholder }),
    ...(props.maxLength !== undefined && { maxLength: props.maxLength }),
  };
  return (
    <TextField
      className={cx(styles.field, props.stacked && styles.stacked)}
      value={props.value}
      onChange={(text) => {
        open.current = true;
        props.onChange(text, { transient: true });
      }}
      isInvalid={Boolean(props.error)}
      isDisabled={props.isDisabled ?? false}
      autoFocus={props.autoFocus ?? false}
      {...(description && { 'aria-describedby': description })}
    >
      <Label className={styles.label} htmlFor={id}>
        {props.label}
      </Label>
      <div className={styles.control}>
        {props.rows !== undefined && props.rows > 1 ? (
          <TextArea {...control} rows={props.rows} />
        ) : (
          <Input {...control} autoComplete="off" onKeyDown={(event) => event.key === 'Enter' && close()} />
        )}
      </div>
      <FieldMessages {...messages} />
    </TextField>
  );
}
