import type { Build, MapDraft } from '../../../../build/index.ts';
import { CAUTIONS } from '../../../shared/cautions.ts';
import { isEstimated } from '../../../shared/estimateWords.ts';
import type { TurbineSide } from './turbineSide.ts';

/** The words on a chart of the turbine that leaves the program as a file: what it is, what it rests on, and the cautions. */
export function turbineSheetWords(
  sides: readonly Pick<TurbineSide, 'results'>[],
  build: Build,
  what: string,
  today: string,
): { title: string; description: string; provenance: string; caution: string } {
  const candidates = sides.map(({ results }) => results.candidate);
  const maps = candidates.flatMap(({ map, donor, turbine, turbineSheet }) => [
    ...(map === null && donor === null ? [] : [map ?? donor!]),
    ...(turbine.source === 'sheet' && turbineSheet !== null ? [turbineSheet] : []),
  ]);
  const invented = [
    maps.some((map) => map.invented === true) ? 'maps' : '',
    build.invented === true ? 'car' : '',
  ].filter((word) => word !== '');
  const mark = invented.length === 0 ? '' : `Invented ${invented.join(' and ')}, for demonstration only. `;
  const estimates = candidates.flatMap((candidate) => [
    ...(candidate.turbine.source === 'measured'
      ? [`The turbine of ${candidate.name} is estimated from wheel and housing.`]
      : []),
    ...(isEstimated(candidate) ? [`The compressor map of ${candidate.name} is an estimate, scaled.`] : []),
  ]);
  const sources = candidates.flatMap(({ turbine, turbineSheet }) =>
    turbine.source === 'sheet' && turbineSheet !== null ? sourceOf(turbineSheet) : [],
  );
  return {
    title: `${build.name}: ${what} of ${candidates.map(({ name }) => name).join(' and ')}`,
    description: `${what} of ${candidates.map(({ name }) => name).join(' and ')} on ${build.name}, at full load.`,
    provenance: `${mark}${[...estimates, `Lugline, ${today}.`, ...sources].join(' ')}`,
    caution: CAUTIONS,
  };
}

function sourceOf({ name, source }: MapDraft): string[] {
  const words = [name.trim(), source.trim()].filter((text) => text !== '').join(', ');
  return words === '' ? [] : [`Turbine: ${words}.`.replace('..', '.')];
}
