import type { Candidate } from '../../build/index.ts';

/** A candidate that is computed on a donor's map, scaled: nothing on its map was read off a sheet of its own. */
export function isEstimated(candidate: Pick<Candidate, 'map' | 'donor'>): boolean {
  return candidate.map === null && candidate.donor !== null;
}

/** What the map of a candidate is called on screen and in files: its own name, or that it is an estimate and whose. */
export function mapTitle({ map, donor }: Pick<Candidate, 'map' | 'donor'>): string {
  if (map !== null) return map.name;
  return donor === null ? '' : `Estimate, scaled from ${donor.name}`;
}
