import { memo, useCallback, useLayoutEffect, useRef } from 'react';
import { type Expects, fromSi, type QuantityKey, unitOf, writableText } from '../units/index.ts';
import { Icon } from './Button.tsx';
import styles from './field.module.css';
import { FieldFrame, type FieldProps } from './fields.tsx';
import { offeredUnits, type TypedQuantity, unitChoice, unitSuffix, useQuantityField } from './useQuantityField.ts';

export interface QuantityFieldProps extends Omit<FieldProps, 'error'> {
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
  /** Shown faintly while empty: what holds then, in about ten letters ('none', 'as the map'). */
  placeholder?: string | undefined;
  /** Only where the saved document reads the text under the same rule; without it the unit decides. */
  expects?: Expects | undefined;
  /** Text that could not be read, kept by the caller; leave out to have the field keep it. */
  draft?: string | null | undefined;
  onDraft?: ((text: string | null) => void) | undefined;
}

/**
 * A number with its unit. The text is the state: what can be read counts at every keystroke, what cannot stays where it was typed, with
 * a message, while the last good value stays in use. Leaving the field never rewrites it. Arrow keys step (Shift or Page: ten steps).
 */
export const QuantityField = memo(function QuantityField(props: QuantityFieldProps) {
  const field = useQuantityField(props);
  const { value, quantity } = props;
  const input = useRef<HTMLInputElement>(null);
  // A browser lays the page out at once where the text of a focused input changes. React would write it amid its other changes, and the
  // page would be laid out twice; here they are done, and so are those of every drawing that stands before the field in the page.
  useLayoutEffect(() => {
    if (input.current && input.current.value !== field.text) input.current.value = field.text;
  });
  const newest = useRef(field.chooseUnit);
  newest.current = field.chooseUnit;
  const chooseUnit = useCallback((unit: string) => newest.current(unit), []);
  const bound = (si: number | undefined) => (si === undefined ? undefined : fromSi(si, quantity, value.unit));
  return (
    <FieldFrame {...props} error={field.error}>
      {(ids) => (
        <>
          <input
            ref={input}
            {...ids}
            className={styles.input}
            type="text"
            inputMode="decimal"
            autoComplete="off"
            autoCorrect="off"
            spellCheck={false}
            placeholder={props.placeholder}
            disabled={props.isDisabled}
            aria-invalid={field.error !== null || undefined}
            {...(!isTouchReader() && {
              role: 'spinbutton',
              'aria-valuenow': field.number ?? undefined,
              'aria-valuetext': field.number === null ? undefined : `${field.text}${unitSuffix(quantity, value.unit)}`,
              'aria-valuemin': bound(props.min),
              'aria-valuemax': bound(props.max),
            })}
            onChange={({ target }) => {
              const typed = writableText(target.value);
              if (typed !== target.value) target.value = typed;
              field.type(typed);
            }}
            onKeyDown={field.keyDown}
            onFocus={field.focus}
            onBlur={field.blur}
          />
          <UnitChoice
            {...{ quantity, label: props.label, units: props.units, unit: value.unit, isDisabled: props.isDisabled }}
            onChange={chooseUnit}
          />
        </>
      )}
    </FieldFrame>
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

/**
 * The unit beside a number: plain text when there is but one, else the platform's own list, which is cheap enough to stand forty times
 * in a sidebar and works with every keyboard, finger and screen reader.
 */
const UnitChoice = memo(function UnitChoice(
  props: Pick<QuantityFieldProps, 'quantity' | 'units' | 'label' | 'isDisabled'> & {
    unit: string;
    onChange: (unit: string) => void;
  },
) {
  const { quantity, unit } = props;
  const offered = offeredUnits(props);
  const current = unitOf(quantity, unit);
  // Empty for a plain number: the column stays, so that numbers align.
  if (offered.length < 2) return <span className={styles.unit}>{current.label}</span>;
  return (
    <span className={styles.unitChoice}>
      <select
        aria-label={`${props.label}: unit`}
        title={current.name}
        value={unit}
        disabled={props.isDisabled}
        onChange={(event) => props.onChange(event.target.value)}
      >
        {offered.map((unit) => (
          <option key={unit.key} value={unit.key}>
            {unitChoice(unit)}
          </option>
        ))}
      </select>
      <Icon name="caret" className="select-arrow" />
    </span>
  );
});

/**
 * True on iPhone and iPad, whose screen reader does not let a person type into a field with the role of a spinbutton (React Aria leaves
 * the role away for the same reason).
 */
function isTouchReader(): boolean {
  const { platform, maxTouchPoints } = navigator;
  return /^iP(?:hone|ad|od)/.test(platform) || (platform === 'MacIntel' && maxTouchPoints > 1);
}
