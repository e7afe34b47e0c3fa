import {
  donorWheel,
  isUsableBand,
  nearestDonors,
  type RankedDonor,
  scaledSheet,
  scaleSurface,
} from '../compressor/index.ts';
import type {
  AuditFinding,
  CompressorSurface,
  MapSheet,
  NoScaleReason,
  ScalingWheel,
  WheelMeasurement,
} from '../compressor/types.ts';
import type { Claim } from '../match/types.ts';
import { type Memory, memory } from '../numerics/index.ts';
import { formatQuantity } from '../units/index.ts';
import { fitDraft, type MapFitter, mapFitter } from './compressorSheet.ts';
import type { Build, Candidate, MapDraft, Problem } from './document.ts';
import { isOfKind } from './draftCells.ts';
import { FieldReader } from './fieldReader.ts';
import { candidateFields } from './fields.ts';

/** The candidate card in SI; what is not measured or cannot be read is absent. */
export interface CardReading {
  compressor: WheelMeasurement;
  turbine: WheelMeasurement;
  turbineAreaRadiusM: number | null;
  /** null: nothing is claimed, or the gain is not entered. */
  claim: Claim | null;
  /** Entries that cannot be read, paths from the build. */
  problems: readonly Problem[];
}

/** Half width of calipers for which none is entered (common practice, no source). */
const USUAL_CALIPER_M = 5e-5;

const readCards = memory<Candidate, CardReading>();

/** The card of a candidate as numbers in SI. Never throws; remembered for the candidate. `index` is its place in the build, for paths. */
export function readCard(build: Build, index: number): CardReading | null {
  const candidate = build.candidates[index];
  if (candidate === undefined) return null;
  const make = () => readNew(candidate, candidateReader(candidate, index));
  // The index stands only in the paths of problems.
  return readCards(candidate, [], make, ({ problems }) => problems.length === 0);
}

/** A reader of the fields of a candidate; problems go to `found`. */
export function candidateReader(
  candidate: Candidate,
  index: number,
  found: { problems: Problem[]; notes: Problem[] } = { problems: [], notes: [] },
): FieldReader<typeof candidateFields> {
  return new FieldReader(candidateFields, candidate, found, `candidates[${index}].`);
}

function readNew({ claim }: Candidate, reader: FieldReader<typeof candidateFields>): CardReading {
  const caliperM = reader.optional('wheels.caliperUncertainty') ?? USUAL_CALIPER_M;
  const compressor: WheelMeasurement = { kind: 'compressor', caliperM, ...reader.group('wheels.compressor') };
  const turbine: WheelMeasurement = { kind: 'turbine', caliperM, ...reader.group('wheels.turbine') };
  const gain = claim.kind === 'none' ? undefined : reader.optional('claim.gain');
  return {
    compressor,
    turbine,
    turbineAreaRadiusM: reader.optional('housing.turbineAreaRadius') ?? null,
    claim: claim.kind === 'none' || gain === undefined ? null : { kind: claim.kind, gain },
    problems: reader.problems,
  };
}

/** The compressor wheel of a card for scaling a donor's map to it. */
function scalingWheel({ compressor }: CardReading): ScalingWheel {
  const { inducerM, exducerM, caliperM } = compressor;
  return { inducerM, exducerM, caliperM };
}

/** The map that a candidate is computed on: its own, or a donor's scaled to its measured wheel (then `surface.estimate` is there). */
interface CandidateSurface {
  /** null: no map, or no reference state. */
  sheet: MapSheet | null;
  /** null: see `problems`. */
  surface: CompressorSurface | null;
  /** What was left out of the tables it is made of, or why they cannot be fitted: the candidate's own map's, else the donor's. */
  mapProblems: readonly AuditFinding[];
  /** Why there is no surface: a sentence, and the part of the candidate to go to. */
  problems: readonly { part: 'map' | 'donor' | 'wheels.compressor.exducer'; message: string }[];
}

const known = memory<MapFitter, Memory<Candidate['wheels'], CandidateSurface>>();

/** The surface of a candidate; null when there is no such candidate. Remembered while its maps and wheels are the same. Never throws. */
export function candidateSurface(build: Build, index: number, fitter: MapFitter = mapFitter): CandidateSurface | null {
  const candidate = build.candidates[index];
  if (candidate === undefined) return null;
  if (candidate.map !== null) return surfaceOf(candidate.map, fitter, 'map');
  // Not before it is needed: reading the card takes longer than all else here, and this is asked with every input.
  const card = readCard(build, index);
  if (card === null) return null;
  const { donor, wheels } = candidate;
  if (donor === null) {
    const message = `${candidate.name} has no map yet. Choose one from the shelf.`;
    return { sheet: null, surface: null, mapProblems: [], problems: [{ part: 'map', message }] };
  }
  const make = () => scaledFrom(donor, card, candidate.name, fitter);
  // A problem names the candidate, and names change.
  return known(fitter, [], () => memory())(wheels, [donor], make, ({ surface }) => surface !== null);
}

/** The surface of a map's own tables; `part` is what the candidate has it as. */
function surfaceOf(map: MapDraft, fitter: MapFitter, part: 'map' | 'donor'): CandidateSurface {
  const { sheet, surface, problems: mapProblems } = fitDraft(map, fitter);
  if (surface !== null) return { sheet, surface, mapProblems, problems: [] };
  const errors = mapProblems.filter(({ severity }) => severity === 'error').map(({ message }) => message);
  const why = errors.length > 0 ? errors : [`The map '${map.name}' cannot be used yet.`];
  return { sheet, surface, mapProblems, problems: why.map((message) => ({ part, message })) };
}

function scaledFrom(donor: MapDraft, card: CardReading, name: string, fitter: MapFitter): CandidateSurface {
  const own = surfaceOf(donor, fitter, 'donor');
  const { sheet, surface } = own;
  if (sheet === null || surface === null) return { ...own, sheet: null };
  const scaled = scaleSurface(surface, donorWheel(surface), scalingWheel(card));
  if (scaled.ok && isUsableBand(scaled.surface.estimate.band))
    return { ...own, sheet: scaledSheet(sheet, surface, scaled.surface), surface: scaled.surface };
  const { part, message } = NOT_SCALED[scaled.ok ? 'too-unlike' : scaled.reason];
  return { ...own, sheet: null, surface: null, problems: [{ part, message: message(`'${donor.name}'`, name) }] };
}

type Part = CandidateSurface['problems'][number]['part'];

const NOT_SCALED: Record<
  NoScaleReason | 'too-unlike',
  { part: Part; message: (donor: string, name: string) => string }
> = {
  'no-exducer': {
    part: 'wheels.compressor.exducer',
    message: (donor, name) =>
      `To scale the map ${donor} to ${name}, measure the exducer of its compressor wheel and enter it on the card.`,
  },
  'no-donor-exducer': {
    part: 'donor',
    message: (donor) =>
      `The map ${donor} has no exducer diameter, so that it cannot be scaled. Enter the wheel with the map, or choose another donor.`,
  },
  'too-unlike': {
    part: 'donor',
    message: (donor, name) =>
      `The wheel of ${donor} is so unlike that of ${name} that its map says nothing about it. Choose a donor nearer in trim and size, and check both measurements.`,
  },
  'trims-too-different': {
    part: 'donor',
    message: (donor, name) =>
      `The trims of ${donor} and ${name} are so different that nothing is left between surge and choke. Choose a donor of like trim.`,
  },
};

/**
 * Maps of the shelf that could be scaled to a candidate's measured wheel, the likest first. A map that cannot be fitted, has no
 * exducer diameter or is too unlike is left out; without a measured exducer there are none.
 */
export function donorChoice(
  build: Build,
  index: number,
  shelf: readonly MapDraft[],
  fitter: MapFitter = mapFitter,
): readonly RankedDonor[] {
  const card = readCard(build, index);
  if (card?.compressor.exducerM === undefined) return [];
  const donors = shelf.filter(isOfKind('compressor')).flatMap((map) => {
    const { surface } = fitDraft(map, fitter);
    return surface === null ? [] : [{ id: map.id, name: map.name, wheel: donorWheel(surface) }];
  });
  return nearestDonors(scalingWheel(card), donors).filter(({ band }) => isUsableBand(band));
}

/** Wheels that differ by more than this, besides what the calipers may be off, are not the same (common practice, no source). */
const SAME_WHEEL = 0.01;

/**
 * Doubts about the measured compressor wheel of a candidate that do not stand in the way: entries that cannot be read, and a wheel that is
 * not the one on the sheet of the candidate's own map. `surface` is the candidate's; on a scaled one the wheel is the measured one.
 */
export function wheelDoubts(build: Build, index: number, surface: CompressorSurface): Problem[] {
  const card = readCard(build, index);
  if (card === null) return [];
  const { compressor, problems } = card;
  const named = [
    { field: 'inducer', measuredM: compressor.inducerM, sheetMm: surface.wheel.inducerMm },
    { field: 'exducer', measuredM: compressor.exducerM, sheetMm: surface.wheel.exducerMm },
  ] as const;
  const differing = named.flatMap(({ field, measuredM, sheetMm }): Problem[] => {
    if (measuredM === undefined || sheetMm === undefined || surface.estimate !== undefined) return [];
    const sheetM = sheetMm / 1000;
    if (Math.abs(measuredM - sheetM) <= SAME_WHEEL * sheetM + compressor.caliperM) return [];
    const unit = build.candidates[index]?.wheels.compressor[field].unit ?? 'mm';
    const length = (m: number) => formatQuantity(m, 'wheel-length', unit);
    const message = `The measured ${field} is ${length(measuredM)}, that of the map's sheet ${length(sheetM)}: check that the map is that of this turbo.`;
    return [{ path: `candidates[${index}].wheels.compressor.${field}`, message }];
  });
  return [...problems, ...differing];
}
