import type { At, PathsOf } from './buildPaths.ts';
import { replaceAt } from './buildPaths.ts';
import type { CandidateCard } from './candidateCard.ts';
import type { Candidate, Typed } from './document.ts';
import type { FieldRule } from './fieldRules.ts';

/** Every field of the candidate card by its place: 'wheels.compressor.inducer', 'housing.scroll', 'claim.gain'. */
export type CardPath = PathsOf<CandidateCard>;

/** What the field at that path holds. */
export type CardValue<P extends CardPath> = At<CandidateCard, P>;

/** Fields of the card that hold a number with its unit. */
export type CardNumber = { [P in CardPath]: CardValue<P> extends Typed ? P : never }[CardPath];

/** The field of the card at a path. */
export function getCardField<P extends CardPath>(candidate: Candidate, path: P): CardValue<P> {
  let value: unknown = candidate;
  for (const key of path.split('.')) value = (value as Record<string, unknown>)[key];
  return value as CardValue<P>;
}

/** The candidate with one field of its card changed. */
export function withCardField<P extends CardPath>(candidate: Candidate, path: P, value: CardValue<P>): Candidate {
  return replaceAt(candidate, path.split('.'), value) as Candidate;
}

/** What each field of the card is called in a sentence. */
export const cardNames: Readonly<Record<CardPath, string>> = {
  'wheels.caliperUncertainty': 'caliper uncertainty',
  'wheels.compressor.inducer': 'compressor inducer diameter',
  'wheels.compressor.exducer': 'compressor exducer diameter',
  'wheels.compressor.tipHeight': 'compressor tip height',
  'wheels.compressor.fullBlades': 'number of full blades of the compressor',
  'wheels.compressor.splitterBlades': 'number of splitter blades of the compressor',
  'wheels.turbine.inducer': 'turbine inducer diameter',
  'wheels.turbine.exducer': 'turbine exducer diameter',
  'wheels.turbine.tipHeight': 'turbine tip height',
  'wheels.turbine.fullBlades': 'number of full blades of the turbine',
  'wheels.turbine.splitterBlades': 'number of splitter blades of the turbine',
  'housing.compressorAreaRadius': 'compressor A/R',
  'housing.turbineAreaRadius': 'turbine A/R',
  'housing.scroll': 'scroll',
  'housing.bearing': 'bearing',
  'housing.gate': 'gate',
  'claim.kind': 'kind of claim',
  'claim.gain': 'claimed gain',
  'turbine.source': 'turbine data',
  'turbine.entries': 'entries of the turbine sheet',
  'turbine.efficiency.kind': 'kind of turbine efficiency',
  'turbine.efficiency.value': 'turbine efficiency',
  'turbine.efficiency.best': 'best turbine efficiency',
  'turbine.efficiency.optimum': 'optimum of U/C0',
  'turbine.includesBearing': 'bearing losses in the turbine efficiency',
  'turbine.mechanicalEfficiency': 'mechanical efficiency of the turbo',
  notes: 'notes of the candidate',
};

const length = (low: number, high: number): FieldRule => ({ quantity: 'wheel-length', low, high, optional: true });
const efficiency = (low: number): FieldRule => ({ quantity: 'efficiency', low, high: 1, optional: true });
const blades: FieldRule = { quantity: 'count', low: 0, high: 60, optional: true };
/** From the smallest wheels on the road to those of ships' engines; the bounds keep out slips of unit. */
const diameter = length(0.008, 0.6);
const height = length(0.0005, 0.1);

/** Bounds in SI of the card's numbers; every one may stay empty. */
export const cardRules: Readonly<Record<CardNumber, FieldRule>> = {
  'wheels.caliperUncertainty': length(0, 0.002),
  'wheels.compressor.inducer': diameter,
  'wheels.compressor.exducer': diameter,
  'wheels.compressor.tipHeight': height,
  'wheels.compressor.fullBlades': blades,
  'wheels.compressor.splitterBlades': blades,
  'wheels.turbine.inducer': diameter,
  'wheels.turbine.exducer': diameter,
  'wheels.turbine.tipHeight': height,
  'wheels.turbine.fullBlades': blades,
  'wheels.turbine.splitterBlades': blades,
  'housing.compressorAreaRadius': length(0.0005, 0.2),
  'housing.turbineAreaRadius': length(0.0005, 0.2),
  'claim.gain': { quantity: 'fraction', low: -0.9, high: 5, optional: true },
  'turbine.efficiency.value': efficiency(0.1),
  'turbine.efficiency.best': efficiency(0.1),
  'turbine.efficiency.optimum': { quantity: 'dimensionless', low: 0.3, high: 1.2, optional: true },
  'turbine.mechanicalEfficiency': efficiency(0.5),
};
