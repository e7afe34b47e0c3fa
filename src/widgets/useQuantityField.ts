import { type KeyboardEvent, type RefObject, useEffect, useRef, useState } from 'react';
import {
  convertText,
  type Expects,
  formatNumber,
  fromSi,
  inSameStyle,
  type ParseFailureReason,
  parseNumber,
  plainNumber,
  type QuantityKey,
  toSi,
  unitOf,
  unitsOf,
} from '../units/index.ts';
import type { QuantityFieldProps } from './QuantityField.tsx';

export interface TypedQuantity {
  /** Exactly what was typed. */
  text: string;
  /** Unit key of the quantity. */
  unit: string;
}

/** Text, number, error and handlers of a quantity field. */
export function useQuantityField(props: QuantityFieldProps) {
  const { value, quantity, onChange } = props;
  const [isTyping, setTyping] = useState(false);
  /** A step of the undo history is open: something was sent since the last closed one. */
  const open = useRef(false);
  const sentLast = useRef(value);
  /** What counted before this edit, to go back to when the edit ends in something that cannot be read ('12oo' over 900). */
  const before = useRef(value);
  const [draft, keepDraft] = useTextDraft(props, sentLast);
  const switchUnit = useUnitSwitch();
  const { units, min, max, allowEmpty, expects } = props;
  const rule: QuantityRule = { quantity, unit: value.unit, units, min, max, allowEmpty, expects };
  const text = draft ?? value.text;
  const reading = readQuantityText(text, rule);
  const good = draft === null ? reading : readQuantityText(value.text, rule);

  const send = (next: TypedQuantity, transient: boolean, draftAfter: string | null = null) => {
    keepDraft(draftAfter);
    if (!open.current) before.current = value;
    sentLast.current = next;
    open.current = transient;
    onChange(next, { transient });
  };
  const leave = () => {
    setTyping(false);
    if (open.current) onChange(value, { transient: false });
    open.current = false;
  };
  const type = (typed: string) => {
    setTyping(true);
    if (readQuantityText(typed, rule).ok) send({ text: typed, unit: value.unit }, true);
    else if (open.current) send(before.current, true, typed);
    else keepDraft(typed);
  };
  const keyDown = (event: KeyboardEvent) => {
    if (event.key === 'Enter') leave();
    const steps = stepsOf(event);
    if (steps === 0) return;
    event.preventDefault();
    const next = stepQuantityText(text, rule, steps);
    if (next !== null) send({ text: next, unit: value.unit }, true);
  };
  const chooseUnit = (unit: string) => {
    // '34' typed into bar and then psi chosen: the number was right, the unit was not.
    if (draft !== null && readQuantityText(draft, { ...rule, unit }).ok) send({ text: draft, unit }, false);
    else send(switchUnit(value, rule, unit), false, draft);
  };
  const problem = reading.ok ? null : `${reading.message} ${inUse(good, value, quantity)}`;
  return {
    text,
    number: good.ok ? good.value : null,
    error: useSettled(problem, isTyping),
    ...{ type, keyDown, chooseUnit, focus: () => setTyping(false), blur: leave },
  };
}

/**
 * Converts a value to another unit, always from the text that was typed last, not from a converted one: nothing is rounded twice, and
 * switching back gives the very text.
 */
function useUnitSwitch() {
  const last = useRef<{ origin: TypedQuantity; result: TypedQuantity } | null>(null);
  return (value: TypedQuantity, rule: QuantityRule, unit: string): TypedQuantity => {
    const { current } = last;
    const isResult = current !== null && current.result.text === value.text && current.result.unit === value.unit;
    const origin = isResult ? current.origin : value;
    const text = convertText(origin.text, rule.quantity, [origin.unit, unit], { expects: rule.expects });
    const result = { text, unit };
    last.current = { origin, result };
    return result;
  };
}

/** What counts while a text cannot be read. */
function inUse(good: QuantityReading, value: TypedQuantity, quantity: QuantityKey): string {
  if (!good.ok) return 'Until then there is no value to calculate with.';
  if (good.value === null) return 'Until then it counts as empty.';
  return `Until then ${value.text.trim()}${unitSuffix(quantity, value.unit)} stays in use.`;
}

/** Steps of an arrow or page key; 0: another key. */
function stepsOf(event: KeyboardEvent): number {
  if (event.ctrlKey || event.altKey || event.metaKey) return 0;
  if (event.key === 'ArrowUp') return event.shiftKey ? 10 : 1;
  if (event.key === 'ArrowDown') return event.shiftKey ? -10 : -1;
  if (event.key === 'PageUp') return 10;
  if (event.key === 'PageDown') return -10;
  return 0;
}

interface DraftProps {
  value: TypedQuantity;
  draft?: string | null | undefined;
  onDraft?: ((text: string | null) => void) | undefined;
}

function isSame(a: TypedQuantity, b: TypedQuantity): boolean {
  return a.text === b.text && a.unit === b.unit;
}

/**
 * The text that could not be read, kept by the caller (`draft`) or here. It goes when the value changes from elsewhere under it (undo,
 * another map), but not when caller and field turn to another build with a draft of its own.
 * @param sentLast The value that the field itself sent last: a change to that one is not from elsewhere.
 */
function useTextDraft(
  { value, draft, onDraft }: DraftProps,
  sentLast: RefObject<TypedQuantity>,
): [string | null, (text: string | null) => void] {
  const [own, setOwn] = useState<string | null>(null);
  const isKeptByCaller = draft !== undefined;
  const current = isKeptByCaller ? draft : own;
  const before = useRef({ value, current });
  useEffect(() => {
    const old = before.current;
    before.current = { value, current };
    const fromElsewhere = !isSame(old.value, value) && !isSame(sentLast.current, value);
    if (!fromElsewhere || current === null || current !== old.current) return;
    setOwn(null);
    onDraft?.(null);
  });
  const keep = (text: string | null) => {
    if (!isKeptByCaller) setOwn(text);
    if (text !== current) onDraft?.(text);
  };
  return [current, keep];
}

/** Long enough to finish a number, short enough to notice a slip. */
const PAUSE_MS = 600;

/**
 * A problem that is worth showing: at once when the person has left the field, after a pause while the text is still being typed
 * ('1', '12' on the way to '1200'), and from then on until it is gone. null when there is none.
 */
function useSettled(problem: string | null, isTyping: boolean): string | null {
  const [waited, setWaited] = useState(false);
  const exists = problem !== null;
  useEffect(() => {
    if (!exists) {
      setWaited(false);
      return;
    }
    if (!isTyping) {
      setWaited(true);
      return;
    }
    const timer = setTimeout(() => setWaited(true), PAUSE_MS);
    return () => clearTimeout(timer);
  }, [exists, isTyping]);
  return exists && (waited || !isTyping) ? problem : null;
}

/** What a quantity field may hold. */
interface QuantityRule {
  quantity: QuantityKey;
  unit: string;
  /** The units to choose from; left out: all of the quantity. */
  units?: readonly string[] | undefined;
  /** Lowest and highest value, SI, both allowed. */
  min?: number | undefined;
  max?: number | undefined;
  allowEmpty?: boolean | undefined;
  /** Instead of the unit's own way of reading a lone comma. */
  expects?: Expects | undefined;
}

type QuantityReading =
  | { ok: true; value: number | null }
  | { ok: false; reason: ParseFailureReason | 'below' | 'above'; message: string };

/** The unit's label with its space before it, or nothing. */
export function unitSuffix(quantity: QuantityKey, unit: string): string {
  const { label } = unitOf(quantity, unit);
  return label === '' ? '' : `\u00a0${label}`;
}

/** A bound as few digits as show it: '0.5', '30,000'. */
function compact(value: number): string {
  const [, fraction = ''] = plainNumber(value, 5).split('.');
  return Math.abs(value) < 1e-6 && value !== 0 ? plainNumber(value, 5) : formatNumber(value, fraction.length);
}

/** Bounds hold to a billionth, so that '60' per cent is not above 0.6 for the sake of a last bit. */
function slack(bound: number): number {
  return Math.abs(bound) * 1e-9 + 1e-300;
}

/** Reads a field's text under its rule. Empty is null where it may be empty, never zero. */
export function readQuantityText(text: string, rule: QuantityRule): QuantityReading {
  if (rule.allowEmpty && text.trim() === '') return { ok: true, value: null };
  const parsed = parseNumber(text, rule.expects ?? unitOf(rule.quantity, rule.unit).expects);
  if (!parsed.ok) return { ok: false, reason: parsed.reason, message: parsed.message };
  const si = toSi(parsed.value, rule.quantity, rule.unit);
  const below = rule.min !== undefined && si < rule.min - slack(rule.min);
  const above = rule.max !== undefined && si > rule.max + slack(rule.max);
  if (!below && !above) return { ok: true, value: parsed.value };
  return { ok: false, reason: below ? 'below' : 'above', message: rangeMessage(text, parsed.value, below, rule) };
}

function rangeMessage(text: string, value: number, below: boolean, rule: QuantityRule): string {
  const suffix = unitSuffix(rule.quantity, rule.unit);
  const bound = (si: number) => compact(fromSi(si, rule.quantity, rule.unit));
  const { min, max } = rule;
  const range =
    min !== undefined && max !== undefined
      ? `${bound(min)} to ${bound(max)}${suffix}`
      : min !== undefined
        ? `${bound(min)}${suffix} or more`
        : `${bound(max ?? value)}${suffix} or less`;
  return `'${text.trim()}' is too ${below ? 'low' : 'high'}. Type ${range}${fittingUnits(value, rule)}.`;
}

/** Between two bounds a number may be right and its unit wrong, 146 for 146 krpm: ', or choose krpm'; '' where it fits none. */
function fittingUnits(value: number, rule: QuantityRule): string {
  const { quantity, unit, min, max } = rule;
  if (min === undefined || max === undefined) return '';
  const fits = offeredUnits(rule).filter(({ key }) => {
    const si = toSi(value, quantity, key);
    return key !== unit && si >= min && si <= max;
  });
  return fits.length === 0 ? '' : `, or choose ${fits.map(unitChoice).join(' or ')}`;
}

/** The units that a field lets choose from; its own is among them. */
export function offeredUnits({ quantity, unit, units }: Pick<QuantityRule, 'quantity' | 'unit' | 'units'>) {
  return unitsOf(quantity).filter(({ key }) => !units || key === unit || units.includes(key));
}

/** How a unit stands in the choice of units. */
export function unitChoice({ label }: { label: string }): string {
  return label === '' ? '0–1' : label;
}

/**
 * The text after `steps` presses of the up arrow (negative: down), or null when there is no number to start from or the result would
 * lie outside the rule. Keeps the decimals typed and the decimal sign.
 */
export function stepQuantityText(text: string, rule: QuantityRule, steps: number): string | null {
  const unit = unitOf(rule.quantity, rule.unit);
  const expects = rule.expects ?? unit.expects;
  const parsed = parseNumber(text, expects);
  if (!parsed.ok) return null;
  const next = parsed.value + steps * unit.step;
  const decimals = Math.max(
    decimalsOf(plainNumber(parsed.value, 15)),
    decimalsOf(typedPlain(text)),
    decimalsOf(plainNumber(unit.step)),
  );
  const fixed = decimals > 12 ? plainNumber(next, 12) : next.toFixed(decimals).replace(/^-(0(?:\.0*)?)$/, '$1');
  const result = inSameStyle(fixed, text, parsed.value, expects);
  return readQuantityText(result, rule).ok ? result : null;
}

/** Text with either decimal sign as a point, to count the decimals that were typed ('1,50' has two). */
function typedPlain(text: string): string {
  return /[eE]/.test(text) ? '' : text.trim().replace(/,(?=\d*$)/, '.');
}

function decimalsOf(plain: string): number {
  const [mantissa = '', exponent = '0'] = plain.split('e');
  const fraction = mantissa.split('.')[1]?.length ?? 0;
  return Math.max(0, fraction - Number(exponent));
}
