import { CHANNEL_KEYS } from '../../match/index.ts';
import type { LogChannelKey } from '../../match/log/types.ts';
import { formatQuantity, plainBlanks } from '../../units/index.ts';
import { CHANNELS, tokensOf } from './names.ts';
import type { LogHints, LogQuestion, PressureBasis } from './types.ts';
import { ask, hintFor, quoted, type Understood } from './understand.ts';

const STANDARD_PA = 101_325;

/**
 * Turns gauge pressures into absolute ones, in place, by the log's barometer or that of the day. What decides: a person, then rows that can
 * tell, then the unit's mark, then the name with a question.
 */
export function asAbsolute(
  columnsOf: ReadonlyMap<LogChannelKey, Understood>,
  values: ReadonlyMap<LogChannelKey, Float64Array>,
  lines: Int32Array,
  hints: LogHints,
  questions: LogQuestion[],
): { basis: Map<number, { basis: PressureBasis; words: string }> } {
  const basis = new Map<number, { basis: PressureBasis; words: string }>();
  const barometer = values.get('ambientPressure');
  const logged = barometer === undefined ? null : medianOf(barometer);
  const day = hints.ambientPressurePa ?? hints.offeredPressurePa ?? null;
  let needsDay: Understood | null = null;
  for (const key of CHANNEL_KEYS) {
    const column = columnsOf.get(key);
    const pressure = values.get(key);
    if (column === undefined || pressure === undefined || CHANNELS[key].kind !== 'pressure') continue;
    if (key === 'ambientPressure') {
      basis.set(column.index, { basis: 'absolute', words: 'a barometer is absolute' });
      continue;
    }
    const found = decide(key, column, pressure, values, lines, logged ?? hints.ambientPressurePa ?? null, questions);
    basis.set(column.index, found);
    if (found.basis !== 'gauge') continue;
    if (barometer === undefined) needsDay ??= column;
    const constant = logged ?? day ?? STANDARD_PA;
    for (let row = 0; row < pressure.length; row += 1) pressure[row] = pressure[row]! + constant;
  }
  if (needsDay !== null && hints.ambientPressurePa === undefined) questions.push(askWeather(needsDay, hints));
  return { basis };
}

function decide(
  key: LogChannelKey,
  column: Understood,
  pressure: Float64Array,
  values: ReadonlyMap<LogChannelKey, Float64Array>,
  lines: Int32Array,
  barometerPa: number | null,
  questions: LogQuestion[],
): { basis: PressureBasis; words: string } {
  if (column.hint.basis !== undefined) return { basis: column.hint.basis, words: 'as chosen' };
  const evidence = findBasis(
    key,
    column,
    pressure,
    values.get('engineSpeed') ?? null,
    values.get('throttle') ?? null,
    barometerPa,
  );
  const marked = column.markedBasis ?? markedByName(column.name);
  const line = evidence?.row === null || evidence === null ? '' : ` (line ${lines[evidence.row] ?? 0})`;
  if (evidence !== null && (marked === null || marked === evidence.basis)) {
    return { basis: evidence.basis, words: `${evidence.words}${line}` };
  }
  if (evidence === null && marked !== null) return { basis: marked, words: 'its name or unit says so' };
  const usual = tokensOf(column.name).has('boost') ? 'gauge' : 'absolute';
  const basis = evidence?.basis ?? usual;
  const why =
    evidence === null
      ? 'No row shows the engine standing or idling, so nothing tells'
      : `Its name says ${marked}, but ${evidence.words}${line}`;
  const choices = (['absolute', 'gauge'] as const).map((each) => ({
    label: each === 'gauge' ? 'Gauge: above the barometer' : 'Absolute',
    hints: hintFor(column.index, { basis: each }),
  }));
  questions.push(
    ask(
      column,
      'basis',
      `${quoted(column)}: is this pressure gauge or absolute? ${why}.`,
      choices,
      basis === 'gauge' ? 1 : 0,
    ),
  );
  return { basis, words: evidence === null ? 'a guess by the name' : `${evidence.words}${line}` };
}

function markedByName(name: string): PressureBasis | null {
  if (/\babs(olute?)?\b|absolut/i.test(name)) return 'absolute';
  return /\b(gauge|gage|rel(ative?)?)\b|relativ|überdruck/i.test(name) ? 'gauge' : null;
}

function askWeather(column: Understood, hints: LogHints): LogQuestion {
  const read = (pa: number) =>
    plainBlanks(formatQuantity(pa, 'pressure-absolute', hints.system === 'us' ? 'inHg' : 'hPa'));
  const offered = hints.offeredPressurePa;
  const standard = {
    label: `${read(STANDARD_PA)}, the standard at sea level`,
    hints: { ambientPressurePa: STANDARD_PA },
  };
  return {
    code: 'weather',
    column: column.index,
    message: `${quoted(column)} is gauge and the log has no barometer: what did the barometer read that day?`,
    choices:
      offered === undefined
        ? [standard]
        : [{ label: `${read(offered)}, the day of the build`, hints: { ambientPressurePa: offered } }, standard],
    taken: 0,
    rows: [...column.samples],
  };
}

/** Of some thousand readings spread over the log. */
function medianOf(values: Float64Array): number | null {
  const stride = Math.max(1, Math.floor(values.length / 4000));
  const sorted = values.filter((value, row) => row % stride === 0 && Number.isFinite(value)).sort();
  return sorted.length === 0 ? null : sorted[sorted.length >> 1]!;
}

/** What the rows say of a pressure: gauge or absolute, and which rows said so. */
interface BasisEvidence {
  readonly basis: PressureBasis;
  readonly words: string;
  readonly row: number | null;
}

const LEAST_ROWS = 3;
/** Highest engine speed of a standing engine, and the band in which engines idle, rpm. */
const OFF_RPM = 50;
const IDLE_RPM = [400, 1300] as const;
/** Barometers at which cars drive, Pa; where the day's is known the reading must come within 5 kPa of it. */
const ANY_BAROMETER_PA = [60e3, 108e3] as const;

/** In the unit of the column, a barometer with four digits: '101.3 kPa', '14.69 psi'. */
function readIn({ unit }: Understood): (pa: number) => string {
  const { toSi = 1000, label = 'kPa' } = unit ?? {};
  const decimals = Math.max(0, 3 - Math.floor(Math.log10(STANDARD_PA / toSi)));
  return (pa) => `${(pa / toSi).toFixed(decimals)} ${label}`;
}

/**
 * Gauge or absolute, by rows that can tell: with the engine off a pressure reads the barometer or nothing; at idle the manifold is
 * far below the barometer. Null where there are no such rows, or where they do not agree with either.
 */
function findBasis(
  key: LogChannelKey,
  column: Understood,
  pressurePa: Float64Array,
  engineSpeedRpm: Float64Array | null,
  throttle: Float64Array | null,
  barometerPa: number | null,
): BasisEvidence | null {
  const rowsWhere = (holds: (row: number) => boolean) => {
    const rows: number[] = [];
    for (let row = 0; row < pressurePa.length && rows.length < 5000; row += 1) {
      if (Number.isFinite(pressurePa[row]!) && holds(row)) rows.push(row);
    }
    return rows;
  };
  const median = (rows: readonly number[]) =>
    rows.map((row) => pressurePa[row]!).sort((a, b) => a - b)[rows.length >> 1]!;
  const below = rowsWhere((row) => pressurePa[row]! < -1e3);
  if (below.length >= LEAST_ROWS) return { basis: 'gauge', words: 'it reads below zero', row: below[0]! };
  if (engineSpeedRpm === null) return null;
  const inUnit = readIn(column);
  const off = rowsWhere((row) => engineSpeedRpm[row]! < OFF_RPM);
  if (off.length >= LEAST_ROWS) {
    const reads = median(off);
    const words = `with the engine off it reads ${inUnit(reads)}`;
    if (Math.abs(reads) <= 3e3) return { basis: 'gauge', words, row: off[0]! };
    const [low, high] = barometerPa === null ? ANY_BAROMETER_PA : [barometerPa - 5e3, barometerPa + 5e3];
    if (reads >= low && reads <= high) return { basis: 'absolute', words, row: off[0]! };
  }
  if (key !== 'manifoldPressure') return null;
  const isShut = (row: number) => throttle === null || !(throttle[row]! > 0.12);
  const idle = rowsWhere(
    (row) => engineSpeedRpm[row]! > IDLE_RPM[0] && engineSpeedRpm[row]! < IDLE_RPM[1] && isShut(row),
  );
  if (idle.length >= LEAST_ROWS) {
    const reads = median(idle);
    if (reads >= 20e3 && reads <= 75e3)
      return { basis: 'absolute', words: `at idle it reads ${inUnit(reads)}`, row: idle[0]! };
  }
  return null;
}
