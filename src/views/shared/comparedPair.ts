import type { Settings } from '../../build/index.ts';

/**
 * The two candidates that are held against each other, first the one that is known, then the one that is proposed; null with fewer than
 * two. Until a second one was chosen they stand in the order of the list: the shown one and its neighbour.
 */
export function comparedPair(
  { shownCandidate, comparedCandidate }: Pick<Settings, 'shownCandidate' | 'comparedCandidate'>,
  count: number,
): readonly [number, number] | null {
  if (count < 2) return null;
  const first = Math.min(shownCandidate, count - 1);
  if (comparedCandidate !== undefined && comparedCandidate < count && comparedCandidate !== first) {
    return [first, comparedCandidate];
  }
  return first === count - 1 ? [first - 1, first] : [first, first + 1];
}
