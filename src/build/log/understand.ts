import type { LogChannelKey } from '../../match/log/types.ts';
import type { Layout } from './layout.ts';
import { CHANNELS, scoreName } from './names.ts';
import { readCell } from './scan.ts';
import type { ColumnHint, ColumnRole, LogHints, LogQuestion, PressureBasis } from './types.ts';
import { LOG_UNITS, type LogUnit, logUnit, readUnit } from './units.ts';

/** What a column is, before its rows are read: all but the basis of a pressure. */
export interface Understood {
  readonly index: number;
  readonly name: string;
  role: ColumnRole;
  score: number;
  unit: LogUnit | null;
  unitFrom: 'file' | 'range' | 'hint';
  /** Basis that the unit names. */
  markedBasis: PressureBasis | null;
  readonly hint: ColumnHint;
  readonly samples: readonly [string, string];
}

type UsedRole = Exclude<ColumnRole, 'unused'>;
/** Below this a role is asked about, and below the other not even proposed. */
const SURE = 0.8;
const PROPOSED = 0.35;
/** Units that a range may point to; rarer ones only a name or a person. */
const RARE_UNITS = new Set([
  'hPa',
  'MPa',
  'inHg',
  'mmHg',
  'inH2O',
  'Hz',
  'K',
  'lb/min',
  'W',
  'min',
  'PS',
  'L/h',
  'cc/min',
]);
const GAUGE_OFFSET_PA = 100e3;

interface Read {
  readonly index: number;
  readonly name: string;
  readonly base: string;
  readonly fileUnit: ReturnType<typeof readUnit>;
  readonly values: readonly number[];
}

/** Roles and units of all columns, and the questions about those that the names and the ranges leave open. */
export function understand(layout: Layout, hints: LogHints): { columns: Understood[]; questions: LogQuestion[] } {
  const reads = layout.names.map((name, index): Read => {
    const { base, unitText } = splitName(name);
    const fileUnit = readUnit(unitText) ?? readUnit((layout.units?.[index] ?? '').replace(/^[[(]|[\])]$/g, ''));
    const values = layout.sample
      .map((row) => readCell(row[index] ?? '', layout.decimal))
      .filter((value) => Number.isFinite(value));
    return { index, name, base, fileUnit, values };
  });
  const columns = reads.map(({ index, name, fileUnit }): Understood => {
    const hint = hints.columns?.[index] ?? {};
    const samples = [layout.sample[0]?.[index] ?? '', layout.sample.at(-1)?.[index] ?? ''] as const;
    return {
      index,
      name,
      role: 'unused',
      score: 1,
      unit: null,
      unitFrom: 'file',
      markedBasis: fileUnit?.basis ?? null,
      hint,
      samples,
    };
  });
  const questions = assignRoles(reads, columns);
  for (const column of columns) {
    const question = column.role === 'unused' ? null : chooseUnit(reads[column.index]!, column, column.role, layout);
    if (question !== null) questions.push(question);
  }
  return { columns, questions };
}

/** 'Boost (psi)', 'Boost [psi]', 'Boost, psi', 'boost_psi': the name and what may be its unit. */
function splitName(name: string): { base: string; unitText: string } {
  const bracket = /[[({]([^\])}]*)[\])}]/.exec(name);
  if (bracket !== null) return { base: name.replace(bracket[0], ' ').trim(), unitText: bracket[1] ?? '' };
  const tail = /^(.+?)(?:,\s*|\s+in\s+|[_\s/])([^_,\s]{2,12}|%)$/.exec(name);
  const unit = tail === null ? null : readUnit(tail[2] ?? '');
  // 'turbo rpm' names the channel by its unit: it stays in the name.
  if (tail === null || unit === null) return { base: name, unitText: /\brpm\b/i.test(name) ? 'rpm' : '' };
  const isWord =
    unit.kind === 'lambda' || (unit.kind === 'rotation' && !/speed|drehzahl|regime|^n/i.test(tail[1] ?? ''));
  return { base: isWord ? name : (tail[1] ?? ''), unitText: tail[2] ?? '' };
}

/** How plausible the readings are in the role: the share of them in range, in the unit that fits best. */
function plausibility({ fileUnit, values }: Read, role: UsedRole): number {
  const { kind } = CHANNELS[role];
  if (kind === 'time' || values.length === 0) return 1;
  if (fileUnit !== null && fileUnit.kind !== kind && !(kind === 'air-flow' && fileUnit.kind === 'fuel-flow')) {
    // A lone '-' or '1' is a unit of several kinds.
    if (!LOG_UNITS[kind].some(({ key }) => key === fileUnit.unit.key)) return 0;
  }
  const units = fileUnit?.kind === kind && !isInThousands(values, role) ? [fileUnit.unit] : LOG_UNITS[kind];
  return Math.max(...units.map((unit) => shareInRange(values, role, unit)));
}

/** 'Turbo rpm x1000' and the like: no shaft turns so slowly over a whole log. */
function isInThousands(values: readonly number[], role: UsedRole): boolean {
  return (role === 'shaftSpeed' || role === 'secondShaftSpeed') && Math.max(...values) < 1000;
}

/** Share of the readings that lie in the role's range, as absolute or, for a pressure, as gauge readings; 0 where none reaches far enough. */
function shareInRange(values: readonly number[], role: UsedRole, unit: LogUnit): number {
  const { kind, range, reaches } = CHANNELS[role];
  const share = (offset: number, least: number) => {
    const si = values.map((value) => value * unit.toSi + unit.offset + offset);
    return si.some((value) => value >= least) ? si.filter((v) => v >= range[0] && v <= range[1]).length / si.length : 0;
  };
  const gauge = kind === 'pressure' && role !== 'ambientPressure' ? share(GAUGE_OFFSET_PA, reaches) : 0;
  return Math.max(share(0, reaches), gauge);
}

function assignRoles(reads: readonly Read[], columns: Understood[]): LogQuestion[] {
  const taken = new Map<UsedRole, Understood>();
  for (const column of columns) {
    const { role } = column.hint;
    if (role === undefined || role === 'unused' || taken.has(role)) continue;
    column.role = role;
    taken.set(role, column);
  }
  const offers = reads
    .filter(({ index }) => columns[index]!.hint.role === undefined)
    .flatMap((read) => offersOf(read).map((offer) => ({ ...offer, column: columns[read.index]! })))
    .sort((a, b) => b.score - a.score || a.column.index - b.column.index);
  const rivals = new Map<Understood, { role: UsedRole; score: number }>();
  for (const { column, role, score } of offers) {
    if (column.role !== 'unused' || score < PROPOSED) continue;
    if (taken.has(role)) {
      if (!rivals.has(column) && score >= SURE) rivals.set(column, { role, score });
      continue;
    }
    if (rivals.has(column)) continue;
    Object.assign(column, { role, score });
    taken.set(role, column);
  }
  const questions: LogQuestion[] = [];
  for (const column of columns) {
    const rival = rivals.get(column);
    const other = rival === undefined ? undefined : taken.get(rival.role);
    if (rival !== undefined && other !== undefined && column.role === 'unused')
      questions.push(askRival(column, other, rival.role));
    else if (column.role !== 'unused' && column.hint.role === undefined && column.score < SURE) {
      questions.push(askRole(column, reads[column.index]!));
    }
  }
  return questions;
}

/** What a column may be: by name and range; where no name fits, by range alone for the three channels that matter. */
function offersOf(read: Read): { role: UsedRole; score: number }[] {
  const named = scoreName(read.base, read.fileUnit?.kind).map(({ role, score }) => {
    const plausible = plausibility(read, role);
    const least = role === 'lambda' ? 0.5 : 0.9;
    const factor = plausible >= least ? 1 : plausible >= 0.5 ? 0.8 : 0.4;
    const unitAgrees = read.fileUnit?.kind === CHANNELS[role].kind && score < SURE ? 0.1 : 0;
    return { role, score: Math.min(score + unitAgrees, 1) * factor };
  });
  if (named.some(({ score }) => score >= PROPOSED) || read.values.length === 0) return named;
  const top = Math.max(...read.values);
  const kind = read.fileUnit?.kind;
  if ((kind === undefined || kind === 'rotation') && top > 20e3 && top < 350e3)
    return [{ role: 'shaftSpeed', score: 0.45 }];
  if ((kind === undefined || kind === 'rotation') && top > 2000 && top < 12e3 && Math.min(...read.values) >= 0) {
    return [{ role: 'engineSpeed', score: 0.4 }];
  }
  if (kind === 'pressure') return [{ role: 'manifoldPressure', score: 0.4 }];
  return named;
}

export const quoted = ({ index, name }: { index: number; name: string }) => `Column ${index + 1} “${name}”`;

/** A question about a column, with two of its rows. */
export function ask(
  { index, samples }: Understood,
  code: LogQuestion['code'],
  message: string,
  choices: LogQuestion['choices'],
  taken = 0,
): LogQuestion {
  return { code, column: index, message, choices, taken, rows: [...samples] };
}

export const hintFor = (column: number, hint: ColumnHint): LogHints => ({ columns: { [column]: hint } });

function askRole(column: Understood, read: Read): LogQuestion {
  const offers = offersOf(read).slice(0, 3);
  const roles: ColumnRole[] = [...offers.map(({ role }) => role), 'unused'];
  const isStation = roles.includes('chargeTemperature') && roles.includes('compressorInletTemperature');
  const message = isStation
    ? `${quoted(column)} is an intake temperature: was it measured in the manifold, after the cooler, or before the compressor?`
    : `${quoted(column)} is taken as ${CHANNELS[column.role as UsedRole].title}, but the name does not say so clearly. Is it?`;
  return ask(
    column,
    isStation ? 'station' : 'role',
    message,
    roles.map((role) => ({ label: roleTitle(role), hints: hintFor(column.index, { role }) })),
    Math.max(roles.indexOf(column.role), 0),
  );
}

function askRival(column: Understood, other: Understood, role: UsedRole): LogQuestion {
  const swap: LogHints = { columns: { [column.index]: { role }, [other.index]: { role: 'unused' } } };
  return ask(
    column,
    'role',
    `${quoted(column)} and column ${other.index + 1} “${other.name}” both look like ${CHANNELS[role].title}. Which of them is it?`,
    [
      { label: `Column ${other.index + 1}`, hints: hintFor(column.index, { role: 'unused' }) },
      { label: `Column ${column.index + 1}`, hints: swap },
    ],
  );
}

export const roleTitle = (role: ColumnRole): string => (role === 'unused' ? 'not used' : CHANNELS[role].title);

/** Sets the column's unit: as said, as written in the file, or by the range of the readings, with a question where two fit. */
function chooseUnit(read: Read, column: Understood, role: UsedRole, layout: Layout): LogQuestion | null {
  const { kind } = CHANNELS[role];
  const { hint } = column;
  const set = (unit: LogUnit, unitFrom: Understood['unitFrom']) => {
    Object.assign(column, { unit, unitFrom });
    return null;
  };
  if (hint.unit !== undefined) return set(logUnit(kind, hint.unit), 'hint');
  const inFile =
    read.fileUnit === null ? undefined : LOG_UNITS[kind].find(({ key }) => key === read.fileUnit?.unit.key);
  // A lone '-' or '1' says little: percent and air-fuel ratios are written with it too.
  const isRatio = kind === 'lambda' && middleOf(read.values) > 3 && /\bafr|a ?\/ ?f\b|air.{0,3}fuel/i.test(read.name);
  const isDoubtful =
    (inFile?.key === '1' && (isRatio || (kind === 'share' && Math.max(...read.values) > 2))) ||
    (inFile?.key === 'rpm' && isInThousands(read.values, role));
  if (inFile !== undefined && !isDoubtful) return set(inFile, 'file');
  if (isRatio) return set(logUnit(kind, 'AFR'), 'range');
  if (kind === 'time') return set(timeUnit(read.values, layout), 'range');
  if (kind === 'share') return set(logUnit(kind, Math.max(...read.values) > 1.5 ? '%' : '1'), 'range');
  const least = kind === 'lambda' ? 0.5 : 0.95;
  const isTurbo = role === 'manifoldPressure';
  const fitting = LOG_UNITS[kind].filter((unit) => {
    if (RARE_UNITS.has(unit.key)) return false;
    const reach =
      Math.max(...read.values) * unit.toSi + (Math.min(...read.values) < 20e3 / unit.toSi ? GAUGE_OFFSET_PA : 0);
    return shareInRange(read.values, role, unit) >= least && (!isTurbo || reach > 130e3);
  });
  // The likeliest first: lambda of diesels reaches 5 over a whole log, hardly more.
  if (kind === 'lambda' && middleOf(read.values) > 5) fitting.reverse();
  set(fitting[0] ?? LOG_UNITS[kind][0]!, 'range');
  if (fitting.length === 1 || role === 'vehicleSpeed' || read.values.length === 0) return null;
  const asked = fitting.length > 1 ? fitting : LOG_UNITS[kind];
  return ask(
    column,
    'unit',
    `${quoted(column)} has no unit in the file, and ${fitting.length > 1 ? 'several fit its readings' : 'none is certain from its readings'}. Which is it in?`,
    asked.map((unit) => ({
      label: unit.label === '' ? 'a plain number' : unit.label,
      hints: hintFor(column.index, { unit: unit.key }),
    })),
  );
}

/** With the engine pulling the middle reading of lambda is below 3, that of an air-fuel ratio far above. */
function middleOf(values: readonly number[]): number {
  return values.toSorted((a, b) => a - b)[values.length >> 1] ?? 0;
}

/** Seconds or milliseconds by the steps between rows that stand beside each other: no logger of cars steps by more than 4 s. */
function timeUnit(values: readonly number[], layout: Layout): LogUnit {
  const rows = Math.max(layout.sample.length - 1, 1);
  const isWhole = values.every((value) => Number.isInteger(value));
  const span = (values.at(-1) ?? 0) - (values[0] ?? 0);
  return logUnit('time', isWhole && span / rows >= 5 ? 'ms' : 's');
}

const MOST_TURNS_HZ = 5500;
const PULSE_CHOICES = [1, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14];

/**
 * A shaft speed in Hz counts turns or blades: turns above 330,000 a minute are blades, and in doubt it is asked. Until it is answered the
 * values are those of the count that comes nearest to 150,000 rpm, which shafts of cars reach (common practice, no source).
 */
export function askPulses(column: Understood | undefined, values: Float64Array, questions: LogQuestion[]): void {
  if (column?.unit?.key !== 'Hz' || column.hint.pulsesPerTurn !== undefined) return;
  // Not the very highest: a pickup spikes.
  const top =
    values
      .filter(Number.isFinite)
      .sort()
      .at(-Math.ceil(values.length / 100)) ?? 0;
  if (top / 60 < MOST_TURNS_HZ / 2) return;
  const counts = PULSE_CHOICES.filter((count) => top / 60 / count <= MOST_TURNS_HZ || count === 14);
  const off = (count: number) => Math.abs(Math.log(top / count / 150e3));
  const likeliest = counts.reduce((best, count) => (off(count) < off(best) ? count : best));
  for (let row = 0; row < values.length; row += 1) values[row] = values[row]! / likeliest;
  questions.push(
    ask(
      column,
      'pulses',
      `${quoted(column)} reaches ${Math.round(top / 60)} Hz: how many blades pass the pickup in one turn of the shaft?`,
      counts.map((count) => ({
        label: count === 1 ? 'It counts turns' : `${count} blades`,
        hints: hintFor(column.index, { pulsesPerTurn: count }),
      })),
      counts.indexOf(likeliest),
    ),
  );
}

/** The column with the role; null where none has. */
export function columnOf<R extends LogChannelKey | 'time'>(columns: readonly Understood[], role: R): Understood | null {
  return columns.find((column) => column.role === role) ?? null;
}
