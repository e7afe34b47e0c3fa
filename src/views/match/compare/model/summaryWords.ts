import type { Comparison, ComparisonKey, ComparisonRow } from '../../../../store/index.ts';
import { type CompareUnits, valueWords } from '../../../shared/differenceRows.ts';

/** What a customer is told: what is gained, what it costs. Short sentences, what weighs most first. */
export interface Summary {
  /** One sentence over everything. */
  headline: string;
  gained: readonly string[];
  costs: readonly string[];
}

interface Said {
  better: string;
  worse: string;
  /** Instead of `worse` where the value itself is below zero: it is not less of a margin but none. */
  broken?: string;
}

const SENTENCES: Readonly<Record<ComparisonKey, Said>> = {
  'points-held': {
    better: 'Holds the goal within the limits at more engine speeds',
    worse: 'Holds the goal within the limits at fewer engine speeds',
  },
  'power-at-goal': { better: 'More power at the goal', worse: 'Less power at the goal' },
  'power-at-ceiling': {
    better: 'More room to go further, up to a limit',
    worse: 'Less room to go further, up to a limit',
  },
  'speed-margin': {
    better: "More in hand to the shaft's limit",
    worse: "Less in hand to the shaft's limit",
    broken: "Over the shaft's limit",
  },
  'surge-margin': { better: 'Farther from surge', worse: 'Closer to surge', broken: 'Goes into surge' },
  'choke-margin': { better: 'Farther from choke', worse: 'Closer to choke', broken: 'Runs into choke' },
  efficiency: { better: 'Compresses with less waste', worse: 'Wastes more in compressing' },
  'outlet-temperature': { better: 'Cooler air from the compressor', worse: 'Hotter air from the compressor' },
  'intake-temperature': { better: 'Cooler air to the engine', worse: 'Hotter air to the engine' },
  'compressor-power': { better: 'Asks the turbine for less', worse: 'Asks the turbine for more' },
  'altitude-held': { better: 'Holds the goal higher up', worse: 'Holds the goal less far up' },
};

/** The comparison in plain words, `names` being those of the known and the proposed candidate. */
export function summaryWords(comparison: Comparison, names: readonly [string, string], units: CompareUnits): Summary {
  const say = ({ key, a, b, verdict }: ComparisonRow): string => {
    const said = SENTENCES[key];
    const isBroken = verdict === 'worse' && said.broken !== undefined && (b.value ?? 0) < 0;
    const what = isBroken ? said.broken : said[verdict === 'better' ? 'better' : 'worse'];
    return `${what}: ${valueWords(key, b, units)} against ${valueWords(key, a, units)}.`;
  };
  return {
    headline: headline(comparison, names),
    gained: comparison.gained.map(say),
    costs: comparison.costs.map(say),
  };
}

/** Better and worse counted; and first of all whether the proposed one holds the goal at all. */
function headline({ gained, costs, watch, differentInputs }: Comparison, [a, b]: readonly [string, string]): string {
  if (differentInputs)
    return 'The two are not computed on the same engine, air and goal: their numbers do not tell them apart.';
  const stops = watch.some(({ severity }) => severity === 'stop')
    ? ' With this goal it crosses a limit: see below.'
    : '';
  return `${countedWords(gained.length, costs.length, a, b)}${stops}`;
}

function countedWords(better: number, worse: number, a: string, b: string): string {
  if (better === 0 && worse === 0) return `${b} and ${a} come out the same in everything that is known here.`;
  if (worse === 0) return `${b} against ${a}: better in ${points(better)}, worse in none.`;
  if (better === 0) return `${b} against ${a}: worse in ${points(worse)}, better in none.`;
  return `${b} against ${a}: better in ${points(better)}, worse in ${points(worse)}.`;
}

function points(count: number): string {
  return count === 1 ? 'one point' : `${count} points`;
}
