import { useMemo } from 'react';
import type { Candidate, Settings } from '../../build/index.ts';
import { type ResultUnits, resultUnits } from '../../match/index.ts';
import { useSettings } from '../../store/index.ts';

/** The units in which results are shown; the same object while the choice is the same. */
export function useResultUnits(): ResultUnits {
  const { system, resultUnits: chosen, several } = useSettings();
  return useMemo(() => resultUnits({ system, resultUnits: chosen, several }), [system, chosen, several]);
}

/** The cautions that go with every number, on screen and on files alike. */
export const CAUTIONS =
  "Computed, not measured. A burst wheel throws metal; knock, heat and a lean mixture destroy engines. The makers' limits, local codes and licensed practice come first, on the dynamometer and on the road.";

/** A candidate that is computed on a donor's map, scaled: nothing on its map was read off a sheet of its own. */
export function isEstimated(candidate: Pick<Candidate, 'map' | 'donor'>): boolean {
  return candidate.map === null && candidate.donor !== null;
}

/** What the map of a candidate is called on screen and in files: its own name, or that it is an estimate and whose; '2 × ' for two turbos. */
export function mapTitle({ map, donor, turboCount }: Pick<Candidate, 'map' | 'donor' | 'turboCount'>): string {
  const title = map !== null ? map.name : donor === null ? '' : `Estimate, scaled from ${donor.name}`;
  return title !== '' && turboCount > 1 ? `${turboCount} × ${title}` : title;
}

/** 'A' for the first candidate, 'B' for the second, and so on; it stands for the candidate in headings, legends and files. */
export function candidateLetter(index: number): string {
  return String.fromCharCode(65 + index);
}

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
