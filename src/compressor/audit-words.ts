import type { FlowUnit, MapSheet } from './types.ts';

/** How one sheet's numbers are put in words: its own units, and no more decimals than a person would have read. */
export interface AuditWords {
  speed(rpm: number): string;
  flow(value: number): string;
  ratio(value: number): string;
  /** '0.74 (74 %)': a sheet may have been typed either way. */
  efficiency(value: number): string;
}

/** 148200 -> '148,200'; anything that is not a number is named as such. */
export function groupedNumber(value: number, decimals = 0): string {
  if (!Number.isFinite(value)) return 'not a number';
  const [whole = '', fraction] = Math.abs(value).toFixed(decimals).split('.');
  const grouped = whole.replace(/\B(?=(\d{3})+$)/g, ',');
  return `${value < 0 ? '-' : ''}${grouped}${fraction === undefined ? '' : `.${fraction}`}`;
}

const LARGEST_DECIMALS: Record<FlowUnit, number> = { 'kg/s': 4, 'lb/min': 2, 'm3/s': 4, cfm: 1 };

/**
 * Words for the numbers of one sheet.
 * @returns formatters; they take any number, also NaN.
 */
export function auditWords(sheet: MapSheet): AuditWords {
  const unit = sheet.flowUnit;
  return {
    speed: (rpm) => `${groupedNumber(rpm)} rpm`,
    flow: (value) => `${trimmed(value, LARGEST_DECIMALS[unit] ?? 4)} ${unit === 'm3/s' ? 'm³/s' : unit}`,
    ratio: (value) => trimmed(value, 3),
    efficiency: (value) => `${trimmed(value, 3)} (${trimmed(value * 100, 1)} %)`,
  };
}

function trimmed(value: number, decimals: number): string {
  const text = groupedNumber(value, decimals);
  return text.includes('.') ? text.replace(/\.?0+$/, '') : text;
}
