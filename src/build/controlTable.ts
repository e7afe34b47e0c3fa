import { standardAtmosphere } from '../air/index.ts';
import type { ControlTableOptions, TablePressure } from '../match/types.ts';
import { formatNumber, fromSi, parseNumber, toSi, ungrouped, unitOf, writableText } from '../units/index.ts';
import type { Build, Problem } from './document.ts';
import { type BuildReader, buildReader } from './fieldReader.ts';

/** More breakpoints than this no control unit has on an axis. */
export const MOST_BREAKPOINTS = 32;

export interface ControlAxis {
  /** Unit key: of absolute pressure, or of altitude. */
  unit: Build['controlTable']['axis'];
  isAltitude: boolean;
  /** As they stand in the control unit, in the unit. */
  values: readonly number[];
}

/** What is asked of the table, read from the build. */
export interface ControlTableSetup {
  options: Omit<ControlTableOptions, 'limits' | 'onProgress'>;
  axis: ControlAxis;
  layout: Build['controlTable']['layout'];
  kind: TablePressure;
  /** How numbers of the table are written; the unit's key, '1' for a ratio. */
  unit: string;
  decimals: number;
  /** Breakpoints that came with the pasted table and are not those of the table. */
  pastedBreakpoints: Pick<Build['controlTable'], 'engineSpeeds' | 'barometers'> | null;
}

export interface ControlTableReading {
  setup: ControlTableSetup | null;
  problems: readonly Problem[];
}

const RPM: Range = { low: 100, high: 30_000 };
const BAROMETER_PA: Range = { low: 3e4, high: 1.2e5 };
const ALTITUDE_M: Range = { low: -500, high: 6000 };
/** What a number of the table can be, in Pa or as a ratio: slips of unit and kind are kept out, not unusual cars. */
const TARGETS: Readonly<Record<TablePressure, Range>> = {
  absolute: { low: 1e4, high: 2.2e6 },
  gauge: { low: -1e5, high: 2e6 },
  ratio: { low: 0.2, high: 10 },
};

interface Range {
  low: number;
  high: number;
}

/** Second axes that stand in for one that was not entered: sea level to the highest passes. */
const USUAL_AXIS: Readonly<Record<Build['controlTable']['axis'], readonly number[]>> = {
  kPa: [100, 95, 90, 85, 80, 75, 70],
  hPa: [1000, 950, 900, 850, 800, 750, 700],
  psi: [14.5, 13.75, 13, 12.25, 11.5, 10.75, 10],
  inHg: [30, 28, 26, 24, 22, 20],
  m: [0, 500, 1000, 1500, 2000, 2500, 3000],
  ft: [0, 2000, 4000, 6000, 8000, 10_000],
};

/** Breakpoints that hold while none are entered, as they would be typed. */
export function usualBreakpoints(build: Build): Pick<Build['controlTable'], 'engineSpeeds' | 'barometers'> {
  return {
    engineSpeeds: (usualSpeeds(buildReader(build)) ?? []).join(' '),
    barometers: USUAL_AXIS[build.controlTable.axis].join(' '),
  };
}

/** Sixteen at most, at round steps over the engine speeds of the line. */
function usualSpeeds(reader: BuildReader): number[] | null {
  const from = reader.number('engineSpeeds.from');
  const to = reader.number('engineSpeeds.to');
  if (from === null || to === null || to < from) return null;
  const step = [250, 500, 1000, 2000].find((candidate) => (to - from) / candidate <= 15) ?? (to - from) / 15;
  const values: number[] = [];
  for (let i = 0; from + i * step < to; i++) values.push(Math.round(from + i * step));
  return [...values, to];
}

/** Everything that the table is asked with; what cannot be read is named, and then there is no setup. Never throws. */
export function readControlTable(build: Build): ControlTableReading {
  const { axis: unit, kind, layout, entered } = build.controlTable;
  const reader = buildReader(build);
  const isAltitude = unit === 'm' || unit === 'ft';
  const speeds = breakpoints(build.controlTable.engineSpeeds, 'engineSpeeds', 'engine speed', 'rpm', RPM, reader);
  const quantity = isAltitude ? 'altitude' : 'pressure-absolute';
  const bounds = isAltitude ? ALTITUDE_M : BAROMETER_PA;
  const inUnit: Range = { low: fromSi(bounds.low, quantity, unit), high: fromSi(bounds.high, quantity, unit) };
  const { label } = unitOf(quantity, unit);
  const name = isAltitude ? 'altitude' : 'barometric pressure';
  const values = breakpoints(build.controlTable.barometers, 'barometers', name, label, inUnit, reader);
  const engineSpeedsRpm = speeds === 'none' ? usualSpeeds(reader) : speeds;
  const axisValues = values === 'none' ? USUAL_AXIS[unit] : values;
  const step = reader.number(kind === 'ratio' ? 'controlTable.ratioStep' : 'controlTable.step');
  const temperaturesK = temperatures(reader);
  const relativeHumidity = reader.number('air.relativeHumidity');
  if (engineSpeedsRpm === null || axisValues === null || step === null || temperaturesK === null)
    return { setup: null, problems: reader.problems };
  if (relativeHumidity === null) return { setup: null, problems: reader.problems };
  const barometersPa = axisValues.map((value) => {
    const si = toSi(value, quantity, unit);
    return isAltitude ? (standardAtmosphere(si)?.pressurePa ?? Number.NaN) : si;
  });
  const tableUnit = kind === 'ratio' ? '1' : build.controlTable.step.unit;
  const pasted = pastedTable(entered, {
    rows: layout === 'down' ? engineSpeedsRpm : axisValues,
    columns: layout === 'down' ? axisValues : engineSpeedsRpm,
    range: TARGETS[kind],
    toSi: (value) => (kind === 'ratio' ? value : toSi(value, 'pressure-difference', tableUnit)),
  });
  if (pasted !== null && !pasted.ok) reader.fail('controlTable.entered', pasted.message);
  const turned = pasted?.ok ? (layout === 'down' ? pasted.cells : transposed(pasted.cells)) : undefined;
  const offered = pasted?.headings ?? null;
  const [down, across] = offered === null ? [null, null] : [offered.rows.join(' '), offered.columns.join(' ')];
  return {
    setup: {
      options: { engineSpeedsRpm, barometersPa, temperaturesK, relativeHumidity, kind, step, entered: turned },
      axis: { unit, isAltitude, values: axisValues },
      layout,
      kind,
      unit: tableUnit,
      decimals: decimalsOf(kind === 'ratio' ? step : fromSi(step, 'pressure-difference', tableUnit)),
      pastedBreakpoints:
        down === null || across === null
          ? null
          : layout === 'down'
            ? { engineSpeeds: down, barometers: across }
            : { engineSpeeds: across, barometers: down },
    },
    problems: reader.problems,
  };
}

/** As many as the step has; at most six. */
function decimalsOf(step: number): number {
  for (let decimals = 0; decimals < 6; decimals += 1) {
    if (Math.abs(step - Number(step.toFixed(decimals))) < step * 1e-6) return decimals;
  }
  return 6;
}

/** Both ends and the middle. */
function temperatures(reader: BuildReader): number[] | null {
  const low = reader.number('controlTable.coldest');
  const high = reader.number('controlTable.warmest');
  if (low === null || high === null) return null;
  if (high < low)
    return reader.fail('controlTable.warmest', 'The highest air temperature is below the lowest. Change one of them.');
  return high === low ? [low] : [low, (low + high) / 2, high];
}

/** 'none': nothing is entered. null: a problem was noted. */
function breakpoints(
  text: string,
  field: 'engineSpeeds' | 'barometers',
  name: string,
  unit: string,
  range: Range,
  reader: BuildReader,
): number[] | null | 'none' {
  if (/^[\s,;|]*$/.test(text)) return 'none';
  const path = `controlTable.${field}`;
  const read = numbersIn([text], (value) => value >= range.low && value <= range.high);
  if (!read.ok) {
    const bounds = `${formatNumber(range.low, 1)} and ${formatNumber(range.high, 1)}\u00a0${unit}`;
    const wrong = read.isNumber ? `is not between ${bounds}` : 'is not a number';
    return reader.fail(path, `Breakpoints of the ${name}: '${read.token}' ${wrong}. Check it, and the unit.`);
  }
  const values = read.rows.flat().filter((value) => value !== null);
  if (values.length > MOST_BREAKPOINTS) {
    return reader.fail(
      path,
      `Breakpoints of the ${name}: there are ${values.length}; at most ${MOST_BREAKPOINTS} are taken. Leave some out.`,
    );
  }
  const isFalling = values.length > 1 && values[1]! < values[0]!;
  const turn = values.findIndex((value, i) => i > 0 && (isFalling ? value >= values[i - 1]! : value <= values[i - 1]!));
  if (turn !== -1) {
    return reader.fail(
      path,
      `Breakpoints of the ${name} must only rise or only fall: ${values[turn]} after ${values[turn - 1]} does not. Put them in order.`,
    );
  }
  return values;
}

function transposed<T>(cells: readonly (readonly T[])[]): T[][] {
  return (cells[0] ?? []).map((_, c) => cells.map((row) => row[c]!));
}

type Numbers =
  | { ok: true; rows: (number | null)[][] }
  /** `token` cannot be read, or is a number that cannot stand there. */
  | { ok: false; token: string; isNumber: boolean };

const POINT = /^[+\-\u2212]?(?:\d+\.?\d*|\.\d+)(?:e[+-]?\d+)?$/i;
const COMMA = /^[+\-\u2212]?(?:\d+,?\d*|,\d+)$/;
const THOUSANDS = /^[+\-\u2212]?\d{1,3}(?:[,'\u2019]\d{3})+(?:\.\d+)?$/;

/**
 * Numbers of lines of text, whatever stands between them: tab, semicolon, bar, blank or comma; point or comma before the decimals. What a
 * comma means is what makes every number possible: decimals first, then thousands, then what separates. Between tabs and semicolons a
 * cell may be empty (null).
 */
function numbersIn(shown: readonly string[], isPossible: (value: number) => boolean): Numbers {
  const lines = shown.map(ungrouped);
  const whole = lines.join('\n');
  const separator = whole.includes('\t') ? '\t' : whole.includes(';') ? ';' : null;
  const split = (line: string, at: RegExp) =>
    line
      .trim()
      .split(at)
      .filter((token) => token !== '');
  const cells = (line: string) =>
    separator === null ? split(line, /[\s|]+/) : line.split(separator).map((cell) => cell.trim());
  const single = lines.map(cells);
  const isList = single.every((row) => row.every((token, i) => i === row.length - 1 || token.endsWith(',')));
  const bare = isList ? single.map((row) => row.map((token) => token.replace(/,$/, ''))) : single;
  const hasOnlyCommas = separator === null && single.every((row) => row.length === 1);
  const byComma = lines.map((line) => split(line, /[\s,;|]+/));
  const point = (token: string) => (POINT.test(token) ? Number(token.replace('\u2212', '-')) : Number.NaN);
  // Nobody writes both: beside a decimal point a comma stands between thousands.
  const hasPoint = bare.some((row) => row.some((token) => token.includes('.')));
  const comma = (token: string) => point(COMMA.test(token) && !hasPoint ? token.replace(',', '.') : token);
  const thousands = (token: string) => {
    const parsed = THOUSANDS.test(token) ? parseNumber(token, 'integer-like') : null;
    return parsed?.ok ? parsed.value : point(token);
  };
  const ways = [
    { rows: bare, read: comma },
    { rows: bare, read: thousands },
    { rows: byComma, read: point },
  ];
  if (hasOnlyCommas) ways.unshift(ways.pop()!);
  for (const { rows, read } of ways) {
    const numbers = rows.map((row) => row.map((token) => (token === '' ? null : read(token))));
    if (numbers.every((row) => row.every((value) => value === null || isPossible(value))))
      return { ok: true, rows: numbers };
  }
  const { rows, read } = ways[0]!;
  for (const token of rows.flat()) {
    const value = read(token);
    if (token !== '' && !isPossible(value)) return { ok: false, token, isNumber: !Number.isNaN(value) };
  }
  return { ok: false, token: whole.trim().slice(0, 20), isNumber: false };
}

interface PastedFor {
  rows: readonly number[];
  columns: readonly number[];
  range: Range;
  toSi: (value: number) => number;
}

type Pasted = { headings: { rows: readonly number[]; columns: readonly number[] } | null } & (
  | { ok: true; cells: (number | null)[][] }
  | { ok: false; message: string }
);

/** The table that was pasted, in Pa or as a ratio, with or without its breakpoints round it; null: there is none. */
function pastedTable(text: string, { rows, columns, range, toSi: si }: PastedFor): Pasted | null {
  const lines = writableText(text.replaceAll('\ufeff', ''))
    .replace(/\r\n?/g, '\n')
    .split('\n')
    // A row of nothing but tabs is one of cells without a number.
    .filter((line) => line.trim() !== '' || /[\t;]/.test(line));
  if (lines.every((line) => /^[\s,;|]*$/.test(line))) return null;
  const failed = (message: string, headings: Pasted['headings'] = null): Pasted => ({ ok: false, message, headings });
  // The corner of headings is words, or nothing; words are no number of the table.
  const corner = /^[^\t;]*[^\d\s.,;+\-\u2212'\t][^\t;]*(?=[\t;])/;
  const hasCorner = corner.test(lines[0]!);
  const plain = hasCorner ? [lines[0]!.replace(corner, ''), ...lines.slice(1)] : lines;
  const read = numbersIn(plain, Number.isFinite);
  if (!read.ok) return failed(`The pasted table: '${read.token}' is not a number. Paste the numbers alone.`);
  // Some programs end every row with a tab, and the table with rows of nothing else.
  const isBlank = (row: readonly (number | null)[] | undefined) => row?.every((value) => value === null) === true;
  while (read.rows.length > rows.length && isBlank(read.rows.at(-1))) read.rows.pop();
  while (read.rows[0]!.length > columns.length && isBlank(read.rows.map((row) => row.at(-1) ?? null)))
    for (const row of read.rows) row.pop();
  const wide = Math.max(...read.rows.map((row) => row.length));
  const uneven = read.rows.findIndex((row) => row.length !== wide);
  if (uneven !== -1) {
    return failed(
      `The pasted table: row ${uneven + 1} has ${read.rows[uneven]!.length} numbers, another has ${wide}. Paste whole rows.`,
    );
  }
  const size = (a: number, b: number) => read.rows.length === a && wide === b;
  const isFull = size(rows.length + 1, columns.length + 1);
  const inner = read.rows.slice(1).map((row) => row.slice(1));
  const around = {
    rows: read.rows.slice(1).map((row) => row[0] ?? Number.NaN),
    columns: read.rows[0]!.slice(1).map((value) => value ?? Number.NaN),
  };
  const isSame = (a: readonly number[], b: readonly number[]) =>
    a.length === b.length && a.every((value, i) => Math.abs(value - b[i]!) <= 1e-3 * Math.max(1, Math.abs(b[i]!)));
  if (isFull && isSame(around.rows, rows) && isSame(around.columns, columns)) return judged(inner, range, si);
  if (size(rows.length, columns.length) && !hasCorner) return judged(read.rows, range, si);
  const isAround =
    inner.length > 0 &&
    wide > 1 &&
    (hasCorner || isFull || read.rows[0]![0] === null) &&
    isAxis(around.rows) &&
    isAxis(around.columns);
  if (isAround) {
    return failed(
      'The pasted table has breakpoints of its own round it, which are not those of the table. Take its breakpoints, or paste the numbers alone.',
      around,
    );
  }
  const turned = size(columns.length, rows.length) ? ' It would fit turned: check which way engine speed runs.' : '';
  return failed(
    `The pasted table has ${read.rows.length} rows of ${wide} numbers; the breakpoints make ${rows.length} rows of ${columns.length}.${turned} Paste breakpoints and table of the same size.`,
  );
}

function isAxis(values: readonly number[]): boolean {
  const isRising = values.every((value, i) => i === 0 || value > values[i - 1]!);
  const isFalling = values.every((value, i) => i === 0 || value < values[i - 1]!);
  return values.length <= MOST_BREAKPOINTS && values.every(Number.isFinite) && (isRising || isFalling);
}

function judged(rows: readonly (readonly (number | null)[])[], range: Range, si: (value: number) => number): Pasted {
  const cells = rows.map((row) => row.map((value) => (value === null ? null : si(value))));
  for (const [r, row] of cells.entries()) {
    const c = row.findIndex((value) => value !== null && !(value >= range.low && value <= range.high));
    if (c !== -1) {
      return {
        ok: false,
        headings: null,
        message: `The pasted table: ${rows[r]![c]} in row ${r + 1}, column ${c + 1} cannot be a target of this kind. Check what the target is, and its unit.`,
      };
    }
  }
  return { ok: true, cells, headings: null };
}
