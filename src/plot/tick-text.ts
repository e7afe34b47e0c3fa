import { tickStep } from 'd3-array';
import { formatNumber } from '../units/index.ts';

/** Writes the ticks of an axis, all with the decimals that its step needs: '0.5', '1.0', '1.5'. `count` as given to `scale.ticks`, above 0. */
export function tickText([start = 0, stop = 1]: readonly number[], count: number): (value: number) => string {
  const step = Math.abs(tickStep(start, stop, count));
  // Steps are 1, 2 or 5 times a power of ten; the margin is for the logarithm's rounding (log10(0.001) may come out above -3).
  const decimals = step > 0 ? Math.min(12, Math.max(0, -Math.floor(Math.log10(step) + 1e-9))) : 0;
  return (value) => formatNumber(value, decimals);
}
