import { type Build, estimateTolerances, spreadSetup, tryMatchInput, turbineTolerances } from '../../build/index.ts';
import { solveSpread } from '../../match/index.ts';
import type { SpreadStudy } from '../../store/index.ts';
import { studyLimitsOf } from './studyLimitsOf.ts';
import { MOST_FOR_SPREAD, studySpeeds } from './studySpeeds.ts';

/**
 * The spread of one candidate where the car stands. Pure; takes some tenths of a second.
 * @throws Error with a sentence for the person when an entry stands in the way
 */
export function computeSpread(
  build: Build,
  candidateIndex: number,
  onProgress?: (share: number) => void,
): Omit<SpreadStudy, 'build'> {
  const read = tryMatchInput(build, candidateIndex);
  const { setup, problems } = spreadSetup(build);
  if (!read.ok)
    throw new Error(read.problems[0]?.message ?? 'The inputs cannot be read. Check them in the Match view.');
  if (setup === null) throw new Error(problems[0]?.message ?? 'The tolerances cannot be read. Check them.');
  const { samples, seed } = setup;
  const { estimate } = read.input.compressor;
  // A scaled map is off by its band before anything is read off the donor's sheet.
  const ofMap = estimate === undefined ? setup.tolerances : estimateTolerances(setup.tolerances, estimate.band);
  const { turbine } = read.input;
  const tolerances = turbine === undefined ? ofMap : turbineTolerances(ofMap, turbine.capacity);
  const limits = studyLimitsOf(build, read.input);
  const engineSpeedsRpm = studySpeeds(read.input.engineSpeedsRpm, MOST_FOR_SPREAD);
  const spread = solveSpread(read.input, tolerances, { samples, seed, limits, engineSpeedsRpm, onProgress });
  if (spread.status === 'bad-input') throw new Error(spread.message);
  if (spread.status === 'cancelled') throw new Error('The spread was cancelled.');
  return { candidateIndex, ambientPressurePa: read.input.ambient.pressurePa, spread };
}
