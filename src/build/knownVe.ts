import { vapourMoleFraction } from '../air/index.ts';
import type { Ambient, KnownVeReading, KnownVeRun } from '../match/types.ts';
import { formatQuantity, parseQuantity, type QuantityKey, unitOf } from '../units/index.ts';
import type { Build, Problem } from './document.ts';
import { type BuildReader, buildReader } from './fieldReader.ts';
import { readAmbient } from './toMatchInput.ts';

/** More rows than this are a log: the Log view reads those. */
export const MOST_KNOWN_ROWS = 200;

/** A column of the rows: what it holds, and between which values in SI a number of it is no slip of unit. */
export interface KnownVeColumn {
  key: 'engineSpeedRpm' | 'reading' | 'manifoldPressurePa' | 'chargeTemperatureK' | 'lambda' | 'bsfcKgPerJ';
  title: string;
  quantity: QuantityKey;
  unit: string;
  low: number;
  high: number;
  /** May stay empty: then what is entered for the engine or the cooler holds. */
  optional: boolean;
}

export interface KnownVeMark {
  row: number;
  column: number;
  message: string;
}

export interface KnownVeReadings {
  /** Of the rows that can be read; null: the conditions cannot. */
  run: KnownVeRun | null;
  /** Cells that cannot be read, each with what to do; their rows are left out. */
  marks: readonly KnownVeMark[];
  /** Of the conditions. */
  problems: readonly Problem[];
}

/** The columns of the rows in order, in the units that are chosen. */
export function knownVeColumns({ knownVe }: Pick<Build, 'knownVe'>): KnownVeColumn[] {
  const { meter, basis, powerUnit, flowUnit, pressureUnit, temperatureUnit, bsfcUnit } = knownVe;
  const isPower = meter === 'power';
  const column = (
    key: KnownVeColumn['key'],
    title: string,
    quantity: QuantityKey,
    unit: string,
    [low, high]: readonly [number, number],
    optional = false,
  ): KnownVeColumn => ({ key, title, quantity, unit, low, high, optional });
  const pressure =
    basis === 'gauge'
      ? column('manifoldPressurePa', 'Boost', 'pressure-gauge', pressureUnit, [-9e4, 1e6])
      : column('manifoldPressurePa', 'Manifold pressure', 'pressure-absolute', pressureUnit, [1e4, 1.2e6]);
  return [
    column('engineSpeedRpm', 'Engine speed', 'engine-speed', 'rpm', [100, 30_000]),
    isPower
      ? column('reading', 'Power', 'power', powerUnit, [500, 5e6])
      : column('reading', 'Air', 'mass-flow', flowUnit, [5e-4, 10]),
    pressure,
    column('chargeTemperatureK', 'Charge temp.', 'temperature', temperatureUnit, [223.15, 523.15], true),
    ...(isPower
      ? [
          column('lambda', 'Lambda', 'lambda', '1', [0.4, 12], true),
          column('bsfcKgPerJ', 'bsfc', 'bsfc', bsfcUnit, [100 / 3.6e9, 1500 / 3.6e9], true),
        ]
      : []),
  ];
}

/** Rows of cells of the text that the document keeps. */
export function knownVeCells(text: string): string[][] {
  return text === '' ? [] : text.split('\n').map((line) => line.split('\t'));
}

/** The text that the document keeps of rows of cells; empty cells and rows at the end are left out. */
export function knownVeText(cells: readonly (readonly string[])[]): string {
  const line = (row: readonly string[]) => row.map((cell) => cell.replace(/[\t\r\n]+/g, ' ')).join('\t');
  return cells
    .map((row) => line(row).replace(/\t+$/, ''))
    .join('\n')
    .replace(/\n+$/, '');
}

/** The run that is entered, in SI. Never throws: what cannot be read is named by its cell, and the other rows are read. */
export function readKnownVe(build: Build): KnownVeReadings {
  const reader = buildReader(build);
  const { meter, at, correction, powerRows, airRows } = build.knownVe;
  const ambient = ambientOfRun(build, reader);
  const columns = knownVeColumns(build);
  const marks: KnownVeMark[] = [];
  const readings: KnownVeReading[] = [];
  const cells = knownVeCells(meter === 'power' ? powerRows : airRows);
  cells.slice(0, MOST_KNOWN_ROWS).forEach((texts, row) => {
    const isEmpty = columns.every((_, i) => (texts[i] ?? '').trim() === '');
    const reading = isEmpty ? null : readingOf(texts, row, columns, ambient, marks);
    if (reading !== null) readings.push(reading);
  });
  if (cells.length > MOST_KNOWN_ROWS) {
    const message = `From row ${MOST_KNOWN_ROWS + 1} on nothing is used: at most ${MOST_KNOWN_ROWS} rows are. Remove some, or open the file in the Log view.`;
    marks.push({ row: MOST_KNOWN_ROWS, column: 0, message });
  }
  const run = ambient === null ? null : { meter, readings, ambient, power: { at, correction } };
  return { run, marks, problems: reader.problems };
}

/** The air of the run: what is entered of it, the rest the build's day. */
function ambientOfRun(build: Build, reader: BuildReader): Ambient | null {
  const day = readAmbient(build, reader);
  const pressure = reader.optional('knownVe.airPressure');
  const temperature = reader.optional('knownVe.airTemperature');
  const humidity = reader.optional('knownVe.relativeHumidity') ?? reader.number('air.relativeHumidity');
  if (day === null || humidity === null || reader.problems.length > 0) return null;
  const temperatureK = temperature ?? day.temperatureK;
  const pressurePa = pressure ?? day.pressurePa;
  const vapour = vapourMoleFraction(humidity, temperatureK, pressurePa);
  if (vapour === null) {
    const message = 'Air of this temperature and pressure cannot hold so much water vapour. Check the air of the run.';
    return reader.fail('knownVe.relativeHumidity', message);
  }
  return { pressurePa, temperatureK, vapourMoleFraction: vapour };
}

/** One row in SI; null where a cell of it cannot be read, which is then marked. */
function readingOf(
  texts: readonly string[],
  row: number,
  columns: readonly KnownVeColumn[],
  ambient: Ambient | null,
  marks: KnownVeMark[],
): KnownVeReading | null {
  const before = marks.length;
  const values: Partial<Record<KnownVeColumn['key'], number>> = {};
  columns.forEach((column, i) => {
    const text = (texts[i] ?? '').trim();
    const fail = (message: string) => marks.push({ row, column: i, message });
    if (text === '') {
      if (!column.optional) fail(`${column.title} of row ${row + 1} is missing. Enter it, or clear the row.`);
      return;
    }
    const parsed = parseQuantity(text, column.quantity, column.unit);
    if (!parsed.ok) fail(`${column.title} of row ${row + 1}: ${parsed.message}`);
    else if (!(parsed.si >= column.low && parsed.si <= column.high)) {
      const [from, to] = [column.low, column.high].map((si) => formatQuantity(si, column.quantity, column.unit));
      const unit = unitOf(column.quantity, column.unit).label;
      fail(
        `${column.title} of row ${row + 1} must be between ${from} and ${to}. Check the number and its unit${unit === '' ? '' : ` (${unit})`}.`,
      );
    } else values[column.key] = parsed.si;
  });
  if (marks.length > before || ambient === null) return null;
  const { engineSpeedRpm, reading, manifoldPressurePa, ...rest } = values;
  const over = columns[2]!.quantity === 'pressure-gauge' ? ambient.pressurePa : 0;
  const pressurePa = manifoldPressurePa! + over;
  if (pressurePa < 1e4) {
    marks.push({
      row,
      column: 2,
      message: `The boost of row ${row + 1} leaves no pressure in the manifold. Check it, and whether it is absolute.`,
    });
    return null;
  }
  return { engineSpeedRpm: engineSpeedRpm!, reading: reading!, manifoldPressurePa: pressurePa, ...rest };
}
