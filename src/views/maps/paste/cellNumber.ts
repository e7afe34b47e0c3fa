import { parseNumber } from '../../../units/index.ts';

/** What a pasted column holds. */
export type ColumnRole = 'speed' | 'percent' | 'flow' | 'ratio' | 'efficiency' | 'ignored';

/** A cell as a number: a percent sign behind it is passed over. null when it is none. */
export function cellNumber(cell: string | undefined, isSpeed = false): number | null {
  const parsed = parseNumber((cell ?? '').replace(/%$/, ''), isSpeed ? 'integer-like' : 'decimal');
  return parsed.ok ? parsed.value : null;
}
