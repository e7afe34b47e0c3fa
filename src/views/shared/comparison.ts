import type { ComparedValue, Comparison, ComparisonKey, ComparisonRow, SameBoost, Verdict } from '../../match/index.ts';
import {
  COMPARISON_KEYS,
  decimalsShown,
  LINE_RESULTS,
  lineTitle,
  type ResultUnits,
  showResult,
  unitLabel,
} from '../../match/index.ts';
import { formatNumber, formatQuantity, NO_BREAK_SPACE, NO_NUMBER } from '../../units/index.ts';

/** The user's units: results, and the altitude as it stands in its field. */
export interface CompareUnits {
  results: ResultUnits;
  altitude: string;
}

/** One row of the table of differences in words and figures. */
export interface DifferenceRow {
  key: ComparisonKey;
  title: string;
  a: string;
  b: string;
  /** Engine speed that a number belongs to: '6,400 rpm'; '' for none. */
  aAt: string;
  bAt: string;
  /** b less a, signed; '' where there is none. */
  difference: string;
  verdict: Verdict | 'pending';
  /** 'better', 'worse', 'no difference', 'not known', 'computing'. */
  word: string;
  /** What counts as no difference, for whoever asks; '' for nothing to say. */
  note: string;
}

/** Rows of studies that take longer than a frame: they come when the inputs rest. */
const STUDIES: ReadonlySet<ComparisonKey> = new Set(['power-at-ceiling', 'altitude-held']);

/** Rows whose unit stands in the title, because number and unit together are too long for a cell. */
const UNIT_IN_TITLE: ReadonlySet<ComparisonKey> = new Set(['boost-threshold', 'air-at-same-boost']);

const WORDS: Readonly<Record<DifferenceRow['verdict'], string>> = {
  better: 'better',
  worse: 'worse',
  same: 'no difference',
  unknown: 'not known',
  pending: 'computing',
};

/**
 * Every row there can be, always in the same order, so that nothing jumps; what is still being computed says so. Rows of the turbine are
 * there when one of the two has one.
 */
export function differenceRows({ rows }: Comparison, units: CompareUnits): readonly DifferenceRow[] {
  return COMPARISON_KEYS.flatMap((key): DifferenceRow[] => {
    const row = rows.find((candidate) => candidate.key === key);
    if (row !== undefined) return [shownRow(row, units)];
    if (!STUDIES.has(key)) return [];
    const empty = { a: '…', b: '…', aAt: '', bAt: '', difference: '', note: '' };
    return [{ key, title: lineTitle(key, units.results), ...empty, verdict: 'pending', word: WORDS.pending }];
  });
}

function shownRow(row: ComparisonRow, units: CompareUnits): DifferenceRow {
  const { key, a, b, verdict } = row;
  const { shown } = LINE_RESULTS[key];
  const title = lineTitle(key, units.results);
  const inCell = UNIT_IN_TITLE.has(key);
  return {
    key,
    title: inCell ? `${title}, ${unitLabel(shown, units.results)}` : title,
    a: valueText(key, a, units, inCell),
    b: valueText(key, b, units, inCell),
    aAt: atText(a),
    bAt: atText(b),
    difference: differenceText(row, units, inCell),
    verdict,
    word: WORDS[verdict],
    note: noteText(row, units),
  };
}

function atText({ value, engineSpeedRpm }: ComparedValue): string {
  return value === null || engineSpeedRpm === null ? '' : `${formatNumber(engineSpeedRpm, 0)}${NO_BREAK_SPACE}rpm`;
}

/** A number of a row; '–' where it is not known. A bound is 'over 4,000 m' in words, '> 7,000' in a cell whose title has the unit. */
function valueText(key: ComparisonKey, { value, bound }: ComparedValue, units: CompareUnits, inCell = false): string {
  if (value === null) return NO_NUMBER;
  const { shown } = LINE_RESULTS[key];
  const text =
    shown === 'altitude'
      ? formatQuantity(value, 'altitude', units.altitude)
      : showResult(value, shown, units.results, { withUnit: !inCell });
  if (bound === null) return text;
  const [over, under] = inCell ? ['>', '<'] : ['over', 'under'];
  return `${bound === 'at-least' ? over : under} ${text}`;
}

/** A difference of two numbers of a row. */
function amountText(
  key: ComparisonKey,
  amount: number,
  { results, altitude }: CompareUnits,
  { withUnit = true, signed = true } = {},
): string {
  const { shown } = LINE_RESULTS[key];
  const written = (value: number, decimals: number, unit: string) => {
    const number = formatNumber(value, decimals);
    return `${signed && value > 0 && /[1-9]/.test(number) ? '+' : ''}${number}${NO_BREAK_SPACE}${unit}`;
  };
  switch (shown) {
    case 'margin':
    case 'share':
    case 'whole-share':
      return written(amount * 100, decimalsShown(shown, results), 'points');
    case 'temperature':
      return results.temperature === 'degF' ? written(amount * 1.8, 0, '°F') : written(amount, 0, 'K');
    case 'altitude':
      return formatQuantity(amount, 'altitude', altitude, { signed });
    default:
      return showResult(amount, shown, results, { withUnit, signed });
  }
}

/** The difference with unit and sign, '+400 rpm or more' against a bound ('≥ +400' in a cell); '' where none is known. */
function differenceText(row: ComparisonRow, units: CompareUnits, inCell: boolean): string {
  const { key, a, b, difference } = row;
  if (difference === null || (a.bound !== null && a.bound === b.bound)) return '';
  // Both sides of one value: they differ, but by nobody knows how much.
  if (difference === 0 && a.bound !== null && b.bound !== null) return '';
  const text = amountText(key, difference, units, { withUnit: !inCell });
  if (a.bound === null && b.bound === null) return text;
  return inCell ? `${difference > 0 ? '≥' : '≤'} ${text}` : `${text} or more`;
}

function noteText({ key, threshold, thresholdFrom }: ComparisonRow, units: CompareUnits): string {
  if (threshold === 0) return '';
  const size = amountText(key, threshold, units, { signed: false });
  return thresholdFrom === 'estimate'
    ? `Up to ${size} the estimate cannot tell a difference.`
    : `Up to ${size} counts as no difference.`;
}

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
  'peak-torque': { better: 'More torque at its peak', worse: 'Less torque at its peak' },
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
  'manifold-temperature': { better: 'Cooler air to the engine', worse: 'Hotter air to the engine' },
  'compressor-power': { better: 'Asks the turbine for less', worse: 'Asks the turbine for more' },
  'boost-threshold': { better: 'The boost comes earlier', worse: 'The boost comes later' },
  'back-pressure-ratio': { better: 'Less back-pressure on the engine', worse: 'More back-pressure on the engine' },
  'wastegate-flow-fraction': { better: 'The turbine could take more', worse: 'The turbine has less in hand' },
  'air-at-same-boost': { better: 'More air at the same boost', worse: 'Less air at the same boost' },
  'altitude-held': { better: 'Holds the goal higher up', worse: 'Holds the goal less far up' },
};

/** The comparison in plain words, `names` being those of the known and the proposed candidate. */
export function summaryWords(comparison: Comparison, names: readonly [string, string], units: CompareUnits): Summary {
  const say = ({ key, a, b, verdict }: ComparisonRow): string => {
    const sentence = SENTENCES[key];
    const isBroken = verdict === 'worse' && sentence.broken !== undefined && (b.value ?? 0) < 0;
    const what = isBroken ? sentence.broken : sentence[verdict === 'better' ? 'better' : 'worse'];
    const why = key === 'air-at-same-boost' ? sameBoostWords(comparison.sameBoost, units) : '';
    const [of, against] = [valueText(key, b, units), valueText(key, a, units)];
    return of === against ? `${what}, by less than is shown: ${of}.${why}` : `${what}: ${of} against ${against}.${why}`;
  };
  return {
    headline: headline(comparison, names, units),
    gained: comparison.gained.map(say),
    costs: comparison.costs.map(say),
    note: unknownsNote(comparison, names),
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
  const from = row.b.bound === 'at-most' ? 'from the lowest engine speed' : `from ${valueText(row.key, row.b, units)}`;
  const least = row.a.bound !== null || row.b.bound !== null ? ' or more' : '';
  const apart = `${amountText(row.key, Math.abs(row.difference), units, { signed: false })}${least}`;
  return ` ${name} holds the goal ${from} up, ${apart} ${row.verdict === 'better' ? 'earlier' : 'later'}.`;
}

/** What the comparison does not know. */
function unknownsNote({ rows, onlyTurbine }: Comparison, [a, b]: readonly [string, string]): string {
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
  if (worse === 0) return `${b} against ${a}: better in ${countOfPoints(better)}, worse in none.`;
  if (better === 0) return `${b} against ${a}: worse in ${countOfPoints(worse)}, better in none.`;
  return `${b} against ${a}: better in ${countOfPoints(better)}, worse in ${worse === 1 ? 'one' : worse}.`;
}

function countOfPoints(count: number): string {
  return count === 1 ? 'one point' : `${count} points`;
}

/** Under this share a part is not worth its words. */
const WORTH_SAYING = 0.002;

/**
 * Why the one passes more air than the other at the same boost, and what comes of it: two sentences with a space before them; '' for
 * none. At one manifold pressure air goes with how well the cylinders fill and how dense the charge is, and the two parts are named with
 * their sizes. Why back-pressure matters: the ideal cycle's residual gas (Heywood, from memory).
 */
export function sameBoostWords(same: SameBoost | null, { results }: CompareUnits): string {
  if (same === null) return '';
  const filling = same.breathingB / same.breathingA - 1;
  const density = (1 + same.airGain) / (1 + filling) - 1;
  const ratios = `${formatNumber(same.backPressureB, 2)} instead of ${formatNumber(same.backPressureA, 2)}`;
  const [less, more] = filling > 0 ? ['less', 'more'] : ['more', 'less'];
  const parts = [
    {
      share: filling,
      words: `p3/p_m is ${ratios}, so ${less} burnt gas stays in the cylinders and ${more} fresh air comes in`,
    },
    { share: density, words: `the charge is ${density > 0 ? 'cooler and denser' : 'hotter and thinner'}` },
  ].filter(({ share }) => Math.abs(share) >= WORTH_SAYING);
  const joint = filling * density < 0 ? '; but ' : '; and ';
  const why = parts.map(({ share, words }) => `${words} (${percent(share)})`).join(joint);
  const where = `Both hold ${showResult(same.manifoldPressurePa, 'absolute-pressure', results)} absolute there`;
  return ` ${where}${why === '' ? '' : `: ${why}`}. Power follows: ${percent(same.powerGain)}.`;
}

function percent(share: number): string {
  return `${share > 0 ? '+' : ''}${formatNumber(share * 100, 1)}${NO_BREAK_SPACE}%`;
}
