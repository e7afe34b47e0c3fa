import type { Measured } from '../../compressor/index.ts';
import { formatNumber, NO_BREAK_SPACE, NO_NUMBER } from '../../units/index.ts';

/** As many decimals as say something: the width keeps one digit, two where the first is a one. */
function decimalsOf(width: number, most: number): number {
  if (!(width > 0) || !Number.isFinite(width)) return most;
  const exponent = Math.floor(Math.log10(width));
  const leading = width / 10 ** exponent;
  return Math.min(most, Math.max(0, (leading < 2 ? 1 : 0) - exponent));
}

/**
 * A measured number with what it may be off: '58.69 ± 0.23 mm²'. `perSi` turns SI into the unit shown.
 * @param most decimals at the most, also those of an exact number
 */
export function measuredWords(measured: Measured | null, perSi: number, unit: string, most = 3): string {
  if (measured === null || !Number.isFinite(measured.value)) return NO_NUMBER;
  const width = measured.plusMinus * perSi;
  const decimals = decimalsOf(width, most);
  const label = unit === '' ? '' : `${NO_BREAK_SPACE}${unit}`;
  const value = formatNumber(measured.value * perSi, decimals);
  return width > 0
    ? `${value}${NO_BREAK_SPACE}±${NO_BREAK_SPACE}${formatNumber(width, decimals)}${label}`
    : `${value}${label}`;
}

/** A ratio as what it means: '+13.4 ± 0.5 %'. */
export function gainWords(ratio: Measured | null): string {
  if (ratio === null) return NO_NUMBER;
  const text = measuredWords({ value: ratio.value - 1, plusMinus: ratio.plusMinus }, 100, '%', 1);
  return ratio.value > 1 ? `+${text}` : text;
}
