import { fromSi, unitOf } from './convert.ts';
import { formatNumber } from './formatNumber.ts';
import type { QuantityKey } from './types.ts';

/** Between a number and its unit, so that a line never breaks there. */
export const NO_BREAK_SPACE = '\u00a0';

export interface FormatOptions {
  /** Instead of the unit's usual decimals. */
  decimals?: number;
  /** false: the number alone, for a table whose heading carries the unit. */
  withUnit?: boolean;
  /** true: a plus sign before positive numbers (differences and margins). */
  signed?: boolean;
}

/** An SI value in a unit with its label: '148,200 rpm' (with a no-break space). What is not finite becomes an en dash without unit. */
export function formatQuantity(si: number, quantity: QuantityKey, unit: string, options: FormatOptions = {}): string {
  if (!Number.isFinite(si)) return formatNumber(si, 0);
  const found = unitOf(quantity, unit);
  const number = formatNumber(fromSi(si, quantity, unit), options.decimals ?? found.decimals);
  const sign = options.signed === true && /^[^−]*[1-9]/.test(number) ? '+' : '';
  const label = options.withUnit === false || found.label === '' ? '' : `${NO_BREAK_SPACE}${found.label}`;
  return `${sign}${number}${label}`;
}
