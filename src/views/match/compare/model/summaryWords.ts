import type { Comparison, ComparisonKey, ComparisonRow } from '../../../../store/index.ts';
import { type CompareUnits, differenceWords, valueWords } from '../../../shared/differenceRows.ts';

/** What a customer is told: what is gained, what it costs, what to watch. Whole sentences, most important first. */
export interface Summary {
  /** One sentence over everything. */
  headline: string;
  gained: readonly string[];
  costs: readonly string[];
}

interface Said {
  better: (a: string, b: string, difference: string) => string;
  worse: (a: string, b: string, difference: string) => string;
}

const instead = (b: string, a: string) => `${b} instead of ${a}`;

const SENTENCES: Readonly<Record<ComparisonKey, Said>> = {
  'points-held': {
    better: (a, b) =>
      `It holds the goal within every limit over more of the engine's range: ${b} of the engine speeds instead of ${a}.`,
    worse: (a, b) =>
      `It holds the goal within every limit over less of the engine's range: ${b} of the engine speeds instead of ${a}.`,
  },
  'power-at-goal': {
    better: (a, b) => `More power at the same goal: ${instead(b, a)} at the crankshaft.`,
    worse: (a, b) => `Less power at the same goal: ${instead(b, a)} at the crankshaft.`,
  },
  'power-at-ceiling': {
    better: (a, b, d) =>
      `Room to go further: up to ${b} at the crankshaft before a limit is met, ${instead(d, a).replace(' instead of ', ' against ')}.`,
    worse: (a, b, d) =>
      `Less room to go further: up to ${b} at the crankshaft before a limit is met, ${instead(d, a).replace(' instead of ', ' against ')}.`,
  },
  'speed-margin': {
    better: (a, b) => `The shaft has more in hand to its speed limit: ${instead(b, a)} at the worst point.`,
    worse: (a, b) => `The shaft runs closer to its speed limit: ${instead(b, a)} in hand at the worst point.`,
  },
  'surge-margin': {
    better: (a, b) => `It stays farther from surge: least margin ${instead(b, a)}.`,
    worse: (a, b) => `It comes closer to surge: least margin ${instead(b, a)}.`,
  },
  'choke-margin': {
    better: (a, b) => `It stays farther from choke at the top: least margin ${instead(b, a)}.`,
    worse: (a, b) => `It comes closer to choke at the top: least margin ${instead(b, a)}.`,
  },
  efficiency: {
    better: (a, b) => `It compresses with less waste: ${instead(b, a)} mean efficiency.`,
    worse: (a, b) => `It wastes more in compressing: ${instead(b, a)} mean efficiency.`,
  },
  'outlet-temperature': {
    better: (a, b) => `The air leaves the compressor cooler: ${instead(b, a)} at most.`,
    worse: (a, b) => `The air leaves the compressor hotter: ${instead(b, a)} at most.`,
  },
  'intake-temperature': {
    better: (a, b) => `The air reaches the engine cooler: ${instead(b, a)} at most.`,
    worse: (a, b) => `The air reaches the engine hotter: ${instead(b, a)} at most.`,
  },
  'compressor-power': {
    better: (a, b) => `It asks the turbine for less: ${instead(b, a)} where the power peaks.`,
    worse: (a, b) => `It asks the turbine for more: ${instead(b, a)} where the power peaks.`,
  },
  'altitude-held': {
    better: (a, b) => `It holds the goal higher up the mountain: ${b}, the other ${a}.`,
    worse: (a, b) => `It holds the goal less far up the mountain: ${b}, the other ${a}.`,
  },
};

/** The comparison in plain words, `names` being those of the known and the proposed candidate. */
export function summaryWords(comparison: Comparison, names: readonly [string, string], units: CompareUnits): Summary {
  const say = (row: ComparisonRow): string => {
    const which = row.verdict === 'better' ? 'better' : 'worse';
    const difference = differenceWords(row, units);
    return SENTENCES[row.key][which](valueWords(row.key, row.a, units), valueWords(row.key, row.b, units), difference);
  };
  return {
    headline: headline(comparison, names),
    gained: comparison.gained.map(say),
    costs: comparison.costs.map(say),
  };
}

function headline({ gained, costs, differentInputs }: Comparison, [a, b]: readonly [string, string]): string {
  if (differentInputs)
    return 'The two are not computed on the same engine, air and goal: their numbers do not tell them apart.';
  const better = countWords(gained.length);
  const worse = countWords(costs.length);
  if (gained.length === 0 && costs.length === 0)
    return `${b} and ${a} come out the same in everything that is known here.`;
  if (costs.length === 0) return `${b} is better than ${a} in ${better} and worse in none.`;
  if (gained.length === 0) return `${b} is worse than ${a} in ${worse} and better in none.`;
  return `${b} against ${a}: better in ${better}, worse in ${worse}.`;
}

function countWords(count: number): string {
  return count === 1 ? 'one point' : `${count} points`;
}
