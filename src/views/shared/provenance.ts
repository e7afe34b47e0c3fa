import type { Build, Candidate, MapDraft, Settings } from '../../build/index.ts';

/** The cautions that go with every number, on screen and on files alike. */
export const CAUTIONS =
  "Computed, not measured. A burst wheel throws metal; knock, heat and a lean mixture destroy engines. The makers' limits, local codes and licensed practice come first, on the dynamometer and on the road.";

/** The cautions of a table of boost: it is what somebody will set a boost controller by. */
export const TABLE_CAUTIONS: readonly string[] = [
  "Computed from a map that was read off a sheet and from the curves entered; not measured. The makers' limits, local codes and licensed practice come before every figure here.",
  'Approach each figure from below, on a dynamometer, with a shaft-speed sensor, exhaust temperature, knock and lambda watched and guards in place. A wheel that bursts throws metal.',
];

export const NOT_THE_ENGINE =
  'Boost that the turbo allows is not boost that the engine, its fuel supply or its ignition allow.';

declare const __PROGRAM_VERSION__: string;

/** Version of the program, put in from package.json when the page is built. */
export const PROGRAM_VERSION: string = __PROGRAM_VERSION__;

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

/** The words on a map that leaves the program as a file: what it is, where it comes from, and the cautions. */
export function mapSheetWords(
  candidates: readonly Candidate[],
  build: Build,
  today: string,
): { title: string; description: string; provenance: string; caution: string } {
  const maps = candidates.flatMap(({ map, donor }) => map ?? donor ?? []);
  const invented = [
    maps.some((map) => map.invented === true) ? (maps.length > 1 ? 'maps' : 'map') : '',
    build.invented === true ? 'car' : '',
  ].filter((word) => word !== '');
  const mark = invented.length === 0 ? '' : `Invented ${invented.join(' and ')}, for demonstration only. `;
  const estimates = candidates
    .filter(isEstimated)
    .map(({ name, donor }) => `${name} is an estimate: the map of ${donor?.name ?? 'another wheel'}, scaled. `)
    .join('');
  return {
    title: `${build.name}: ${candidates.map(titleOf).join(' and ')}`,
    description: `Compressor map with the full-load line of ${build.name}.`,
    provenance: `${mark}${estimates}Lugline, ${today}.${maps.map(sourceOf).join('')}`,
    caution: CAUTIONS,
  };
}

/** '3 May 2026', as it is written where the reader is. */
export function todayWords(): string {
  return new Date().toLocaleDateString(undefined, { day: 'numeric', month: 'long', year: 'numeric' });
}

function titleOf(candidate: Candidate): string {
  const title = mapTitle(candidate);
  return title === '' || title === candidate.name ? candidate.name : `${candidate.name} (${title})`;
}

function sourceOf(map: MapDraft): string {
  return map.source.trim() === '' ? '' : ` Map: ${map.source.trim()}.`.replace('..', '.');
}
