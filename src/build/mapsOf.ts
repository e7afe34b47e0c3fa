import type { Candidate, MapDraft } from './document.ts';

/** The sheets of the shelf that a candidate carries: its own map, the donor's, and that of its turbine. */
export function mapsOf(candidate: Candidate): MapDraft[] {
  return [candidate.map, candidate.donor, candidate.turbineSheet].filter((map) => map !== null);
}

/** The candidate with its sheets passed through `change`; the same candidate when none changed. */
export function withMapsOf(candidate: Candidate, change: (map: MapDraft) => MapDraft): Candidate {
  const changed = (map: MapDraft | null) => (map === null ? null : change(map));
  const map = changed(candidate.map);
  const donor = changed(candidate.donor);
  const turbineSheet = changed(candidate.turbineSheet);
  const isSame = map === candidate.map && donor === candidate.donor && turbineSheet === candidate.turbineSheet;
  return isSame ? candidate : { ...candidate, map, donor, turbineSheet };
}
