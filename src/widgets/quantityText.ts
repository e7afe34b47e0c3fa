import {
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
} from '../units/index.ts';

/** What a quantity field may hold. */
export interface QuantityRule {
  quantity: QuantityKey;
  unit: string;
  /** Lowest and highest value, SI, both allowed. */
  min?: number | undefined;
  max?: number | undefined;
  allowEmpty?: boolean | undefined;
  /** Instead of the unit's own way of reading a lone comma. */
  expects?: Expects | undefined;
}

export type QuantityReading =
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
  return `'${text.trim()}' is too ${below ? 'low' : 'high'}. Type ${range}.`;
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
