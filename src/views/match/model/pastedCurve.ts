import type { TypedCurve } from '../../../build/index.ts';
import { parseNumber, type QuantityKey, type Unit, unitsOf } from '../../../units/index.ts';
import { withCells } from './curveRows.ts';
import { withCurveUnit } from './curveUnit.ts';

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

function isHeading(cells: readonly string[]): boolean {
  const words = cells.filter((cell) => cell.trim() !== '');
  return words.length > 0 && words.every((cell) => !parseNumber(cell).ok && !/^\W*\d/.test(cell));
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
