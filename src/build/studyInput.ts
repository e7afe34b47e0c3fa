import type { EstimateBand } from '../compressor/types.ts';
import type { CalibrationOptions, MatchInput, Tolerances } from '../match/types.ts';
import { memory } from '../numerics/index.ts';
import { guessedInertia, INERTIA_BAND, trifilarInertia } from '../turbine/index.ts';
import type { TurbineCapacity } from '../turbine/types.ts';
import { candidateReader, readCard } from './candidateSurface.ts';
import type { Build, Candidate, Problem } from './document.ts';
import { buildReader } from './fieldReader.ts';

/** How the table is written, or null when a field cannot be read. */
export function calibrationOptions(build: Build): CalibrationOptions | null {
  const read = buildReader(build).group('calibration');
  return read && { kind: build.calibration.pressureKind, ...read };
}

interface SpreadSetup {
  tolerances: Tolerances;
  samples: number;
  seed: number;
}

/** Tolerances, samples and seed in SI; null when one of them cannot be read: see `problems`. */
export function spreadSetup(build: Build): { setup: SpreadSetup | null; problems: readonly Problem[] } {
  const reader = buildReader(build);
  const tolerances = Object.fromEntries(
    Object.keys(build.spread.tolerances).map((key) => [
      key,
      reader.number(`spread.tolerances.${key as keyof Tolerances}`) ?? 0,
    ]),
  ) as unknown as Tolerances;
  const samples = reader.number('spread.samples');
  const seed = reader.number('spread.seed');
  if (reader.problems.length > 0 || samples === null || seed === null)
    return { setup: null, problems: reader.problems };
  return { setup: { tolerances, samples: Math.round(samples), seed: Math.round(seed) }, problems: [] };
}

/**
 * Tolerances of the map where it is a scaled one: its band and the tolerance of reading the donor's sheet, which are independent of each
 * other, together (root of the sum of squares). All others stay.
 *
 * @param band half widths of the estimate; flow takes the wider of surge and choke
 */
export function estimateTolerances(tolerances: Tolerances, band: EstimateBand): Tolerances {
  return {
    ...tolerances,
    mapFlow: Math.hypot(tolerances.mapFlow, Math.max(band.surgeFlow, band.chokeFlow)),
    mapPressureRatio: Math.hypot(tolerances.mapPressureRatio, band.pressureRatio),
    mapEfficiency: Math.hypot(tolerances.mapEfficiency, band.efficiency),
  };
}

/**
 * Tolerances of the turbine where its capacity is an estimate: its band and the tolerance of the capacity together, as above. A sheet
 * has no band and changes nothing.
 */
export function turbineTolerances(tolerances: Tolerances, { band }: Pick<TurbineCapacity, 'band'>): Tolerances {
  return { ...tolerances, turbineCapacity: Math.hypot(tolerances.turbineCapacity, band) };
}

/** The tolerances that a spread of this input goes by: those entered, and on top what of map and turbine is an estimate. */
export function tolerancesOf(tolerances: Tolerances, { compressor, turbine }: MatchInput): Tolerances {
  const { estimate } = compressor;
  const ofMap = estimate === undefined ? tolerances : estimateTolerances(tolerances, estimate.band);
  return turbine === undefined ? ofMap : turbineTolerances(ofMap, turbine.capacity);
}

/** What two candidates' spool-up is asked for, SI; null: an entry cannot be read, and `problem` names it. Never throws. */
export function spoolSetup(build: Build): {
  setup: { engineSpeedRpm: number; fromBoostPa: number; chargeVolumeM3: number } | null;
  problem: string;
} {
  const reader = buildReader(build);
  const engineSpeedRpm = reader.number('spool.engineSpeed');
  const fromBoostPa = reader.number('spool.from');
  const chargeVolumeM3 = reader.number('spool.chargeVolume');
  if (engineSpeedRpm === null || fromBoostPa === null || chargeVolumeM3 === null)
    return { setup: null, problem: reader.problems[0]?.message ?? '' };
  return { setup: { engineSpeedRpm, fromBoostPa, chargeVolumeM3 }, problem: '' };
}

/** The moment of inertia of a candidate's rotor with its half width as a share; null: not known, and `problem` says what to do. */
interface RotorReading {
  rotor: { inertiaKgM2: number; band: number } | null;
  /** One sentence; '' where there is a rotor. */
  problem: string;
}

const rotors = memory<Candidate, RotorReading>();

/** Remembered for the candidate. Never throws. */
export function candidateRotor(build: Build, index: number): RotorReading | null {
  const candidate = build.candidates[index];
  return candidate === undefined ? null : rotors(candidate, [], () => readRotor(build, candidate, index));
}

function readRotor(build: Build, candidate: Candidate, index: number): RotorReading {
  const reader = buildReader(build);
  const card = candidateReader(candidate, index, reader);
  const { from } = candidate.rotor;
  const inertiaKgM2 = from === 'none' ? null : inertiaOf(build, candidate, index, card);
  const name = candidate.name.trim() || 'a candidate without a name';
  if (from === 'none')
    return { rotor: null, problem: `The inertia of the rotor of ${name} is not known: enter it on its card.` };
  if (inertiaKgM2 === null || !(inertiaKgM2 > 0))
    return {
      rotor: null,
      problem: reader.problems[0]?.message ?? `The inertia of the rotor of ${name} cannot be right.`,
    };
  return { rotor: { inertiaKgM2, band: INERTIA_BAND[from] }, problem: '' };
}

function inertiaOf(
  build: Build,
  { name, rotor }: Candidate,
  index: number,
  card: ReturnType<typeof candidateReader>,
): number | null {
  if (rotor.from === 'entered') return card.number('rotor.inertia');
  if (rotor.from === 'trifilar') {
    const [mass, radius] = [card.number('rotor.mass'), card.number('rotor.radius')];
    const [period, length] = [card.number('rotor.period'), card.number('rotor.length')];
    if (mass === null || radius === null || period === null || length === null) return null;
    return trifilarInertia(mass, radius, period, length);
  }
  const measured = readCard(build, index);
  const [turbineM, compressorM] = [measured?.turbine.inducerM, measured?.compressor.exducerM];
  if (turbineM !== undefined && compressorM !== undefined) return guessedInertia(turbineM, compressorM);
  return card.fail(
    'rotor.from',
    `To guess the inertia of the rotor of ${name}, measure the turbine inducer and the compressor exducer and enter them on its card.`,
  );
}
