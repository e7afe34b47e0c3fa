import type { MatchInput } from '../../src/match/index.ts';
import { analyticSurface } from './analytic-surface.ts';
import { randomInput } from './random-builds.ts';

/** A random plausible build on a closed-form map without faults, of about the engine's size. */
export function soundBuild(random: () => number): MatchInput {
  const drawn = randomInput(random, 0);
  const flow = drawn.engine.displacementM3 * 100 * (0.7 + 1.1 * random());
  const scale = Math.sqrt(flow / 0.36);
  const compressor = analyticSurface({
    topRpm: 150_000 / scale,
    topFlow: flow,
    topRatio: 2.5 + 3 * random(),
    bestEfficiency: 0.6 + 0.22 * random(),
    exducerMm: 62 * scale,
  });
  return { ...drawn, compressor };
}
