import { type DayAirReading, daySpeedFactor, mapGeometry, type Settings, speedLineAt } from '../../../build/index.ts';
import type { ReferenceState } from '../../../compressor/index.ts';
import { type CandidateStyle, type MapPlotModel, sharedAxes } from '../../../plot/index.ts';
import type { CandidateResults } from '../../../store/index.ts';
import { formatQuantity } from '../../../units/index.ts';
import { referredResults } from '../../shared/comparison.ts';
import { mapChart, operatingLine, speedLabels } from '../../shared/mapDrawing.ts';
import { candidateLetter, mapTitle } from '../../shared/provenance.ts';

/** A map with its operating line as it goes on paper. */
export interface PrintedMap {
  letter: string;
  /** 'A Factory size' and the map's own name, or that it is an estimate. */
  title: string;
  /** null: no map that can be used; `missing` says why. */
  model: MapPlotModel | null;
  missing: string;
  /** State that the axes stand at; '' without a map. */
  reference: string;
}

interface Candidate {
  index: number;
  results: CandidateResults;
}

/**
 * The maps of one or two candidates; two stand on equal axes, at the reference state of the first. Islands, labels and lines are those of
 * the screen.
 */
export function printedMaps(
  candidates: readonly Candidate[],
  day: DayAirReading,
  settings: Pick<Settings, 'flowAxisUnit' | 'speedLabels'>,
): readonly PrintedMap[] {
  const reference = candidates.find(({ results }) => results.surface !== null)?.results.surface?.reference ?? null;
  const maps = candidates.map(({ index, results }) => {
    const letter = candidateLetter(index);
    const referred = candidates.length > 1 ? referredResults(results, reference) : results;
    return {
      letter,
      title: titleOf(results, letter),
      model: modelOf(referred, index, day, settings),
      missing: missingWords(results),
      reference: referred.surface === null ? '' : referenceWords(referred.surface.reference),
    };
  });
  const models = maps.flatMap(({ model }) => (model === null ? [] : [model]));
  if (models.length < 2) return maps;
  const axes = sharedAxes(models);
  return maps.map((map) => ({ ...map, model: map.model && { ...map.model, axes } }));
}

/** The reference state that the axes of the maps stand at, in words. */
export function referenceWords(reference: ReferenceState): string {
  const temperature = formatQuantity(reference.temperatureK, 'temperature', 'K', { decimals: 2 });
  return `${temperature}, ${formatQuantity(reference.pressurePa, 'pressure-absolute', 'kPa')}`;
}

function titleOf({ candidate }: CandidateResults, letter: string): string {
  const title = mapTitle(candidate);
  const name = candidate.name.trim() === '' ? 'without a name' : candidate.name.trim();
  return `${letter} ${name}${title === '' || title === name ? '' : `: ${title}`}`;
}

function missingWords({ candidate, surface }: CandidateResults): string {
  if (candidate.map === null && candidate.donor === null) return 'No map is chosen for this candidate.';
  return surface === null ? 'The map cannot be used yet: the Maps view says what is missing.' : '';
}

function modelOf(
  { candidate, surface, sheet, input, points, findings }: CandidateResults,
  index: number,
  { air }: DayAirReading,
  { flowAxisUnit, speedLabels: choice }: Pick<Settings, 'flowAxisUnit' | 'speedLabels'>,
): MapPlotModel | null {
  if (surface === null || sheet === null) return null;
  const geometry = mapGeometry(surface, sheet);
  const factor = air === null ? null : daySpeedFactor(air, surface.reference);
  const labels = choice === 'physical' && factor !== null ? 'physical' : 'corrected';
  const limitRpm = input?.limits.shaftSpeedRpm ?? surface.limits.shaftSpeedRpm ?? null;
  const inlet = air?.compressorInletTemperatureK ?? null;
  const style: CandidateStyle = index % 2 === 0 ? 'a' : 'b';
  const chart = mapChart(geometry, {
    flowUnit: flowAxisUnit,
    labels,
    speedLabels: speedLabels(geometry, labels === 'physical' ? factor : null),
    inletTemperature: inlet === null ? '' : formatQuantity(inlet, 'temperature', 'degC', { decimals: 0 }),
    limit:
      limitRpm === null
        ? null
        : { rpm: limitRpm, pieces: factor === null ? [] : speedLineAt(surface, limitRpm / factor) },
  });
  const name = `${candidateLetter(index)}: ${candidate.name}`;
  const operatingLines = points.length === 0 ? [] : [operatingLine(candidate.id, name, style, points, findings, input)];
  // Corrected flow means nothing without the state that it is corrected to.
  const flowAxis = { ...chart.flowAxis, title: `${chart.flowAxis.title} (${referenceWords(surface.reference)})` };
  return { chart: { ...chart, flowAxis }, operatingLines, places: [], focus: null };
}
