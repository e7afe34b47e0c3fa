import { draftToSheet, draftToTurbineSheet, type MapDraft } from '../../../build/index.ts';
import { mapHash, turbineHash } from '../../../reading/index.ts';
import type { CandidateResults } from '../../../store/index.ts';
import { candidateLetter } from '../../shared/provenance.ts';
import { referenceWords } from './printedMap.ts';

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
export function mapSources(candidates: readonly { index: number; results: CandidateResults }[]): MapSource[] {
  return candidates.flatMap((candidate) => [...compressorSource(candidate), ...turbineSource(candidate)]);
}

type Listed = { index: number; results: CandidateResults };

/** The turbine's sheet, where the candidate's turbine is known from one. */
function turbineSource({ index, results: { candidate } }: Listed): MapSource[] {
  const sheet = candidate.turbine.source === 'sheet' ? candidate.turbineSheet : null;
  if (sheet === null) return [];
  const read = draftToTurbineSheet(sheet);
  const reference =
    read.ok && read.sheet.flow.kind === 'corrected' ? `Reference ${referenceWords(read.sheet.flow.reference)}` : '';
  return [
    {
      letter: candidateLetter(index),
      name: `${sheet.name} (turbine)`,
      hash: read.ok ? turbineHash(read.sheet) : null,
      words: sentences(sheet, reference),
    },
  ];
}

function compressorSource({ index, results: { candidate } }: Listed): MapSource[] {
  const map = candidate.map ?? candidate.donor;
  if (map === null) return [];
  const isDonor = candidate.map === null;
  const read = draftToSheet(map);
  return [
    {
      letter: candidateLetter(index),
      name: isDonor ? `${map.name} (donor, scaled)` : map.name,
      hash: read.ok ? mapHash(read.sheet) : null,
      words: sentences(map, read.ok ? `Reference ${referenceWords(read.sheet.reference)}` : ''),
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

function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}
