import { POWER_CORRECTION_NAMES, POWER_CORRECTIONS } from '../../engine/index.ts';
import { CHANNEL_KEYS } from '../../match/index.ts';
import type { LogChannelKey } from '../../match/log/types.ts';
import { findLayout, type Layout } from './layout.ts';
import { CHANNELS } from './names.ts';
import { asAbsolute } from './pressures.ts';
import { cleanChannels } from './rows.ts';
import { decodeLog, type Scanned, scanRows } from './scan.ts';
import { type OrderedTime, orderTime } from './time.ts';
import type { LogFinding, LogHints, LogProblem, LogQuestion, LogText } from './types.ts';
import { ask, askPulses, columnOf, quoted, type Understood, understand } from './understand.ts';
import { isVolumeUnit } from './units.ts';

/**
 * Reads the text of a road log: its table, what its columns are, and their values in SI.
 *
 * Takes UTF-8, UTF-16 and Windows-1252; `;`, tab, `|` and comma between columns; decimal point or comma; lines above the names, a row of
 * units, names that repeat; up to 100 MB. Names are known in English, German, French and Spanish. What is not sure is a question: the
 * log is read with the likeliest answer, and again with `hints` when another is chosen.
 *
 * Readings that cannot be right (spikes, drop-outs, a sensor at its end, duplicates) are taken out, counted and listed. Channels that
 * are slower than the rows keep their updates, joined by straight lines over at most 1.5 periods.
 *
 * @param onProgress Called now and then with the share of the text that is read, 0 to 1.
 * @returns Never throws for what the file holds: a problem of severity 'stop' says why the log cannot be used, with what was understood so far.
 */
export function readLogText(bytes: Uint8Array, hints: LogHints = {}, onProgress?: (share: number) => void): LogText {
  const decoded = decodeLog(bytes);
  if (!decoded.ok) return refusedLog('', decoded.message);
  const found = findLayout(decoded.text, hints);
  if (!found.ok) return refusedLog(found.path, found.message);
  const { layout } = found;
  const { columns, questions } = understand(layout, hints);
  if (layout.decimalInDoubt) questions.unshift(askDecimal(layout));
  const used = columns.filter(({ role }) => role !== 'unused');
  const scanned = scanRows(
    decoded.text,
    layout,
    used.map(({ index }) => index),
    onProgress,
  );
  const table = new Table(used, scanned, hints, questions);
  const problems = [...table.problems, ...twins(columns), ...whatIsMissing(columns, scanned, layout)];
  return {
    channels: table.channels,
    timeS: table.timeS,
    sessions: table.sessions,
    lines: table.lines,
    removed: table.removed,
    columns: columns.map(({ index, name, role, score, unit, unitFrom, samples }) => ({
      index,
      name,
      role,
      score,
      unit: unit?.key ?? '',
      unitFrom,
      basis: table.basis.get(index)?.basis ?? null,
      basisFrom: table.basis.get(index)?.words ?? '',
      samples,
      updatePeriodS: table.periods.get(index) ?? null,
    })),
    findings: table.findings,
    problems: problems.sort((a, b) => Number(b.severity === 'stop') - Number(a.severity === 'stop')),
    questions,
  };
}

/** A log of which nothing could be read, with the one sentence that says why. */
export function refusedLog(path: string, message: string): LogText {
  return {
    channels: [],
    timeS: null,
    sessions: [],
    lines: new Int32Array(0),
    removed: [],
    columns: [],
    findings: [],
    problems: [{ severity: 'stop', path, message }],
    questions: [],
  };
}

/** The scanned rows on their way to channels: in SI, in order of time, cleaned. */
class Table {
  readonly problems: LogProblem[] = [];
  readonly findings: LogFinding[] = [];
  readonly channels: LogText['channels'];
  readonly timeS: Float64Array | null;
  readonly sessions: readonly number[];
  readonly lines: Int32Array;
  readonly removed: LogText['removed'];
  readonly basis: ReturnType<typeof asAbsolute>['basis'];
  readonly periods: ReadonlyMap<number, number>;

  constructor(used: readonly Understood[], scanned: Scanned, hints: LogHints, questions: LogQuestion[]) {
    const values = new Map<Understood, Float64Array>();
    used.forEach((column, slot) => {
      values.set(column, toSi(column, scanned.columns[slot]!, hints, this.problems));
    });
    this.#reportRows(used, scanned);
    const time = this.#order(used, scanned, values);
    const rows = time === null ? null : keptRows(time.keep);
    if (rows !== null && rows.length < scanned.rows) {
      for (const [column, all] of values)
        values.set(
          column,
          Float64Array.from(rows, (row) => all[row]!),
        );
      this.lines = Int32Array.from(rows, (row) => scanned.lines[row]!);
    } else this.lines = scanned.lines;
    const ordered = time?.timeS ?? null;
    const isThinned = rows !== null && rows.length < scanned.rows;
    this.timeS = ordered === null || !isThinned ? ordered : Float64Array.from(rows, (row) => ordered[row]!);
    this.sessions = sessionRows(time?.sessions ?? [0, ...scanned.restarts], isThinned ? rows : null, this.lines.length);
    const byRole = new Map<LogChannelKey, Float64Array>();
    const columnsOf = new Map<LogChannelKey, Understood>();
    for (const key of CHANNEL_KEYS) {
      const column = columnOf(used, key);
      if (column === null) continue;
      byRole.set(key, values.get(column)!);
      columnsOf.set(key, column);
    }
    for (const key of ['shaftSpeed', 'secondShaftSpeed'] as const)
      askPulses(columnsOf.get(key), byRole.get(key) ?? new Float64Array(), questions);
    askPower(columnsOf.get('brakePower'), hints, questions);
    const pressures = asAbsolute(columnsOf, byRole, this.lines, hints, questions);
    this.basis = pressures.basis;
    const stepS = this.timeS === null ? null : (time?.stepS ?? null);
    const cleaned = cleanChannels(byRole, columnsOf, this.sessions, stepS, this.lines, questions);
    this.removed = cleaned.removed;
    this.periods = cleaned.periods;
    this.findings.push(...cleaned.findings);
    this.problems.push(...cleaned.problems);
    this.channels = [...byRole].map(([key, channel]) => ({ key, unit: SI_UNITS[CHANNELS[key].kind], values: channel }));
  }

  /** A finding of the whole file; nothing where it was not seen. */
  #count(code: LogFinding['code'], count: number, message: string): void {
    if (count > 0) this.findings.push({ code, channel: null, count, message });
  }

  #warn(path: string, message: string): void {
    this.problems.push({ severity: 'warning', path, message });
  }

  #reportRows(used: readonly Understood[], { textRows, shortRows, unreadable, restarts, lines }: Scanned): void {
    const first = lines[restarts[0] ?? 0] ?? 0;
    this.#count(
      'repeated-header',
      restarts.length,
      `The names of the columns stand again ${times(restarts.length)}, first before line ${first}: each begins a session.`,
    );
    this.#count(
      'text-row',
      textRows.count,
      `${rowsOf(textRows.count)} without readings left out, first line ${textRows.line}.`,
    );
    this.#count(
      'short-row',
      shortRows.count,
      `${rowsOf(shortRows.count)} with too few cells, first line ${shortRows.line}: what is missing counts as no reading.`,
    );
    used.forEach(({ index, name }, slot) => {
      const { count, line, text } = unreadable[slot]!;
      this.#count(
        'unreadable',
        count,
        `${quoted({ index, name })}: ${count} ${count === 1 ? 'cell is' : 'cells are'} no number, first “${text}” in line ${line}. They count as no reading.`,
      );
    });
  }

  #order(
    used: readonly Understood[],
    scanned: Scanned,
    values: ReadonlyMap<Understood, Float64Array>,
  ): OrderedTime | null {
    const column = columnOf(used, 'time');
    if (column === null) {
      this.#warn(
        'Columns',
        'No column holds the time: the rows are taken in their order, without what needs time (spool-up, filling, surge). Choose the time column, or log it next time.',
      );
      return null;
    }
    const others = [...values].filter(([each]) => each !== column).map(([, all]) => all);
    const isSame = (row: number) => others.every((all) => Object.is(all[row], all[row - 1]));
    const time = orderTime(values.get(column)!, isSame, scanned.restarts);
    const place = quoted(column);
    const line = (row: number) => scanned.lines[row] ?? 0;
    if (time.timeS === null && scanned.rows > 1) {
      const why =
        time.backwards.count > 0
          ? `goes back ${times(time.backwards.count)}, first in line ${line(time.backwards.row)}`
          : 'does not go forward';
      this.#warn(
        place,
        `The time ${why}, so it is left out and the rows are taken in their order. Choose another column as time, or sort the rows.`,
      );
      return time;
    }
    if (time.backwards.count > 0) {
      this.#warn(
        `${place}, line ${line(time.backwards.row)}`,
        `The time goes back ${times(time.backwards.count)}: what follows is read as a session of its own. If that is wrong, sort the rows by time.`,
      );
    }
    this.#count(
      'gap',
      time.gaps.count,
      `${time.gaps.count} ${time.gaps.count === 1 ? 'gap' : 'gaps'} in the time, first before line ${line(time.gaps.row)}: a session begins after each.`,
    );
    this.#count(
      'duplicate',
      time.duplicates.count,
      `${rowsOf(time.duplicates.count)} with the time of the row before left out as duplicates, first line ${line(time.duplicates.row)}.`,
    );
    this.#count('no-time', time.withoutTime, `${rowsOf(time.withoutTime)} without a time left out.`);
    return time;
  }
}

const SI_UNITS = {
  time: 's',
  rotation: 'rpm',
  pressure: 'Pa',
  temperature: 'K',
  share: '1',
  lambda: '1',
  'fuel-flow': 'kg/s',
  'air-flow': 'kg/s',
  power: 'W',
  'road-speed': 'm/s',
} as const;

const times = (count: number): string => (count === 1 ? 'once' : `${count} times`);
const rowsOf = (count: number): string => (count === 1 ? '1 row' : `${count} rows`);

/** Cells in their unit to SI, in place. */
function toSi(column: Understood, cells: Float64Array, hints: LogHints, problems: LogProblem[]): Float64Array {
  const unit = column.unit;
  if (unit === null) return cells;
  let factor = unit.toSi;
  if (unit.key === 'Hz') factor /= column.hint.pulsesPerTurn ?? 1;
  if (isVolumeUnit(unit.key)) {
    factor *= hints.fuelDensityKgPerM3 ?? Number.NaN;
    if (hints.fuelDensityKgPerM3 === undefined) {
      problems.push({
        severity: 'warning',
        path: quoted(column),
        message:
          'The fuel flow is by volume and the density of the fuel is not known, so it is left out. Choose the fuel of the build.',
      });
    }
  }
  const { offset } = unit;
  if (factor === 1 && offset === 0) return cells;
  for (let row = 0; row < cells.length; row += 1) cells[row] = cells[row]! * factor + offset;
  return cells;
}

function keptRows(keep: Uint8Array): Int32Array {
  const rows = new Int32Array(keep.length);
  let count = 0;
  for (let row = 0; row < keep.length; row += 1) if (keep[row] === 1) rows[count++] = row;
  return rows.subarray(0, count);
}

/** Starts of sessions among the rows that were kept. */
function sessionRows(starts: readonly number[], kept: Int32Array | null, rows: number): number[] {
  const moved = kept === null ? [...starts] : starts.map((start) => firstAtLeast(kept, start));
  return [...new Set(moved)].filter((row) => row < rows).sort((a, b) => a - b);
}

function firstAtLeast(sorted: Int32Array, value: number): number {
  let [low, high] = [0, sorted.length];
  while (low < high) {
    const middle = (low + high) >> 1;
    if (sorted[middle]! < value) low = middle + 1;
    else high = middle;
  }
  return low;
}

function askDecimal(layout: Layout): LogQuestion {
  const rows = layout.sampleLines.filter((line) => /\d,\d{3}/.test(line)).slice(0, 2);
  return {
    code: 'decimal',
    column: null,
    message:
      'Every comma stands before three digits: does it mark decimals (1,984 is nearly two) or thousands (1,984 is nearly two thousand)?',
    choices: [
      { label: 'Decimals', hints: { decimal: ',' } },
      { label: 'Thousands', hints: { decimal: '.' } },
    ],
    taken: 0,
    rows,
  };
}

/** Dynamometers state power at the wheels or the crankshaft, and mostly as that of a standard day: which it is no reading tells. */
function askPower(column: Understood | undefined, hints: LogHints, questions: LogQuestion[]): void {
  if (column === undefined || hints.power !== undefined) return;
  questions.push(
    ask(
      column,
      'power',
      `${quoted(column)}: is this power at the crankshaft or at the wheels, and as it was measured or corrected to a standard day? The dynamometer's sheet says so. A correction is undone before air is worked out of it.`,
      (['crank', 'wheels'] as const).flatMap((at) =>
        POWER_CORRECTIONS.map((correction) => ({
          label: `At the ${at === 'crank' ? 'crankshaft' : 'wheels'}, ${POWER_CORRECTION_NAMES[correction]}`,
          hints: { power: { at, correction } },
        })),
      ),
    ),
  );
}

function twins(columns: readonly Understood[]): LogProblem[] {
  const seen = new Map<string, Understood>();
  const problems: LogProblem[] = [];
  for (const column of columns) {
    const first = seen.get(column.name);
    if (first !== undefined && !/^column \d+$/.test(column.name)) {
      problems.push({
        severity: 'warning',
        path: `Columns ${first.index + 1} and ${column.index + 1}`,
        message: `Both are named “${column.name}”: ${first.role === 'unused' ? 'neither' : 'the first'} is used. Choose the right one in the list of columns.`,
      });
    } else seen.set(column.name, column);
  }
  return problems;
}

/** What a road log cannot do without. */
function whatIsMissing(columns: readonly Understood[], { rows }: Scanned, layout: Layout): LogProblem[] {
  const stop = (message: string): LogProblem => ({ severity: 'stop', path: 'Columns', message });
  if (rows === 0)
    return [
      {
        severity: 'stop',
        path: `Line ${layout.dataLine}`,
        message: 'No row holds readings in the columns that are used. Choose other columns, or another file.',
      },
    ];
  const problems: LogProblem[] = [];
  if (columnOf(columns, 'engineSpeed') === null)
    problems.push(
      stop(
        'No column holds the engine speed, without which nothing can be compared. Choose it in the list of columns, or log it.',
      ),
    );
  if (columnOf(columns, 'manifoldPressure') === null)
    problems.push(
      stop(
        'No column holds the manifold pressure, without which nothing can be compared. Choose it in the list of columns, or log it.',
      ),
    );
  if (columnOf(columns, 'shaftSpeed') === null) {
    problems.push({
      severity: 'warning',
      path: 'Columns',
      message:
        'No column holds the shaft speed: the map shows pressure ratio alone, and flow only where another meter was logged. Choose the column if the log has it.',
    });
  }
  return problems;
}
