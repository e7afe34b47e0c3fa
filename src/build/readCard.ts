import type { ScalingWheel, WheelMeasurement } from '../compressor/types.ts';
import type { Claim } from '../match/types.ts';
import { type CardNumber, cardNames, cardRules, getCardField } from './candidatePaths.ts';
import type { Build, Candidate } from './document.ts';
import { InputReader } from './inputReader.ts';
import type { Problem } from './parsed.ts';

/** The candidate card in SI; what is not measured or cannot be read is absent. */
export interface CardReading {
  compressor: WheelMeasurement;
  turbine: WheelMeasurement;
  compressorAreaRadiusM: number | null;
  turbineAreaRadiusM: number | null;
  /** null: nothing is claimed, or the gain is not entered. */
  claim: Claim | null;
  /** Entries that cannot be read, paths from the build. */
  problems: readonly Problem[];
}

/** Half width of calipers for which none is entered (common practice, no source). */
const USUAL_CALIPER_M = 5e-5;

const known = new WeakMap<Candidate, CardReading>();

/** The card of a candidate as numbers in SI. Never throws; remembered for the candidate. `index` is its place in the build, for paths. */
export function readCard(build: Build, index: number): CardReading | null {
  const candidate = build.candidates[index];
  if (candidate === undefined) return null;
  const found = known.get(candidate);
  // The index stands only in the paths of problems.
  if (found !== undefined && found.problems.length === 0) return found;
  const reading = read(candidate, new InputReader(build), `candidates[${index}]`);
  known.set(candidate, reading);
  return reading;
}

function read(candidate: Candidate, reader: InputReader, path: string): CardReading {
  const number = (field: CardNumber): number | undefined =>
    reader.typed(getCardField(candidate, field), cardRules[field], `${path}.${field}`, cardNames[field]) ?? undefined;
  const caliperM = number('wheels.caliperUncertainty') ?? USUAL_CALIPER_M;
  const wheel = (kind: 'compressor' | 'turbine'): WheelMeasurement => ({
    kind,
    caliperM,
    inducerM: number(`wheels.${kind}.inducer`),
    exducerM: number(`wheels.${kind}.exducer`),
    tipHeightM: number(`wheels.${kind}.tipHeight`),
    fullBlades: number(`wheels.${kind}.fullBlades`),
    splitterBlades: number(`wheels.${kind}.splitterBlades`),
  });
  const gain = candidate.claim.kind === 'none' ? undefined : number('claim.gain');
  return {
    compressor: wheel('compressor'),
    turbine: wheel('turbine'),
    compressorAreaRadiusM: number('housing.compressorAreaRadius') ?? null,
    turbineAreaRadiusM: number('housing.turbineAreaRadius') ?? null,
    claim: candidate.claim.kind === 'none' || gain === undefined ? null : { kind: candidate.claim.kind, gain },
    problems: reader.problems,
  };
}

/** The compressor wheel of a card for scaling a donor's map to it. */
export function scalingWheel({ compressor }: CardReading): ScalingWheel {
  const { inducerM, exducerM, caliperM } = compressor;
  return { inducerM, exducerM, caliperM };
}
