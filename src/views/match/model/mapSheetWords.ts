import type { Build, Candidate, MapDraft } from '../../../build/index.ts';
import { CAUTIONS } from '../../shared/cautions.ts';
import { isEstimated, mapTitle } from '../../shared/estimateWords.ts';

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
