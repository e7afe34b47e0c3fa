import { speedsUnderThreshold } from '../studies/held-goal.ts';
import type { SolvedCandidate } from './types.ts';

/** Engine speeds at which both hold the goal at the lowest altitude studied, over the boost threshold of either at any altitude. */
export function speedsHeldByBoth(a: SolvedCandidate, b: SolvedCandidate): ReadonlySet<number> {
  const held = ({ held: study }: SolvedCandidate) => {
    const crossings = study?.crossings ?? [];
    const under = speedsUnderThreshold(crossings);
    return new Set(
      crossings.flatMap(({ status, engineSpeedRpm }) =>
        status === 'from-lowest' || under.has(engineSpeedRpm) ? [] : [engineSpeedRpm],
      ),
    );
  };
  const ofB = held(b);
  return new Set([...held(a)].filter((rpm) => ofB.has(rpm)));
}
