import { type ReferenceState, referenceFactors, referredSheet, referTo } from '../../compressor/index.ts';
import type {
  ComparedValue,
  Comparison,
  ComparisonKey,
  ComparisonRow,
  OperatingPoint,
  SameBoost,
  Verdict,
} from '../../match/index.ts';
import type { CandidateResults } from '../../store/index.ts';
import { formatNumber, formatQuantity, NO_BREAK_SPACE, NO_NUMBER, unitOf } from '../../units/index.ts';
import { quantityShown, type ResultUnits, type Shown, showResult, unitShown } from './resultUnits.ts';

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

type Kind =
  | 'speeds-share'
  | 'power'
  | 'margin'
  | 'share'
  | 'temperature'
  | 'altitude'
  | 'engine-speed'
  | 'pressure-ratio'
  | 'air-flow';

const ROWS: Readonly<Record<ComparisonKey, { title: string; kind: Kind }>> = {
  'points-held': { title: 'Engine speeds that hold the goal', kind: 'speeds-share' },
  'power-at-goal': { title: 'Crank power at the goal', kind: 'power' },
  'air-at-same-boost': { title: 'Air at the same boost', kind: 'air-flow' },
  'power-at-ceiling': { title: 'Crank power at the ceiling', kind: 'power' },
  'boost-threshold': { title: 'Boost threshold', kind: 'engine-speed' },
  'speed-margin': { title: 'Least shaft-speed margin', kind: 'margin' },
  'surge-margin': { title: 'Least surge margin', kind: 'margin' },
  'choke-margin': { title: 'Least choke margin', kind: 'margin' },
  efficiency: { title: 'Mean efficiency', kind: 'share' },
  'outlet-temperature': { title: 'Highest outlet temperature', kind: 'temperature' },
  'intake-temperature': { title: 'Highest intake temperature', kind: 'temperature' },
  'compressor-power': { title: 'Power the turbine must give', kind: 'power' },
  'back-pressure-ratio': { title: 'Back-pressure ratio p3/p_m', kind: 'pressure-ratio' },
  'gate-share': { title: 'Exhaust past the turbine', kind: 'share' },
  'altitude-held': { title: 'Holds the goal up to', kind: 'altitude' },
};

/** Rows of studies that take longer than a frame: they come when the inputs rest. */
const STUDIES: ReadonlySet<ComparisonKey> = new Set(['power-at-ceiling', 'altitude-held']);

const KEYS = Object.keys(ROWS) as ComparisonKey[];

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
export function differenceRows(comparison: Comparison, units: CompareUnits): readonly DifferenceRow[] {
  return KEYS.flatMap((key) => {
    const row = comparison.rows.find((candidate) => candidate.key === key);
    if (row !== undefined) return shownRow(row, units);
    return STUDIES.has(key) ? pendingRow(key) : [];
  });
}

function pendingRow(key: ComparisonKey): DifferenceRow {
  const empty = { a: '…', b: '…', aAt: '', bAt: '', difference: '', note: '' };
  return { key, title: ROWS[key].title, ...empty, verdict: 'pending', word: WORDS.pending };
}

/** Rows whose unit stands in the title, because number and unit together are too long for a cell. */
const UNIT_IN_TITLE: ReadonlySet<Kind> = new Set(['engine-speed', 'air-flow']);

function shownRow(row: ComparisonRow, units: CompareUnits): DifferenceRow {
  const { title, kind } = ROWS[row.key];
  const shown = UNIT_IN_TITLE.has(kind) ? (kind as Shown) : null;
  const unit = shown === null ? '' : unitOf(quantityShown(shown), unitShown(shown, units.results)).label;
  const bare = (words: string) => (shown === null ? words : withoutUnit(words, unit));
  return {
    key: row.key,
    title: unit === '' ? title : `${title}, ${unit}`,
    a: bare(valueWords(row.key, row.a, units)),
    b: bare(valueWords(row.key, row.b, units)),
    aAt: atWords(row.a),
    bAt: atWords(row.b),
    difference: bare(differenceWords(row, units)),
    verdict: row.verdict,
    word: WORDS[row.verdict],
    note: noteWords(row, units),
  };
}

/** 'under 2,000 rpm' as '< 2,000', '+1,510 rpm or more' as '≥ +1,510', '−940 rpm or more' as '≤ −940'. */
function withoutUnit(words: string, unit: string): string {
  const number = words.replace(`${NO_BREAK_SPACE}${unit}`, '').replace('under ', '< ').replace('over ', '> ');
  if (!number.endsWith(' or more')) return number;
  return `${number.startsWith('+') ? '≥' : '≤'} ${number.replace(' or more', '')}`;
}

function atWords({ value, engineSpeedRpm }: ComparedValue): string {
  return value === null || engineSpeedRpm === null ? '' : `${formatNumber(engineSpeedRpm, 0)}${NO_BREAK_SPACE}rpm`;
}

/** A number of a row with its unit; '–' where it is not known. */
export function valueWords(key: ComparisonKey, { value, bound }: ComparedValue, units: CompareUnits): string {
  if (value === null) return NO_NUMBER;
  const { kind } = ROWS[key];
  switch (kind) {
    case 'speeds-share':
      return `${formatNumber(value * 100, 0)}${NO_BREAK_SPACE}%`;
    case 'power':
      return showResult(value, 'power', units.results);
    case 'margin':
    case 'share':
      return showResult(value, kind, units.results);
    case 'temperature':
    case 'pressure-ratio':
    case 'air-flow':
      return showResult(value, kind, units.results);
    case 'engine-speed':
      return bounded(showResult(toTens(value), kind, units.results), bound);
    case 'altitude':
      return bounded(formatQuantity(value, 'altitude', units.altitude), bound);
  }
}

function bounded(words: string, bound: ComparedValue['bound']): string {
  return bound === null ? words : `${bound === 'at-least' ? 'over' : 'under'} ${words}`;
}

/** Nothing here is known to one revolution. */
const toTens = (rpm: number) => Math.round(rpm / 10) * 10;

/** The size of a difference with its unit and sign; '' where none is known or both are only bounds. */
export function differenceWords(row: ComparisonRow, units: CompareUnits): string {
  if (row.difference === null || (row.a.bound !== null && row.a.bound === row.b.bound)) return '';
  // Both sides of one value: they differ, but by nobody knows how much.
  if (row.difference === 0 && row.a.bound !== null && row.b.bound !== null) return '';
  const words = amountWords(row.key, row.difference, units);
  // Against a bound the difference is at least this much.
  return row.a.bound !== null || row.b.bound !== null ? `${words} or more` : words;
}

function amountWords(key: ComparisonKey, amount: number, units: CompareUnits): string {
  const { kind } = ROWS[key];
  switch (kind) {
    case 'speeds-share':
      return points(amount, 0);
    case 'power':
    case 'pressure-ratio':
    case 'air-flow':
      return showResult(amount, kind, units.results, { signed: true });
    case 'engine-speed':
      return showResult(toTens(amount), kind, units.results, { signed: true });
    case 'margin':
    case 'share':
      return points(amount, 1);
    case 'temperature': {
      const isFahrenheit = units.results.temperature === 'degF';
      const number = formatNumber(isFahrenheit ? amount * 1.8 : amount, 0);
      return `${sign(amount, number)}${number}${NO_BREAK_SPACE}${isFahrenheit ? '°F' : 'K'}`;
    }
    case 'altitude':
      return formatQuantity(amount, 'altitude', units.altitude, { signed: true });
  }
}

/** A difference of two percentages. */
function points(share: number, decimals: number): string {
  const number = formatNumber(share * 100, decimals);
  return `${sign(share, number)}${number}${NO_BREAK_SPACE}points`;
}

function sign(value: number, text: string): string {
  return value > 0 && /[1-9]/.test(text) ? '+' : '';
}

function noteWords(row: ComparisonRow, units: CompareUnits): string {
  if (row.threshold === 0) return '';
  const size = amountWords(row.key, row.threshold, units).replace('+', '');
  return row.thresholdFrom === 'estimate'
    ? `Up to ${size} the estimate cannot tell a difference.`
    : `Up to ${size} counts as no difference.`;
}

/** Label of the altitude's unit, for headings. */
export function altitudeUnitLabel(units: CompareUnits): string {
  return unitOf('altitude', units.altitude).label;
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
  const from = row.b.bound === 'at-most' ? 'from the lowest engine speed' : `from ${valueWords(row.key, row.b, units)}`;
  const less = differenceWords(row, units).replace(/^[+−-]/, '');
  return ` ${name} holds the goal ${from} up, ${less} ${row.verdict === 'better' ? 'earlier' : 'later'}.`;
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
  return `${b} against ${a}: better in ${countOfPoints(better)}, worse in ${countOfPoints(worse)}.`;
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

const known = new WeakMap<CandidateResults['candidate'], { surface: unknown; key: string; parts: Referred }>();

type Referred = Pick<CandidateResults, 'surface' | 'sheet'>;

/**
 * The results with map and operating points brought to another reference state, as two maps on equal axes need them: corrected flows
 * and speeds change, everything that a gauge on the car reads does not. The map is brought over once; the points follow every input.
 */
export function referredResults(results: CandidateResults, reference: ReferenceState | null): CandidateResults {
  const { surface, sheet, candidate } = results;
  if (surface === null || sheet === null || reference === null) return results;
  const from = surface.reference;
  if (from.temperatureK === reference.temperatureK && from.pressurePa === reference.pressurePa) return results;
  const factors = referenceFactors(from, reference);
  const key = `${reference.temperatureK}/${reference.pressurePa}`;
  const last = known.get(candidate);
  const parts =
    last?.surface === surface && last.key === key
      ? last.parts
      : { surface: referTo(surface, reference), sheet: referredSheet(sheet, reference) };
  known.set(candidate, { surface, key, parts });
  return { ...results, ...parts, points: results.points.map((point) => referredPoint(point, factors)) };
}

/** One operating point brought over. */
export function referredPoint(point: OperatingPoint, factors: { flow: number; speed: number }): OperatingPoint {
  if (point.status === 'ok') {
    return {
      ...point,
      correctedMassFlowKgPerS: point.correctedMassFlowKgPerS * factors.flow,
      correctedSpeedRpm: point.correctedSpeedRpm * factors.speed,
    };
  }
  if (point.demand === undefined) return point;
  const { correctedMassFlowKgPerS, pressureRatio } = point.demand;
  return { ...point, demand: { correctedMassFlowKgPerS: correctedMassFlowKgPerS * factors.flow, pressureRatio } };
}
