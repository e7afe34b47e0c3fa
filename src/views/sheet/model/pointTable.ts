import type { Build } from '../../../build/index.ts';
import type { ResultUnits } from '../../../match/index.ts';
import type { CandidateResults } from '../../../store/index.ts';
import { columnUnitLabel, type PointRow, pointColumns, pointRows } from '../../shared/pointTable.ts';
import { candidateLetter, isEstimated } from '../../shared/provenance.ts';
import { spacedRows } from './spacedRows.ts';

/** The table of operating points on paper: the columns and the cells of the screen, with as many rows as there is room for. */
export interface PrintedPoints {
  letter: string;
  /** The map is another wheel's, scaled. */
  isEstimated: boolean;
  columns: readonly { key: string; title: string; unit: string }[];
  rows: readonly PointRow[];
  /** '' when every engine speed is printed; else how many are. */
  note: string;
}

export function printedPoints(
  build: Build,
  results: CandidateResults,
  index: number,
  units: ResultUnits,
  mostRows: number,
): PrintedPoints {
  const hasTurbine = results.points.some((point) => point.status === 'ok' && point.turbine !== null);
  const columns = pointColumns(build.fuelSupply, hasTurbine);
  const context = { ambientPressurePa: results.input?.ambient.pressurePa ?? null };
  const all = pointRows(results.points, columns, context, units);
  const picked = spacedRows(
    results.points.map(({ engineSpeedRpm }) => engineSpeedRpm),
    mostRows,
  );
  const rows = picked.flatMap((i) => all[i] ?? []);
  return {
    letter: candidateLetter(index),
    isEstimated: isEstimated(results.candidate),
    columns: columns.map((column) => ({
      key: column.key,
      title: column.title,
      unit: columnUnitLabel(column, units),
    })),
    rows,
    note:
      rows.length === all.length
        ? ''
        : `${rows.length} of ${all.length} engine speeds; all of them stand in the build file.`,
  };
}
