import { memory } from '../numerics/index.ts';
import { guessedInertia, INERTIA_BAND, trifilarInertia } from '../turbine/index.ts';
import { candidateReader, readCard } from './candidateSurface.ts';
import type { Build, Candidate } from './document.ts';
import { buildReader } from './fieldReader.ts';

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
