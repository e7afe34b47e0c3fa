import type { OperatingPoint } from '../../match/index.ts';
import { formatNumber } from '../../units/index.ts';
import { placeRemark } from './placeRemark.ts';
import type { PointColumn, PointContext } from './pointColumns.ts';
import { type ResultUnits, showResult } from './resultUnits.ts';

/** A row of the table in words and figures, ready for screen, paper and clipboard. */
export interface PointRow {
  engineSpeedRpm: number;
  /** '6,400' */
  engineSpeed: string;
  /** One text a column; null: the engine speed has no operating point, `remark` says why. */
  cells: readonly string[] | null;
  /** What must be known about the point, '' for nothing. */
  remark: string;
}

/** All rows of a line, in its order. */
export function pointRows(
  points: readonly OperatingPoint[],
  columns: readonly PointColumn[],
  context: PointContext,
  units: ResultUnits,
): PointRow[] {
  return points.map((point) => {
    const engineSpeed = formatNumber(point.engineSpeedRpm, 0);
    if (point.status !== 'ok') {
      return { engineSpeedRpm: point.engineSpeedRpm, engineSpeed, cells: null, remark: point.message };
    }
    return {
      engineSpeedRpm: point.engineSpeedRpm,
      engineSpeed,
      cells: columns.map((column) =>
        showResult(column.value(point, context), column.shown, units, { withUnit: false }),
      ),
      remark: placeRemark({ ...point, estimated: context.isEstimate }),
    };
  });
}
