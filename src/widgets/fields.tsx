import { type ChangeEvent, useId, useRef } from 'react';
import { cx, Icon } from './Button.tsx';
import styles from './field.module.css';

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
      className={cx(styles.field, props.stacked && styles.stacked)}
      aria-disabled={props.isDisabled || undefined}
      {...(props.hideLabel ? { 'aria-label': props.label } : { 'aria-labelledby': id })}
    >
      {!props.hideLabel && (
        <span id={id} className={styles.label}>
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

export interface SwitchFieldProps {
  label: string;
  value: boolean;
  onChange: (value: boolean) => void;
  help?: string | undefined;
  isDisabled?: boolean | undefined;
}

/** On or off; it takes effect at once. */
export function SwitchField({ label, value, onChange, help, isDisabled }: SwitchFieldProps) {
  const id = useId();
  return (
    <div>
      <label className={styles.switch}>
        {label}
        <input
          type="checkbox"
          role="switch"
          checked={value}
          aria-checked={value}
          disabled={isDisabled ?? false}
          onChange={(event) => onChange(event.target.checked)}
          {...(help && { 'aria-describedby': `${id}-help` })}
        />
        <span className={styles.track} />
      </label>
      <FieldMessages id={id} help={help} />
    </div>
  );
}

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
