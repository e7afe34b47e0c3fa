import type { ComparedValue, Comparison, ComparisonKey, ComparisonRow, Verdict } from '../../match/index.ts';
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
