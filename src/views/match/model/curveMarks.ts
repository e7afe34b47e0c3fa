import type { FieldRule, TypedCurve } from '../../../build/index.ts';
import { formatQuantity, parseQuantity } from '../../../units/index.ts';

export interface CurveMark {
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
    ? 'An engine speed lies between 0 and 30,000 rpm. Check the number.'
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
