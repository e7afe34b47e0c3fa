import type { FieldRule, TypedCurve } from '../../../build/index.ts';
import {
  convert,
  formatQuantity,
  parseQuantity,
  plainNumber,
  type QuantityKey,
  type Unit,
  unitsOf,
} from '../../../units/index.ts';
import { isHeading } from '../../../widgets/index.ts';

type Rows = TypedCurve['rows'];
type Row = Rows[number];

const EMPTY: Row = { engineSpeed: '', value: '' };
const KEYS = ['engineSpeed', 'value'] as const;

/** The rows with a block of texts put at a cell; missing rows are added. Column 0 is the engine speed, 1 the value. */
export function withCells(rows: Rows, row: number, column: number, block: readonly (readonly string[])[]): Rows {
  const next = [...rows];
  block.forEach((texts, down) => {
    const at = row + down;
    while (next.length <= at) next.push(EMPTY);
    texts.forEach((text, across) => {
      const key = KEYS[column + across];
      if (key !== undefined) next[at] = { ...next[at]!, [key]: text };
    });
  });
  return next;
}

/** The rows with an empty one at an index. */
export function withRowInserted(rows: Rows, at: number): Rows {
  return rows.toSpliced(at, 0, EMPTY);
}

/** The rows without some. One empty row stays: a curve is never without a place to type. */
export function withoutRows(rows: Rows, first: number, count: number): Rows {
  const left = rows.toSpliced(first, count);
  return left.length === 0 ? [EMPTY] : left;
}

/** The curve in another unit, its values converted; what cannot be read stays as it was typed. */
export function withCurveUnit(curve: TypedCurve, quantity: QuantityKey, unit: string): TypedCurve {
  if (unit === curve.unit) return curve;
  return {
    unit,
    rows: curve.rows.map((row) => {
      const parsed = parseQuantity(row.value, quantity, curve.unit);
      return parsed.ok ? { ...row, value: plainNumber(convert(parsed.value, quantity, curve.unit, unit), 5) } : row;
    }),
  };
}

type Matrix = readonly (readonly string[])[];

/**
 * The curve with a block pasted at a cell (column 0 is the engine speed, 1 the value). A heading is left out. A unit that it names
 * becomes the curve's where the block replaces every row, so that the numbers stay as they came; else they are brought to the curve's own.
 */
export function withPasted(
  curve: TypedCurve,
  quantity: QuantityKey,
  row: number,
  column: number,
  matrix: Matrix,
): TypedCurve {
  const heading = matrix[0] ?? [];
  if (matrix.length < 2 || !isHeading(heading)) return { ...curve, rows: withCells(curve.rows, row, column, matrix) };
  const unit = unitNamed(heading[1 - column] ?? '', unitsOf(quantity))?.key ?? curve.unit;
  const block = matrix.slice(1);
  if (row === 0 && block.length >= curve.rows.length) return { unit, rows: withCells(curve.rows, row, column, block) };
  const brought = withCurveUnit({ unit, rows: withCells([], 0, column, block) }, quantity, curve.unit).rows;
  const texts = brought.map(({ engineSpeed, value }) => (column === 0 ? [engineSpeed, value] : [value]));
  const width = Math.max(...block.map((cells) => cells.length));
  return {
    ...curve,
    rows: withCells(
      curve.rows,
      row,
      column,
      texts.map((cells) => cells.slice(0, width)),
    ),
  };
}

/** A table that lies on its side, as those of control units do (engine speeds in its first row, values below), stood up. */
export function upright(matrix: string[][]): string[][] {
  const [speeds = [], values = [], ...others] = matrix;
  const numbers = speeds
    .map((cell) => parseQuantity(cell, 'engine-speed', 'rpm'))
    .flatMap((read) => (read.ok ? read.si : []));
  const isRising = numbers.every((rpm, i) => rpm > (numbers[i - 1] ?? 0));
  if (others.length > 0 || speeds.length < 3 || values.length !== speeds.length) return matrix;
  if (numbers.length < speeds.length - 1 || !isRising || (numbers.at(-1) ?? 0) < 400) return matrix;
  return speeds.map((speed, i) => [speed, values[i]!]);
}

/** The longest label or key that stands in the heading as a word of its own: 'Boost [psi]', 'kPa', 'bsfc, lb/(hp·h)'. */
function unitNamed(heading: string, units: readonly Unit[]): Unit | null {
  const words = ` ${heading.toLowerCase().replace(/[[\],;:]+/g, ' ')} `;
  const names = (unit: Unit): string[] => [unit.label, unit.key].filter((name) => name !== '' && !/^\d+$/.test(name));
  const found = units.flatMap((unit) => {
    const named = names(unit).filter((name) => words.includes(` ${name.toLowerCase()} `));
    const bracketed = names(unit).filter((name) => words.includes(`(${name.toLowerCase()})`));
    return [...named, ...bracketed].map((name) => ({ unit, length: name.length }));
  });
  return found.sort((a, b) => b.length - a.length)[0]?.unit ?? null;
}

interface CurveMark {
  row: number;
  column: number;
  severity: 'error';
  message: string;
}

/** Cells that cannot be used, each with what is wrong and what to do. Empty rows are no mistake. */
export function curveMarks(curve: TypedCurve, rule: Pick<FieldRule, 'quantity' | 'low' | 'high'>): CurveMark[] {
  return curve.rows.flatMap((row, index) => {
    if (row.engineSpeed.trim() === '' && row.value.trim() === '') return [];
    const speed = speedProblem(row.engineSpeed);
    const value = valueProblem(row.value, curve.unit, rule);
    return [...(speed === null ? [] : [mark(index, 0, speed)]), ...(value === null ? [] : [mark(index, 1, value)])];
  });
}

function mark(row: number, column: number, message: string): CurveMark {
  return { row, column, severity: 'error', message };
}

function speedProblem(text: string): string | null {
  if (text.trim() === '') return 'The engine speed of this row is missing. Enter it, or clear the row.';
  const parsed = parseQuantity(text, 'engine-speed', 'rpm');
  if (!parsed.ok) return parsed.message;
  return parsed.si < 0 || parsed.si > 30_000
    ? 'An engine speed lies between 0 and 30\u202f000 rpm. Check the number.'
    : null;
}

function valueProblem(
  text: string,
  unit: string,
  { quantity, low, high }: Pick<FieldRule, 'quantity' | 'low' | 'high'>,
): string | null {
  if (text.trim() === '') return 'The value of this row is missing. Enter it, or clear the row.';
  const parsed = parseQuantity(text, quantity, unit);
  if (!parsed.ok) return parsed.message;
  const slack = 1e-9 * Math.max(Math.abs(low), Math.abs(high));
  if (parsed.si >= low - slack && parsed.si <= high + slack) return null;
  const from = formatQuantity(low, quantity, unit);
  return `The value must be between ${from} and ${formatQuantity(high, quantity, unit)}. Check the number and the unit.`;
}
