import {
  type DayAirReading,
  daySpeedFactor,
  draftToSheet,
  draftToTurbineSheet,
  type MapDraft,
  mapGeometry,
  speedLineAt,
} from '../../../build/index.ts';
import type { ReferenceState } from '../../../compressor/index.ts';
import { type ResultUnits, resultUnits, showResult } from '../../../match/index.ts';
import { memory } from '../../../numerics/index.ts';
import { candidateStyle, type MapPlotModel, sharedAxes } from '../../../plot/index.ts';
import { mapHash, turbineHash } from '../../../reading/index.ts';
import type { CandidateResults, ShownSettings } from '../../../store/index.ts';
import { capital } from '../../../units/index.ts';
import { candidateLetter, mapTitle } from '../../shared/display.ts';
import { mapChart, operatingLine, referredResults, speedLabels } from '../../shared/mapDrawing.ts';

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

const known = memory<CandidateResults, readonly PrintedMap[]>();

/**
 * The maps of one or two candidates; two stand on equal axes, at the reference state of the first. Islands, labels and lines are those of
 * the screen. The same objects while nothing of them changes, so that a name typed into the head draws no map again.
 */
export function printedMaps(
  candidates: readonly Candidate[],
  day: DayAirReading,
  settings: ShownSettings,
): readonly PrintedMap[] {
  const [first] = candidates;
  if (first === undefined) return [];
  const parts = candidates.flatMap(({ index, results }) => [index, results]);
  return known(first.results, [candidates.length, day, settings, ...parts], () => drawnMaps(candidates, day, settings));
}

function drawnMaps(
  candidates: readonly Candidate[],
  day: DayAirReading,
  settings: ShownSettings,
): readonly PrintedMap[] {
  const reference = candidates.find(({ results }) => results.surface !== null)?.results.surface?.reference ?? null;
  const units = resultUnits(settings);
  const maps = candidates.map(({ index, results }) => {
    const letter = candidateLetter(index);
    const referred = candidates.length > 1 ? referredResults(results, reference) : results;
    return {
      letter,
      title: titleOf(results, letter),
      model: modelOf(referred, index, day, settings),
      missing: missingWords(results),
      reference: referred.surface === null ? '' : referenceWords(referred.surface.reference, units),
    };
  });
  const models = maps.flatMap(({ model }) => (model === null ? [] : [model]));
  if (models.length < 2) return maps;
  const axes = sharedAxes(models);
  return maps.map((map) => ({ ...map, model: map.model && { ...map.model, axes } }));
}

/** The reference state that the axes of the maps stand at, in words. */
function referenceWords({ temperatureK, pressurePa }: ReferenceState, units: ResultUnits): string {
  return `${showResult(temperatureK, 'reference-temperature', units)}, ${showResult(pressurePa, 'reference-pressure', units)}`;
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
  settings: ShownSettings,
): MapPlotModel | null {
  const { flowAxisUnit, speedLabels: choice, several } = settings;
  const units = resultUnits(settings);
  if (surface === null || sheet === null) return null;
  const geometry = mapGeometry(surface, sheet);
  const factor = air === null ? null : daySpeedFactor(air, surface.reference);
  const labels = choice === 'physical' && factor !== null ? 'physical' : 'corrected';
  const limitRpm = input?.limits.shaftSpeedRpm ?? surface.limits.shaftSpeedRpm ?? null;
  const inlet = air?.compressorInletTemperatureK ?? null;
  const style = candidateStyle(index);
  const chart = mapChart(geometry, {
    flowUnit: flowAxisUnit,
    labels,
    speedLabels: speedLabels(geometry, labels === 'physical' ? factor : null),
    several,
    inletTemperature: inlet === null ? '' : showResult(inlet, 'temperature', units),
    limit:
      limitRpm === null
        ? null
        : { rpm: limitRpm, pieces: factor === null ? [] : speedLineAt(surface, limitRpm / factor) },
  });
  const name = `${candidateLetter(index)}: ${candidate.name}`;
  const operatingLines = points.length === 0 ? [] : [operatingLine(candidate.id, name, style, points, findings, input)];
  // Corrected flow means nothing without the state that it is corrected to.
  const flowAxis = {
    ...chart.flowAxis,
    title: `${chart.flowAxis.title} (${referenceWords(surface.reference, units)})`,
  };
  return { chart: { ...chart, flowAxis }, operatingLines, places: [], focus: null };
}

/** Which data a candidate's numbers come from. */
export interface MapSource {
  letter: string;
  /** The map's name, and that it is a donor's where it is. */
  name: string;
  /** 'K7QM-2Z4D'; null: no reference state, so no data yet. */
  hash: string | null;
  /** Who read it, from what, when; reference state; what was taken for granted. */
  words: string;
}

/** Provenance and hash of every map and turbine sheet that the match sheet rests on. */
export function mapSources(candidates: readonly Listed[], units: ResultUnits): MapSource[] {
  return candidates.flatMap((candidate) => [...compressorSource(candidate, units), ...turbineSource(candidate, units)]);
}

type Listed = { index: number; results: CandidateResults };

/** The turbine's sheet, where the candidate's turbine is known from one. */
function turbineSource({ index, results: { candidate } }: Listed, units: ResultUnits): MapSource[] {
  const sheet = candidate.turbine.source === 'sheet' ? candidate.turbineSheet : null;
  if (sheet === null) return [];
  const read = draftToTurbineSheet(sheet);
  const reference =
    read.ok && read.sheet.flow.kind === 'corrected'
      ? `Reference ${referenceWords(read.sheet.flow.reference, units)}`
      : '';
  return [
    {
      letter: candidateLetter(index),
      name: `${sheet.name} (turbine)`,
      hash: read.ok ? turbineHash(read.sheet) : null,
      words: sentences(sheet, reference),
    },
  ];
}

function compressorSource({ index, results: { candidate } }: Listed, units: ResultUnits): MapSource[] {
  const map = candidate.map ?? candidate.donor;
  if (map === null) return [];
  const isDonor = candidate.map === null;
  const read = draftToSheet(map);
  return [
    {
      letter: candidateLetter(index),
      name: isDonor ? `${map.name} (donor, scaled)` : map.name,
      hash: read.ok ? mapHash(read.sheet) : null,
      words: sentences(map, read.ok ? `Reference ${referenceWords(read.sheet.reference, units)}` : ''),
    },
  ];
}

function sentences(map: MapDraft, reference: string): string {
  const { provenance } = map;
  const read = [
    ['read by', provenance?.readBy],
    ['from', provenance?.readFrom],
    ['on', provenance?.readOn],
  ]
    .flatMap(([word, text]) => (text === undefined || text.trim() === '' ? [] : [`${word} ${text.trim()}`]))
    .join(' ');
  return [map.source, capital(read), reference, ...(map.assumed ?? [])]
    .map((text) => text.trim().replace(/\.$/, ''))
    .filter((text) => text !== '')
    .map((text) => `${text}.`)
    .join(' ');
}
