import type { Build, Candidate } from '../../../build/index.ts';
import { CAUTIONS } from '../../shared/cautions.ts';

/** The words on a map that leaves the program as a file: what it is, where it comes from, and the cautions. */
export function mapSheetWords(
  candidate: Candidate,
  build: Build,
  today: string,
): { title: string; description: string; provenance: string; caution: string } {
  const { map } = candidate;
  const mapName = map?.name ?? '';
  const invented = [map?.invented === true ? 'map' : '', build.invented === true ? 'car' : ''].filter(
    (word) => word !== '',
  );
  const mark = invented.length === 0 ? '' : `Invented ${invented.join(' and ')}, for demonstration only. `;
  const source = map === null || map.source.trim() === '' ? '' : ` Map: ${map.source.trim()}.`.replace('..', '.');
  return {
    title: `${build.name}: ${candidate.name}${mapName === '' || mapName === candidate.name ? '' : ` (${mapName})`}`,
    description: `Compressor map with the full-load line of ${build.name}.`,
    provenance: `${mark}Lugline, ${today}.${source}`,
    caution: CAUTIONS,
  };
}
