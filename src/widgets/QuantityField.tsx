import { type KeyboardEvent, memo, type RefObject, useEffect, useId, useRef, useState } from 'react';
import { Input } from 'react-aria-components/Input';
import { Label } from 'react-aria-components/Label';
import { TextField } from 'react-aria-components/TextField';
import { type Expects, fromSi, type QuantityKey } from '../units/index.ts';
import { cx } from './cx.ts';
import { describedBy, FieldMessages } from './FieldMessages.tsx';
import styles from './field.module.css';
import { isTouchReader } from './isTouchReader.ts';
import { convertQuantityText, readQuantityText, stepQuantityText, unitSuffix } from './quantityText.ts';
import { UnitChoice } from './UnitChoice.tsx';
import { useSettled } from './useSettled.ts';

export interface TypedQuantity {
  /** Exactly what was typed. */
  text: string;
  /** Unit key of the quantity. */
  unit: string;
}

export interface QuantityFieldProps {
  label: string;
  /** The last text that could be read, with its unit. */
  value: TypedQuantity;
  quantity: QuantityKey;
  /**
   * A readable text, at every keystroke and step (transient: true), and once more when the person leaves the field or presses Enter
   * (transient: false: one undo step ends here). A unit change is one step by itself. Keep the same function between renders: the field
   * renders again only when one of its own props changes.
   */
  onChange: (next: TypedQuantity, change: { transient: boolean }) => void;
  /** Keys of the units to offer; all without it. Keep the same array between renders. */
  units?: readonly string[] | undefined;
  /** Lowest and highest value in SI, both allowed. */
  min?: number | undefined;
  max?: number | undefined;
  allowEmpty?: boolean | undefined;
  /** Shown faintly while empty: what holds then ('none', 'from the map'). */
  placeholder?: string | undefined;
  /** Only where the saved document reads the text under the same rule; without it the unit decides. */
  expects?: Expects | undefined;
  help?: string | undefined;
  warning?: string | null | undefined;
  isDisabled?: boolean | undefined;
  id?: string | undefined;
  /** Text that could not be read, kept by the caller; leave out to have the field keep it. */
  draft?: string | null | undefined;
  onDraft?: ((text: string | null) => void) | undefined;
  /** Label above instead of beside. */
  stacked?: boolean | undefined;
}

/**
 * A number with its unit. The text is the state: what can be read counts at every keystroke, what cannot stays where it was typed, with
 * a message, while the last good value stays in use. Leaving the field never rewrites it. Arrow keys step (Shift or Page: ten steps).
 */
export const QuantityField = memo(function QuantityField(props: QuantityFieldProps) {
  const ownId = useId();
  const id = props.id ?? ownId;
  const field = useQuantityField(props);
  const { label, value, quantity } = props;
  const messages = { id, error: field.error, warning: props.warning, help: props.help };
  const bound = (si: number | undefined) => (si === undefined ? undefined : fromSi(si, quantity, value.unit));
  const description = describedBy(messages);
  return (
    <TextField
      className={cx(styles.field, props.stacked && styles.stacked)}
      value={field.text}
      onChange={field.type}
      isInvalid={field.error !== null}
      isDisabled={props.isDisabled ?? false}
      {...(description && { 'aria-describedby': description })}
    >
      <Label className={styles.label} htmlFor={id}>
        {label}
      </Label>
      <div className={cx(styles.control, Boolean(props.warning) && styles.doubtful)}>
        <Input
          id={id}
          className={styles.input!}
          inputMode="decimal"
          autoComplete="off"
          autoCorrect="off"
          spellCheck={false}
          {...(props.placeholder !== undefined && { placeholder: props.placeholder })}
          {...(!isTouchReader() && {
            role: 'spinbutton',
            'aria-valuenow': field.number ?? undefined,
            'aria-valuetext': field.number === null ? undefined : `${field.text}${unitSuffix(quantity, value.unit)}`,
            'aria-valuemin': bound(props.min),
            'aria-valuemax': bound(props.max),
          })}
          onKeyDown={field.keyDown}
          onFocus={field.focus}
          onBlur={field.blur}
        />
        <UnitChoice
          label={label}
          quantity={quantity}
          unit={value.unit}
          only={props.units}
          isDisabled={props.isDisabled}
          onChange={field.chooseUnit}
        />
      </div>
      <FieldMessages {...messages} />
    </TextField>
  );
}, sameField);

/** The value by its content, everything else by identity: a store may make a new object that says the same. */
function sameField(before: QuantityFieldProps, after: QuantityFieldProps): boolean {
  const keys = new Set([...Object.keys(before), ...Object.keys(after)]) as Set<keyof QuantityFieldProps>;
  for (const key of keys) {
    if (key === 'value') {
      if (before.value.text !== after.value.text || before.value.unit !== after.value.unit) return false;
    } else if (!Object.is(before[key], after[key])) return false;
  }
  return true;
}

function useQuantityField(props: QuantityFieldProps) {
  const { value, quantity, onChange } = props;
  const [ownDraft, setOwnDraft] = useState<string | null>(null);
  const [seen, setSeen] = useState(value);
  const [isTyping, setTyping] = useState(false);
  /** A step of the undo history is open: something was sent since the last closed one. */
  const open = useRef(false);
  const sentLast = useRef(value);
  const switched = useRef<{ origin: TypedQuantity; result: TypedQuantity } | null>(null);

  if (seen.text !== value.text || seen.unit !== value.unit) {
    // The value came from elsewhere (undo, another map): what could not be read belonged to the old one.
    setSeen(value);
    if (ownDraft !== null) setOwnDraft(null);
  }
  const draft = props.draft !== undefined ? props.draft : ownDraft;
  const setDraft = (text: string | null) => {
    setOwnDraft(text);
    if (text !== draft) props.onDraft?.(text);
  };
  useDropOldDraft(props, sentLast);
  const rule = {
    quantity,
    unit: value.unit,
    min: props.min,
    max: props.max,
    allowEmpty: props.allowEmpty,
    expects: props.expects,
  };
  const text = draft ?? value.text;
  const reading = readQuantityText(text, rule);
  const good = draft === null ? reading : readQuantityText(value.text, rule);

  const send = (next: TypedQuantity, transient: boolean) => {
    setDraft(null);
    setSeen(next);
    sentLast.current = next;
    open.current = transient;
    onChange(next, { transient });
  };
  const close = () => {
    if (open.current) {
      open.current = false;
      onChange(value, { transient: false });
    }
  };
  const type = (typed: string) => {
    setTyping(true);
    if (readQuantityText(typed, rule).ok) send({ text: typed, unit: value.unit }, true);
    else setDraft(typed);
  };
  const keyDown = (event: KeyboardEvent) => {
    if (event.key === 'Enter') {
      setTyping(false);
      close();
    }
    const steps = stepsOf(event);
    if (steps === 0) return;
    event.preventDefault();
    const next = stepQuantityText(text, rule, steps);
    if (next !== null) send({ text: next, unit: value.unit }, true);
  };
  const chooseUnit = (unit: string) => {
    if (draft !== null && readQuantityText(draft, { ...rule, unit }).ok) {
      // '34' typed into bar and then psi chosen: the number was right, the unit was not.
      send({ text: draft, unit }, false);
      return;
    }
    const last = switched.current;
    const origin = last && last.result.text === value.text && last.result.unit === value.unit ? last.origin : value;
    const result = {
      text: origin.unit === unit ? origin.text : convertQuantityText(origin.text, { ...rule, unit: origin.unit }, unit),
      unit,
    };
    switched.current = { origin, result };
    const kept = draft;
    send(result, false);
    if (kept !== null) setDraft(kept);
  };
  const problem = reading.ok ? null : `${reading.message} ${inUse(good, value, quantity)}`;
  return {
    text,
    number: good.ok ? good.value : null,
    error: useSettled(problem, isTyping),
    type,
    keyDown,
    chooseUnit,
    focus: () => setTyping(false),
    blur: () => {
      setTyping(false);
      close();
    },
  };
}

/**
 * A text kept by the caller goes, too, when the value changes from elsewhere under it; not when caller and field turn to another build
 * with a draft of its own.
 */
function useDropOldDraft({ value, draft, onDraft }: QuantityFieldProps, sentLast: RefObject<TypedQuantity>): void {
  const before = useRef({ value, draft });
  useEffect(() => {
    const { value: oldValue, draft: oldDraft } = before.current;
    before.current = { value, draft };
    const changed = oldValue.text !== value.text || oldValue.unit !== value.unit;
    const byField = sentLast.current.text === value.text && sentLast.current.unit === value.unit;
    if (changed && !byField && typeof draft === 'string' && draft === oldDraft) onDraft?.(null);
  });
}

/** What counts while a text cannot be read. */
function inUse(good: ReturnType<typeof readQuantityText>, value: TypedQuantity, quantity: QuantityKey): string {
  if (!good.ok) return 'Until then there is no value to calculate with.';
  if (good.value === null) return 'Until then it counts as empty.';
  return `Until then ${value.text.trim()}${unitSuffix(quantity, value.unit)} stays in use.`;
}

function stepsOf(event: KeyboardEvent): number {
  if (event.ctrlKey || event.altKey || event.metaKey) return 0;
  if (event.key === 'ArrowUp') return event.shiftKey ? 10 : 1;
  if (event.key === 'ArrowDown') return event.shiftKey ? -10 : -1;
  if (event.key === 'PageUp') return 10;
  if (event.key === 'PageDown') return -10;
  return 0;
}
