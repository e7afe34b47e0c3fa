import { type Build, spreadSetup, tryMatchInput } from '../../build/index.ts';
import { solveSpread } from '../../match/index.ts';
import type { SpreadStudy } from '../../store/index.ts';
import { studyLimitsOf } from './studyLimitsOf.ts';

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
  const { tolerances, samples, seed } = setup;
  const limits = studyLimitsOf(build, read.input);
  const spread = solveSpread(read.input, tolerances, { samples, seed, limits, onProgress });
  if (spread.status === 'bad-input') throw new Error(spread.message);
  if (spread.status === 'cancelled') throw new Error('The spread was cancelled.');
  return { candidateIndex, ambientPressurePa: read.input.ambient.pressurePa, spread };
}
