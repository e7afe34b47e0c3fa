import type { Assumption, Build } from '../build/index.ts';
import {
  assumptions,
  type CandidateTurbine,
  type CardReading,
  candidateTurbine,
  donorChoice,
  readCard,
} from '../build/index.ts';
import {
  type RankedDonor,
  type WheelAtSpeed,
  type WheelFigures,
  wheelAtSpeed,
  wheelFigures,
} from '../compressor/index.ts';
import { extremeOf, shaftSpeedLimit } from '../match/index.ts';

import { memory } from '../numerics/index.ts';
import { type CandidateResults, candidateResults } from './candidateResults.ts';
import { selectActiveBuild, selectShelf } from './selectors.ts';
import type { LuglineState } from './state.ts';

/** One wheel of a candidate with all that follows from its measurements. */
export interface WheelResults {
  figures: WheelFigures;
  /** At the rated speed; null: none is entered. */
  rated: WheelAtSpeed | null;
  /** At the highest shaft speed of the operating line; null: there is no line. */
  fastest: WheelAtSpeed | null;
}

/** What follows from the card of a candidate, and what its numbers rest on. */
export interface CandidateFigures {
  compressor: WheelResults;
  turbine: WheelResults;
  assumptions: readonly Assumption[];
}

const known = memory<CandidateResults, CandidateFigures>();

/** Wheels and assumptions of a candidate of the open build; null when there is none of that index. The same object while nothing changed. */
export function selectCandidateFigures(state: LuglineState, index: number): CandidateFigures | null {
  const build = selectActiveBuild(state);
  const results = candidateResults(build, index, state.fitter);
  const card = readCard(build, index);
  if (results === null || card === null) return null;
  return known(results, [], () => figuresOf(build, index, results, card));
}

function figuresOf(build: Build, index: number, results: CandidateResults, card: CardReading): CandidateFigures {
  const { input, points, findings } = results;
  const fastestRpm = extremeOf(
    points.filter((p) => p.status === 'ok'),
    'shaftSpeedRpm',
    'highest',
  )?.value;
  const ratedRpm = input === null ? undefined : shaftSpeedLimit(input);
  const of = (wheel: CardReading['compressor']): WheelResults => ({
    figures: wheelFigures(wheel),
    rated: ratedRpm === undefined ? null : wheelAtSpeed(wheel, ratedRpm),
    fastest: fastestRpm === undefined ? null : wheelAtSpeed(wheel, fastestRpm),
  });
  return {
    compressor: of(card.compressor),
    turbine: of(card.turbine),
    assumptions: assumptions(build, index, input === null ? null : { input, points, findings }),
  };
}

/**
 * What is known of the turbine of a candidate of the open build, and why it is left out where it is; null when there is none of that index.
 * The same object while nothing changed.
 */
export function selectCandidateTurbine(state: LuglineState, index: number): CandidateTurbine | null {
  return candidateTurbine(selectActiveBuild(state), index);
}

let lastDonors: { wheels: unknown; shelf: unknown; fitter: unknown; ranked: readonly RankedDonor[] } | null = null;

/** Maps of the shelf that could be scaled to a candidate of the open build, the likest first; none while its exducer is not measured. */
export function selectDonors(state: LuglineState, index: number): readonly RankedDonor[] {
  const build = selectActiveBuild(state);
  const wheels = build.candidates[index]?.wheels;
  const shelf = selectShelf(state);
  const { fitter } = state;
  if (lastDonors?.wheels === wheels && lastDonors?.shelf === shelf && lastDonors.fitter === fitter) {
    return lastDonors.ranked;
  }
  lastDonors = { wheels, shelf, fitter, ranked: donorChoice(build, index, shelf, fitter) };
  return lastDonors.ranked;
}
