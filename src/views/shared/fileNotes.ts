import type { Build, Candidate, MapDraft } from '../../build/index.ts';
import { joined } from '../../units/index.ts';
import { CAUTIONS, isEstimated, mapTitle } from './display.ts';

/* Words on what leaves the program, on paper and in files: apart from display.ts, which the first script holds. */

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

/** The words on a map that leaves the program as a file: what it is, where it comes from, and the cautions. */
export function mapSheetWords(
  candidates: readonly Candidate[],
  build: Build,
  today: string,
): { title: string; description: string; provenance: string; caution: string } {
  const maps = candidates.flatMap(({ map, donor }) => map ?? donor ?? []);
  const mark = inventedMark(maps, maps.length > 1 ? 'maps' : 'map', build);
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

/** 'Invented maps and car, for demonstration only. '; '' where nothing is. */
export function inventedMark(maps: readonly MapDraft[], called: string, build: Build): string {
  const isInvented = maps.some((map) => map.invented === true);
  const what = joined([isInvented ? called : '', build.invented === true ? 'car' : ''], ' and ');
  return what === '' ? '' : `Invented ${what}, for demonstration only. `;
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
