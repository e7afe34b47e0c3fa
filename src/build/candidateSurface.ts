import { donorWheel, isUsableBand, scaledSheet, scaleSurface } from '../compressor/index.ts';
import type { AuditFinding, CompressorSurface, MapSheet, NoScaleReason } from '../compressor/types.ts';
import type { Build, Candidate, MapDraft } from './document.ts';
import { fitDraft } from './fitDraft.ts';
import { type MapFitter, mapFitter } from './mapFitter.ts';
import { type CardReading, readCard, scalingWheel } from './readCard.ts';

/** The map that a candidate is computed on: its own, or a donor's scaled to its measured wheel (then `surface.estimate` is there). */
export interface CandidateSurface {
  /** null: no map, or no reference state. */
  sheet: MapSheet | null;
  /** null: see `problems`. */
  surface: CompressorSurface | null;
  /** What is doubtful with the map whose tables it is made of: the candidate's own, else the donor's. */
  findings: readonly AuditFinding[];
  /** Whose tables; null: neither map nor donor is chosen. */
  from: 'map' | 'donor' | null;
  /** Why there is no surface: a sentence, and the part of the candidate to go to. */
  problems: readonly { part: 'map' | 'donor' | 'wheels.compressor.exducer'; message: string }[];
}

interface Known {
  donor: MapDraft;
  result: CandidateSurface;
}

const known = new WeakMap<MapFitter, WeakMap<Candidate['wheels'], Known>>();

/** The surface of a candidate; null when there is no such candidate. Remembered while its maps and wheels are the same. Never throws. */
export function candidateSurface(build: Build, index: number, fitter: MapFitter = mapFitter): CandidateSurface | null {
  const candidate = build.candidates[index];
  if (candidate === undefined) return null;
  if (candidate.map !== null) return ownSurface(candidate.map, fitter);
  // Not before it is needed: reading the card takes longer than all else here, and this is asked with every input.
  const card = readCard(build, index);
  if (card === null) return null;
  const { donor, wheels } = candidate;
  if (donor === null) return nothing(candidate);
  const memory = memoryOf(fitter);
  const last = memory.get(wheels);
  if (last?.donor === donor) return last.result;
  const result = scaledFrom(donor, card, candidate.name, fitter);
  // A problem names the candidate, and names change.
  if (result.surface !== null) memory.set(wheels, { donor, result });
  return result;
}

function memoryOf(fitter: MapFitter): WeakMap<Candidate['wheels'], Known> {
  const found = known.get(fitter) ?? new WeakMap<Candidate['wheels'], Known>();
  known.set(fitter, found);
  return found;
}

function ownSurface(map: MapDraft, fitter: MapFitter): CandidateSurface {
  const { sheet, surface, findings } = fitDraft(map, fitter);
  return { sheet, surface, findings, from: 'map', problems: surface === null ? unfit(map, findings, 'map') : [] };
}

function unfit(map: MapDraft, findings: readonly AuditFinding[], part: 'map' | 'donor'): CandidateSurface['problems'] {
  const errors = findings.filter((finding) => finding.severity === 'error').map((finding) => finding.message);
  const why = errors.length > 0 ? errors : [`The map '${map.name}' cannot be used yet.`];
  return why.map((message) => ({ part, message }));
}

function nothing(candidate: Candidate): CandidateSurface {
  const message = `${candidate.name} has no map yet. Choose one from the shelf.`;
  return { sheet: null, surface: null, findings: [], from: null, problems: [{ part: 'map', message }] };
}

function scaledFrom(donor: MapDraft, card: CardReading, name: string, fitter: MapFitter): CandidateSurface {
  const { sheet, surface, findings } = fitDraft(donor, fitter);
  const none = (problems: CandidateSurface['problems']): CandidateSurface => ({
    sheet: null,
    surface: null,
    findings,
    from: 'donor',
    problems,
  });
  if (sheet === null || surface === null) return none(unfit(donor, findings, 'donor'));
  const scaled = scaleSurface(surface, donorWheel(surface), scalingWheel(card));
  if (!scaled.ok) return none([whyNot(scaled.reason, donor.name, name)]);
  if (!isUsableBand(scaled.surface.estimate.band)) return none([whyNot('too-unlike', donor.name, name)]);
  return {
    sheet: scaledSheet(sheet, surface, scaled.surface),
    surface: scaled.surface,
    findings,
    from: 'donor',
    problems: [],
  };
}

function whyNot(
  reason: NoScaleReason | 'too-unlike',
  donor: string,
  name: string,
): CandidateSurface['problems'][number] {
  switch (reason) {
    case 'no-exducer':
      return {
        part: 'wheels.compressor.exducer',
        message: `To scale the map '${donor}' to ${name}, measure the exducer of its compressor wheel and enter it on the card.`,
      };
    case 'no-donor-exducer':
      return {
        part: 'donor',
        message: `The map '${donor}' has no exducer diameter, so that it cannot be scaled. Enter the wheel with the map, or choose another donor.`,
      };
    case 'too-unlike':
      return {
        part: 'donor',
        message: `The wheel of '${donor}' is so unlike that of ${name} that its map says nothing about it. Choose a donor nearer in trim and size, and check both measurements.`,
      };
    case 'trims-too-different':
      return {
        part: 'donor',
        message: `The trims of '${donor}' and ${name} are so different that nothing is left between surge and choke. Choose a donor of like trim.`,
      };
  }
}
