import type { SolvedCandidate } from './types.ts';

/** Engine speeds at which both hold the goal at the lowest altitude studied. */
export function speedsHeldByBoth(a: SolvedCandidate, b: SolvedCandidate): ReadonlySet<number> {
  const held = ({ held: study }: SolvedCandidate) =>
    new Set(study?.crossings.flatMap((c) => (c.status === 'from-lowest' ? [] : [c.engineSpeedRpm])));
  const ofB = held(b);
  return new Set([...held(a)].filter((rpm) => ofB.has(rpm)));
}
