import type { Candidate, MapDraft } from './document.ts';

/** The maps that a candidate carries: its own and the donor's. */
export function mapsOf(candidate: Candidate): MapDraft[] {
  return [candidate.map, candidate.donor].filter((map) => map !== null);
}

/** The candidate with its maps passed through `change`; the same candidate when none changed. */
export function withMapsOf(candidate: Candidate, change: (map: MapDraft) => MapDraft): Candidate {
  const map = candidate.map === null ? null : change(candidate.map);
  const donor = candidate.donor === null ? null : change(candidate.donor);
  return map === candidate.map && donor === candidate.donor ? candidate : { ...candidate, map, donor };
}
