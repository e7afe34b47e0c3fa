import type { Comparison, ComparisonKey, ComparisonRow } from '../../../../match/index.ts';
import { type CompareUnits, differenceWords, valueWords } from '../../../shared/differenceRows.ts';
import { sameBoostWords } from './sameBoostWords.ts';

/** What a customer is told: what is gained, what it costs. Short sentences, what weighs most first. */
export interface Summary {
  /** One sentence over everything. */
  headline: string;
  gained: readonly string[];
  costs: readonly string[];
  /** What the numbers leave out. */
  note: string;
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
  'boost-threshold': { better: 'The boost comes earlier', worse: 'The boost comes later' },
  'back-pressure-ratio': { better: 'Less back-pressure on the engine', worse: 'More back-pressure on the engine' },
  'gate-share': { better: 'The turbine could take more', worse: 'The turbine has less in hand' },
  'air-at-same-boost': { better: 'More air at the same boost', worse: 'Less air at the same boost' },
  'altitude-held': { better: 'Holds the goal higher up', worse: 'Holds the goal less far up' },
};

/** The comparison in plain words, `names` being those of the known and the proposed candidate. */
export function summaryWords(comparison: Comparison, names: readonly [string, string], units: CompareUnits): Summary {
  const say = ({ key, a, b, verdict }: ComparisonRow): string => {
    const said = SENTENCES[key];
    const isBroken = verdict === 'worse' && said.broken !== undefined && (b.value ?? 0) < 0;
    const what = isBroken ? said.broken : said[verdict === 'better' ? 'better' : 'worse'];
    const why = key === 'air-at-same-boost' ? sameBoostWords(comparison.sameBoost, units) : '';
    const [of, against] = [valueWords(key, b, units), valueWords(key, a, units)];
    return of === against ? `${what}, by less than is shown: ${of}.${why}` : `${what}: ${of} against ${against}.${why}`;
  };
  return {
    headline: headline(comparison, names, units),
    gained: comparison.gained.map(say),
    costs: comparison.costs.map(say),
    note: noteWords(comparison, names),
  };
}

/** Whether the proposed one holds the goal at all comes first, then better and worse counted, then when the boost comes. */
function headline(comparison: Comparison, [a, b]: readonly [string, string], units: CompareUnits): string {
  const { gained, costs, stops, differentInputs } = comparison;
  if (differentInputs)
    return 'The two are not computed on the same engine, air, exhaust and goal: their numbers do not tell them apart.';
  const crossed = stops[1] ? `With this goal ${b} crosses a limit${stops[0] ? `, as ${a} does` : ''}: see below. ` : '';
  return `${crossed}${countedWords(gained.length, costs.length, a, b)}${thresholdWords(comparison, b, units)}`;
}

/** ' B holds the goal from 2,900 rpm up, 400 rpm later.'; '' where there is no difference. */
function thresholdWords({ rows }: Comparison, name: string, units: CompareUnits): string {
  const row = rows.find(({ key }) => key === 'boost-threshold');
  if (row === undefined || row.difference === null || (row.verdict !== 'better' && row.verdict !== 'worse')) return '';
  if (row.b.bound === 'at-least') return ` The exhaust does not drive ${name} up to the goal at any engine speed.`;
  const from = row.b.bound === 'at-most' ? 'from the lowest engine speed' : `from ${valueWords(row.key, row.b, units)}`;
  const less = differenceWords(row, units).replace(/^[+−-]/, '');
  return ` ${name} holds the goal ${from} up, ${less} ${row.verdict === 'better' ? 'earlier' : 'later'}.`;
}

/** What the comparison does not know. */
function noteWords({ rows, onlyTurbine }: Comparison, [a, b]: readonly [string, string]): string {
  const known = 'Computed for full load in steady state.';
  if (onlyTurbine !== null) {
    const [one, other] = onlyTurbine === 'a' ? [a, b] : [b, a];
    return `${known} Only the turbine of ${one} is known: ${other} is computed as if its exhaust drove the goal, without back-pressure.`;
  }
  return rows.some(({ key }) => key === 'boost-threshold')
    ? known
    : `${known} What the turbine side costs is not known here: no turbine is entered.`;
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
