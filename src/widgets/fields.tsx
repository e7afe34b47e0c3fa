import { type ChangeEvent, type ReactNode, useId, useRef } from 'react';
import { writableText } from '../units/index.ts';
import { cx, Icon } from './Button.tsx';
import styles from './field.module.css';

/** What every field may have. */
export interface FieldProps {
  label: string;
  error?: string | null | undefined;
  warning?: string | null | undefined;
  help?: string | null | undefined;
  isDisabled?: boolean | undefined;
  id?: string | undefined;
  /** Label above instead of beside. */
  stacked?: boolean | undefined;
}

/** Label, control and, under both, what is wrong, doubtful or good to know; `children` gets the ids for the control. */
export function FieldFrame(
  props: FieldProps & { children: (ids: { id: string; 'aria-describedby': string | undefined }) => ReactNode },
) {
  const { label, error, warning, help, isDisabled, stacked } = props;
  const ownId = useId();
  const id = props.id ?? ownId;
  const describedBy = [error && `${id}-error`, warning && `${id}-warning`, help && `${id}-help`]
    .filter(Boolean)
    .join(' ');
  return (
    <div
      className={cx(styles.field, stacked && styles.stacked)}
      data-invalid={Boolean(error) || undefined}
      data-disabled={isDisabled || undefined}
    >
      <label className={styles.label} htmlFor={id}>
        {label}
      </label>
      <div className={cx(styles.control, Boolean(warning) && styles.doubtful)}>
        {props.children({ id, 'aria-describedby': describedBy || undefined })}
      </div>
      <FieldMessages id={id} error={error} warning={warning} help={help} />
    </div>
  );
}

/** Messages under a field, each with a mark of its own shape. */
function FieldMessages({ id, error, warning, help }: Pick<FieldProps, 'error' | 'warning' | 'help'> & { id: string }) {
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
        <p id={`${id}-help`} className="ui-faint">
          {help}
        </p>
      )}
    </div>
  );
}

interface Option<Key extends string> {
  key: Key;
  name: string;
  isDisabled?: boolean;
}

interface ChoiceProps<Key extends string> extends FieldProps {
  value: Key;
  options: readonly Option<Key>[];
  onChange: (key: Key) => void;
}

/** One of several, by the platform's own list. */
export function SelectField<Key extends string>(props: ChoiceProps<Key>) {
  return (
    <FieldFrame {...props}>
      {(ids) => (
        <span className={styles.select}>
          <select
            {...ids}
            value={props.value}
            disabled={props.isDisabled}
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
          <Icon name="caret" className="select-arrow" />
        </span>
      )}
    </FieldFrame>
  );
}

/**
 * One of two to five, all of them in sight; with `hideLabel` the label is for screen readers only. The browser's own radio buttons: arrow
 * keys, one stop for Tab, and no script for it.
 */
export function ChoiceRow<Key extends string>(props: ChoiceProps<Key> & { hideLabel?: boolean | undefined }) {
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

/** On or off; it takes effect at once. */
export function SwitchField(
  props: Pick<FieldProps, 'label' | 'help' | 'isDisabled'> & { value: boolean; onChange: (value: boolean) => void },
) {
  const { label, value, onChange, help, isDisabled } = props;
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

interface TextLineProps extends FieldProps {
  value: string;
  /** Every keystroke with transient: true, and once more with false when the person leaves the field or presses Enter. */
  onChange: (text: string, change: { transient: boolean }) => void;
  /** More than 1: a box of that many lines. */
  rows?: number | undefined;
  placeholder?: string | undefined;
  maxLength?: number | undefined;
  autoFocus?: boolean | undefined;
}

/** Free text in one or several lines. */
export function TextLine(props: TextLineProps) {
  const { value, rows = 1, error, placeholder, maxLength } = props;
  const open = useRef(false);
  const close = () => {
    if (open.current) props.onChange(value, { transient: false });
    open.current = false;
  };
  const control = {
    className: styles.text,
    ...{ value, placeholder, maxLength, disabled: props.isDisabled, autoFocus: props.autoFocus ?? false },
    'aria-invalid': Boolean(error) || undefined,
    onChange: (event: ChangeEvent<HTMLInputElement | HTMLTextAreaElement>) => {
      open.current = true;
      props.onChange(writableText(event.target.value), { transient: true });
    },
    onBlur: close,
  };
  return (
    <FieldFrame {...props}>
      {(ids) =>
        rows > 1 ? (
          <textarea {...ids} {...control} rows={rows} />
        ) : (
          <input
            {...ids}
            {...control}
            type="text"
            autoComplete="off"
            onKeyDown={(event) => event.key === 'Enter' && close()}
          />
        )
      }
    </FieldFrame>
  );
}
